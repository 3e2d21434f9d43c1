"""The board's facts agree with the table of states; what waits, what is left, what comes again."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import invariant

from shopstep.model.estimate import PRIOR_SPREAD, PRIOR_WEIGHT
from shopstep.model.plan import Plan
from shopstep.model.step import Wait, WaitKind, stage_of
from shopstep.present.board import PRESSING, Board, Cell, board_of, show_cell
from shopstep.present.board_grid import SIGNS, WORDS, grids_of, legend, short_names
from shopstep.present.board_text import board_document, board_lines, section_rows
from shopstep.present.rest import Rest, rest_of, rest_words
from shopstep.session import commands as c
from shopstep.session.state import State
from shopstep.session.statuses import BatchStatus, Standing, Status, batch_status, step_standing
from tests.floor import BEGIN_S as FLOOR_BEGIN_S
from tests.floor import floor_plan
from tests.present_sample import MemoryBench
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import Play, new_id
from tests.shelf_builds import BUILDS
from tests.test_session_machine import PLAN, Bench
from tests.test_watching import plan as shelf_plan


def cells_of(board: Board) -> dict[tuple[int | None, str], Cell]:
    """Every cell by unit (None: the whole batch) and stage."""
    found: dict[tuple[int | None, str], Cell] = {(None, name): cell for name, cell in board.batch}
    for row in board.rows:
        for stage, cell in zip(board.stages, row.cells, strict=True):
            if cell is not None:
                found[row.unit, stage] = cell
    return found


class BoardBench(Bench):
    """Random hands at the bench, with the board beside them."""

    @invariant()
    def every_cell_says_what_the_table_of_states_says(self) -> None:
        state, now_s = self.play.state, self.model.now_s
        board = board_of(state, PLAN, now_s)
        standings = {s.id: step_standing(state, PLAN, s.id, now_s) for s in PLAN.steps}
        seen = 0
        for (unit, stage), cell in cells_of(board).items():
            own = [
                standings[step.id]
                for step in PLAN.steps
                if step.unit == unit and stage_of(step.id).replace("_", " ") == stage
            ]
            seen += len(own)
            statuses = {each.status for each in own}
            assert cell.status in statuses
            assert (cell.status is Status.DONE) == (statuses == {Status.DONE})
            for pressing in (Status.AT_BENCH, Status.HELD):
                assert (cell.status is pressing) == (pressing in statuses)
            ends = [each.until_s for each in own if each.until_s is not None]
            if cell.status is Status.WAITING:
                assert cell.until_s == min(ends) > now_s
            assert (cell.done, cell.total) == (
                sum(each.status is Status.DONE for each in own), len(own),
            )  # fmt: skip
        assert seen == len(PLAN.steps)
        is_over = board.status in (BatchStatus.COMPLETE, BatchStatus.STOPPED)
        ready = sum(each.status is Status.READY for each in standings.values())
        assert sum(work.count for work in board.ready) == (0 if is_over else ready)
        assert board.status is batch_status(state, PLAN)
        leasts = [wait for wait in board.waits if wait.kind != WaitKind.WITHIN]
        assert all(wait.last_s >= wait.first_s > now_s for wait in leasts)
        assert board_lines(board)


TestBoard = BoardBench.TestCase
TestBoard.settings = settings(max_examples=60, stateful_step_count=30, deadline=None)


@given(st.lists(st.sampled_from(list(Status)), min_size=1, max_size=6), st.integers(1, 9))
def test_a_cell_shows_what_presses_most(statuses: list[Status], until_s: int) -> None:
    cell = show_cell(Standing(s, until_s if s is Status.WAITING else None) for s in statuses)
    assert cell.status is min(statuses, key=PRESSING.index)
    assert cell.until_s == (until_s if cell.status is Status.WAITING else None)


def test_every_status_has_a_sign_of_its_own_and_a_word_as_short_as_a_clock_time() -> None:
    assert set(SIGNS) == set(WORDS) == set(PRESSING) == set(Status)
    assert len(set(SIGNS.values())) == len(Status)
    assert all(len(sign) == 1 for sign in SIGNS.values())
    assert max(len(word) for word in WORDS.values()) <= len("22:20")


# --- what waits ---------------------------------------------------------------------------------


def test_like_waits_of_several_units_stand_together_with_the_first_and_the_last_end() -> None:
    bench = MemoryBench(plan=make_plan(3))
    bench.finish_until("u3/fit/dry")
    while "u3/glue/close" not in bench.state.finished:
        bench.follow(bench.card())
    board = board_of(bench.state, bench.plan, bench.at_s)
    clamps = [wait for wait in board.waits if wait.kind == "clamp"]
    ends = [t.due_s for t in bench.card().timers if t.kind == "clamp" and t.due_s > bench.at_s]
    assert len(ends) > 1
    assert clamps
    assert min(wait.first_s for wait in clamps) == min(ends)
    assert max(wait.last_s for wait in clamps) == max(ends)
    assert all("unit" not in wait.name for wait in clamps)


def test_a_waiting_cell_has_the_clock_time_and_a_later_day_its_name() -> None:
    bench = MemoryBench()
    bench.finish_until("u1/paint/coat1")
    bench.follow(bench.card())
    while "u1/paint/coat1" not in bench.state.finished:
        bench.follow(bench.card())
    until_s = step_standing(bench.state, bench.plan, "u1/paint/coat2", bench.at_s).until_s
    assert until_s is not None
    (grid,) = grids_of(board_of(bench.state, bench.plan, bench.at_s), 120)
    cells = [text.strip() for row in grid.rows for text, s in row.cells if s is Status.WAITING]
    at = -(-until_s // 60) * 60
    assert f"○ {at // 3600 % 24}:{at // 60 % 60:02d}" in cells
    day_before = board_of(bench.state, bench.plan, bench.at_s - 86400)
    (grid,) = grids_of(day_before, 120)
    cells = [text.strip() for row in grid.rows for text, s in row.cells if s is Status.WAITING]
    assert any(cell.split()[1] in ("Tue", "Wed", "Thu") for cell in cells)


def test_what_has_to_begin_by_a_moment_is_told_before_and_after_it() -> None:
    plan = make_plan()
    limit = Wait("w", WaitKind.WITHIN, "bare wood, unit 1", "u1/fit/dry", "u1/paint/coat1", 600, "")
    plan = replace(plan, waits=(*plan.waits, limit))
    state = State(finished={"u1/fit/dry": BEGIN_S})
    for now_s, words in ((BEGIN_S + 60, "has to begin by then"), (BEGIN_S + 660, "was to begin")):
        rows = dict(section_rows(board_of(state, plan, now_s)))["Waiting"]
        assert any(row.startswith("18:10: bare wood, unit 1: ") and words in row for row in rows)


# --- what is left -------------------------------------------------------------------------------


def test_what_is_left_is_the_plan_s_time_where_nothing_was_timed() -> None:
    plan = make_plan()
    rest = rest_of(State(), plan)
    total = sum(step.duration_s for step in plan.steps)
    squares = sum(step.duration_s**2 for step in plan.steps)
    spread = PRIOR_SPREAD * math.sqrt(1 / PRIOR_WEIGHT + squares / total**2)
    assert rest.about_s == total
    assert rest.low_s == pytest.approx(total / math.exp(spread), abs=1)
    assert rest.high_s == pytest.approx(total * math.exp(spread), abs=1)
    assert rest.own_times == 0


@given(st.floats(0.5, 2.0), st.integers(1, 12))
def test_own_times_of_this_session_move_the_rest_their_way(pace: float, count: int) -> None:
    plan = make_plan()
    done = plan.steps[:count]
    state = State(
        finished={step.id: BEGIN_S for step in done},
        spent={step.id: round(pace * step.duration_s) for step in done},
    )
    left = sum(step.duration_s for step in plan.steps[count:])
    rest = rest_of(state, plan)
    assert min(left, pace * left) * 0.99 <= rest.about_s <= max(left, pace * left) * 1.01
    assert rest.low_s < rest.about_s < rest.high_s
    assert rest.own_times == count


def test_the_keeper_s_own_times_in_the_plan_count_too() -> None:
    plan = make_plan()
    timed = replace(plan, kinds=tuple(replace(kind, timed=3) for kind in plan.kinds))
    assert rest_of(State(), timed).own_times == 3 * len(plan.kinds)


def test_nothing_is_left_when_all_is_done() -> None:
    plan = make_plan()
    state = State(finished={step.id: BEGIN_S for step in plan.steps})
    assert rest_of(state, plan) == Rest(0, 0, 0, 0)
    assert rest_words(rest_of(state, plan)) == "No work is left."


@pytest.mark.parametrize(
    ("rest", "words"),
    [
        (Rest(21_900, 17_000, 28_300, 0),
         "About 6 h of work left (4 h to 8 h), resting on guessed times."),
        (Rest(8_900, 7_200, 11_000, 1),
         "About 2 h 30 min of work left (2 h to 3 h 30 min), resting on 1 time of your own."),
        (Rest(2_500, 2_000, 3_100, 12),
         "About 40 min of work left (30 min to 55 min), resting on 12 times of your own."),
        (Rest(130_000, 100_000, 160_000, 0),
         "About 36 h of work left (27 h to 45 h), resting on guessed times."),
        (Rest(20, 15, 30, 0),
         "About 1 min of work left (1 min to 1 min), resting on guessed times."),
    ],
)  # fmt: skip
def test_the_rest_is_said_no_finer_than_it_is_known(rest: Rest, words: str) -> None:
    assert rest_words(rest) == words


# --- today, and what comes again ----------------------------------------------------------------


def test_today_holds_the_open_steps_of_this_day_from_the_plan_with_times_from_now_on() -> None:
    plan = floor_plan(units=2)
    state = State(finished={plan.steps[0].id: FLOOR_BEGIN_S + 700})
    board = board_of(state, plan, FLOOR_BEGIN_S + 700, plan)
    assert board.tonight is not None
    today = [s for s in plan.steps[1:] if s.start_s // 86400 == FLOOR_BEGIN_S // 86400]
    assert sum(work.count for work in board.tonight.works) == len(today)
    assert board.tonight.hands_on_s == sum(step.duration_s for step in today)
    assert "evenings left" in board.tonight.ahead
    assert board_of(state, plan, FLOOR_BEGIN_S).tonight is None


def test_steps_of_one_stage_of_one_unit_are_one_entry() -> None:
    plan = floor_plan(units=2)
    board = board_of(State(), plan, FLOOR_BEGIN_S + 86400, plan)
    assert board.tonight is not None
    words = [work.words for work in board.tonight.works]
    assert any(" more, unit " in text for text in words)


def test_a_day_without_work_says_so() -> None:
    plan = floor_plan(units=2)
    board = board_of(State(), plan, FLOOR_BEGIN_S - 5 * 86400, plan)
    assert ("Today", ["Nothing is left to do today."]) in section_rows(board)


def test_a_spoiled_piece_stands_on_the_board_until_it_is_cut_again() -> None:
    plan = floor_plan(units=2)
    spoiled = State(spoiled=(("side_rail", "left", 2, 2, "split"),))
    assert board_of(spoiled, plan, FLOOR_BEGIN_S).again == ("left side rail, unit 2: split",)
    cut = replace(
        plan,
        steps=(*plan.steps, replace(plan.steps[3], id="all/rip/side_rail~2")),
        kinds=tuple(
            replace(kind, parts=("side_rail",)) if kind.id == plan.steps[3].kind else kind
            for kind in plan.kinds
        ),
    )
    assert board_of(spoiled, cut, FLOOR_BEGIN_S).again
    made = replace(spoiled, finished={"all/rip/side_rail~2": FLOOR_BEGIN_S})
    assert board_of(made, cut, FLOOR_BEGIN_S).again == ()


def test_a_step_that_is_set_aside_is_told() -> None:
    play = Play()
    play.finish_until("u1/fit/dry")
    play.do(c.SetAside(id=new_id(), step="u1/fit/dry", reason="no brads"))
    board = board_of(play.state, play.plan, play.now_s)
    assert board.aside == ("Dry fit, unit 1",)
    assert cells_of(board)[1, "fit"].status is Status.SET_ASIDE


def test_a_batch_that_was_stopped_has_nothing_ready() -> None:
    play = Play()
    play.do(c.StopBatch(id=new_id(), sure=True))
    board = board_of(play.state, play.plan, play.now_s, play.plan)
    assert board.status is BatchStatus.STOPPED
    assert board.ready == ()
    assert board.tonight is None


# --- the grid -----------------------------------------------------------------------------------


def many_units(units: int) -> tuple[State, Plan]:
    """A batch in which every unit stands a little further than the next."""
    plan = floor_plan(units=units)
    own = {unit: [s.id for s in plan.steps if s.unit == unit] for unit in range(1, units + 1)}
    done = [step.id for step in plan.steps if step.unit is None]
    done += [step for unit, steps in own.items() for step in steps[: max(0, 30 - unit)]]
    return State(finished={step: FLOOR_BEGIN_S for step in done}), plan


@pytest.mark.parametrize("width", [30, 38, 57, 76, 116, 196])
@pytest.mark.parametrize("units", [2, 12])
def test_the_grid_keeps_to_its_width_and_shows_every_stage_of_every_unit(
    width: int, units: int
) -> None:
    state, plan = many_units(units)
    board = board_of(state, plan, FLOOR_BEGIN_S)
    grids = grids_of(board, width)
    assert sum(len(grid.rows[0].cells) for grid in grids) == len(board.stages)
    for grid in grids:
        assert 1 <= len(grid.head_lines) <= 2
        assert all(grid.first_width + len(names) <= width for names in grid.head_lines)
        for row in grid.rows:
            assert len(row.cells) == len(grid.rows[0].cells)
            assert grid.first_width + sum(len(text) for text, _ in row.cells) <= width
            assert {len(text) for text, _ in row.cells} == {grid.cell}
        units_told = [unit for row in grid.rows for unit in units_of(row.head)]
        assert units_told == list(range(1, units + 1))


@pytest.mark.parametrize("width", [38, 57, 76, 116, 196])
@pytest.mark.parametrize("build", BUILDS)
def test_every_name_of_a_stage_begins_at_its_column_and_none_touches_the_next(
    build: str, width: int
) -> None:
    board = board_of(State(), shelf_plan(build), FLOOR_BEGIN_S)
    grids = grids_of(board, width)
    stages = iter(board.stages)
    for grid in grids:
        count = len(grid.rows[0].cells)
        turns = len(grid.head_lines)
        for at in range(count):
            names = grid.head_lines[at % turns]
            name = names[at * grid.cell :][: turns * grid.cell]
            assert name[0] == next(stages)[0]
            assert len(name) < turns * grid.cell or name.endswith(" ")
    if width >= 76:
        seen = "\n".join(names for grid in grids for names in grid.head_lines)
        assert all(name in seen for name in board.stages[:-1])


def units_of(head: str) -> list[int]:
    """The units that a row's head names."""
    first, _, last = head.partition("–")
    return list(range(int(first), int(last or first) + 1))


def test_units_that_stand_alike_share_a_row_and_others_do_not() -> None:
    state, plan = many_units(12)
    board = board_of(state, plan, FLOOR_BEGIN_S)
    (grid,) = grids_of(board, 116)
    by_unit = {row.unit: [cell and cell.status for cell in row.cells] for row in board.rows}
    for row in grid.rows:
        alike = [by_unit[unit] for unit in units_of(row.head)]
        assert all(each == alike[0] for each in alike)
    heads = [units_of(row.head)[-1] for row in grid.rows]
    for unit in heads[:-1]:
        assert by_unit[unit] != by_unit[unit + 1]


@pytest.mark.parametrize("width", range(3, 14))
@pytest.mark.parametrize("build", BUILDS)
def test_short_names_of_stages_are_told_apart_in_every_shipped_build(
    build: str, width: int
) -> None:
    stages = board_of(State(), shelf_plan(build), FLOOR_BEGIN_S).stages
    short = short_names(stages, [width] * len(stages))
    assert len(set(short)) == len(stages)
    assert all(0 < len(name) <= width for name in short)
    assert all(name[0] == stage[0] for name, stage in zip(short, stages, strict=True))


@given(st.lists(st.text("abc ", min_size=1, max_size=9), max_size=8), st.integers(3, 9))
def test_short_names_never_pass_their_width(names: list[str], width: int) -> None:
    short = short_names(names, [width] * len(names))
    assert all(len(name) <= width for name in short)


def test_the_legend_names_what_is_there_and_no_more() -> None:
    plan = make_plan()
    board = board_of(State(), plan, BEGIN_S)
    statuses = {cell.status for cell in cells_of(board).values()}
    assert [sign for sign, _ in legend(board)] == [s for st_, s in SIGNS.items() if st_ in statuses]


# --- text and JSON ------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [40, 60, 78, 120])
def test_the_lines_keep_to_their_width_and_say_everything(width: int) -> None:
    state, plan = many_units(2)
    board = board_of(state, plan, FLOOR_BEGIN_S, plan)
    lines = board_lines(board, width)
    assert all(len(line) <= width for line in lines), [x for x in lines if len(x) > width]
    said = " ".join(" ".join(lines).split())
    assert rest_words(board.rest) in said
    assert board.tonight is not None
    assert board.tonight.ahead in said
    for _, rows in section_rows(board):
        assert all(" ".join(row.split()) in said for row in rows)


def test_the_document_is_plain_json_with_every_cell() -> None:
    state, plan = many_units(2)
    board = board_of(state, plan, FLOOR_BEGIN_S, plan)
    told = json.loads(json.dumps(board_document(board)))
    assert told["version"] == 1
    assert [unit["unit"] for unit in told["units"]] == [1, 2]
    assert all(len(unit["stages"]) == len(told["stages"]) for unit in told["units"])
    cells = [cell for unit in told["units"] for cell in unit["stages"]] + told["batch"]
    assert sum(cell["total"] for cell in cells) == told["steps"]["total"] == len(plan.steps)
    assert sum(cell["done"] for cell in cells) == told["steps"]["done"]
    assert told["left"]["low_s"] < told["left"]["about_s"] < told["left"]["high_s"]
