"""What is measured at the bench is followed: parts ahead take it, cut ones are held against it.

The sizes that come out are held against plans made anew with the measured number typed in.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from shopstep.model.bench import CUT_MISFIT, PUT_RIGHT, BenchReading
from shopstep.model.part import Part
from shopstep.model.plan import BuildFileError, Plan, PlanRequest, Remake
from shopstep.planner import make_plan, revise
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.storage.clock import FixedClock
from shopstep.units import Length, parse_length
from shopstep.wiring.late_planner import LatePlanner
from shopstep.workbench import Accepted, Workbench
from tests.floor import BEGIN_S, SHOP, floor_request, floor_text
from tests.schedule_checker import violations
from tests.session_bench import MemoryJournal, first_events, new_id

WAY = "way_between_rails"
UNCLAMP = "glue/unclamp_frame"


def build_text() -> str:
    """The floor, and two steps before any cut: the box of each unit, the boards of the batch."""
    first = """steps:
  measure/box:
    title: Measure the box
    text: The outside width of the box that this floor is for.
    minutes: 1
    needs: []
    checks:
      box: {text: Outside width of the box, value: box_width, tolerance: 1/2 in, becomes: box_width}

  measure/boards:
    title: Measure the boards
    text: The thickest of three.
    minutes: 1
    scope: batch
    needs: []
    checks:
      boards: {text: Thickness, value: board_thickness, tolerance: 1/8 in, becomes: board_thickness}

"""
    return floor_text().replace("steps:\n", first, 1)


@cache
def plan_for(request: PlanRequest) -> Plan:
    """Made once."""
    return make_plan(request)


def open_bench(request: PlanRequest) -> tuple[Workbench, FixedClock]:
    """A session at its beginning, in memory, with the real planner."""
    plan = plan_for(request)
    journal = MemoryJournal.__new__(MemoryJournal)
    journal.plans, journal.stored, journal._request = {1: plan}, [], request  # noqa: SLF001
    clock = FixedClock(request.begin_s)
    journal.append(0, first_events(plan, request.begin_s), clock.now(), "bench", "begin")
    return Workbench(journal, clock, "bench", LatePlanner()), clock


def do(bench: Workbench, command: c.Command) -> Accepted:
    """A command that must be carried out."""
    outcome = bench.do(command)
    assert isinstance(outcome, Accepted), outcome
    return outcome


def finish(bench: Workbench, step: str, read: dict[str, str] | None = None) -> Accepted:
    """Answers, measures (as planned, unless told) and finishes a step; keeps what is outside."""
    do(bench, c.AcknowledgeCaution(id=new_id(), step=step))
    kinds = {kind.id: kind for kind in bench.plan.kinds}
    kind = next(kinds[s.kind] for s in bench.plan.steps if s.id == step)
    for check in kind.checks:
        if check.value is not None:
            told = (read or {}).get(check.name)
            value = parse_length(told) if told else check.value
            do(bench, c.TakeMeasure(id=new_id(), step=step, name=check.name, value=value))
            if abs(value - check.value) > check.tolerance:
                do(bench, c.AcceptDeviation(id=new_id(), step=step, name=check.name, reason="so"))
    return do(bench, c.FinishStep(id=new_id(), step=step))


def walk(
    bench: Workbench, clock: FixedClock, until: str, read: dict[str, dict[str, str]] | None = None
) -> list[str]:
    """Works on until a step is done (empty: to the end); what was said on the way."""
    said: list[str] = []
    for _ in range(2000):
        card = bench.card()
        if card.mode.is_ended or (until and until in bench.state.finished):
            return said
        clock.at_s += 30 if any(timer.is_most for timer in card.timers) else 60
        if card.step_id:
            outcome = finish(bench, card.step_id, (read or {}).get(card.step_id))
            said += [outcome.card.notice] if outcome.card.notice else []
        else:
            clock.at_s += 1800
    raise AssertionError("the batch does not come to its end")


def put_right_steps(plan: Plan) -> list[str]:
    """Ids of the steps that put something right."""
    stages = {kind.id: kind.stage for kind in plan.kinds}
    return [step.id for step in plan.steps if stages[step.kind] == PUT_RIGHT]


def sizes(parts: tuple[Part, ...]) -> dict[tuple[str, str], tuple[Length, Length, Length]]:
    """By name and hand."""
    return {(p.name, p.hand or ""): (p.length, p.width, p.thickness) for p in parts}


@pytest.fixture(scope="module")
def narrow() -> tuple[Workbench, list[str]]:
    """Two floors up to their ways: 1/16 in narrow, and 1/16 in wide."""
    bench, clock = open_bench(floor_request())
    read = {f"u1/{UNCLAMP}": {WAY: "14 11/16 in"}, f"u2/{UNCLAMP}": {WAY: "14 13/16 in"}}
    said = walk(bench, clock, f"u2/{UNCLAMP}", read)
    return bench, said + walk(bench, clock, f"u1/{UNCLAMP}", read)


def test_a_cut_part_that_fits_no_more_is_named_with_what_to_do(
    narrow: tuple[Workbench, list[str]],
) -> None:
    # by hand: the block is 14 3/4 - 1/16 long; a way of 14 11/16 leaves it nothing
    bench, said = narrow
    assert put_right_steps(bench.plan) == ["u1/putright/entrance_block"]
    words = "The entrance block of unit 1 is cut 14 11/16 in long; 14 5/8 in is wanted: 1/16 in"
    assert any("the way of unit 1 is 14 11/16 in" in each and words in each for each in said)
    found = [f.text for f in bench.plan.findings if f.rule == CUT_MISFIT]
    assert found == [f"{words} too long."]


def test_what_still_fits_asks_for_nothing(narrow: tuple[Workbench, list[str]]) -> None:
    # by hand: tray and door are 14 5/8; a way of 14 11/16 leaves 1/16, one of 14 13/16 leaves 3/16,
    # and both fits allow just that much
    bench, said = narrow
    assert not any("u2" in step for step in put_right_steps(bench.plan))
    assert any("the way of unit 2 is 14 13/16 in" in each for each in said)
    assert all("tray" not in each and "door" not in each for each in said)


def test_only_steps_of_that_unit_that_hold_the_part_wait_for_it(
    narrow: tuple[Workbench, list[str]],
) -> None:
    bench, _ = narrow
    holds = {kind.id: kind.parts for kind in bench.plan.kinds}
    waiting = [s for s in bench.plan.steps if "u1/putright/entrance_block" in s.needs]
    assert waiting
    assert all(step.unit == 1 and "entrance_block" in holds[step.kind] for step in waiting)


def test_the_step_that_puts_it_right_asks_for_the_size_and_closes_on_it(
    narrow: tuple[Workbench, list[str]],
) -> None:
    bench, _ = narrow
    kind = next(k for k in bench.plan.kinds if k.id == "putright/entrance_block~u1")
    (check,) = kind.checks
    assert check.value == parse_length("14 5/8 in")
    assert kind.tool == "hand_plane"
    assert [caution.id for caution in kind.cautions] == ["hand_plane"]


def test_what_was_asked_stays_as_it_was_asked(narrow: tuple[Workbench, list[str]]) -> None:
    bench, _ = narrow
    kinds = {kind.id: kind for kind in bench.plan.kinds}
    for unit in (1, 2):
        step = next(s for s in bench.plan.steps if s.id == f"u{unit}/{UNCLAMP}")
        assert kinds[step.kind].checks[0].value == parse_length("14 3/4 in")


def test_the_plan_keeps_every_rule_after_it_followed(narrow: tuple[Workbench, list[str]]) -> None:
    plan = narrow[0].plan
    known = {step.id for step in plan.steps}
    assert all(need in known for step in plan.steps for need in step.needs)
    ahead = {s.id for s in plan.steps} - narrow[0].state.finished.keys()
    late = violations(plan.steps, plan.steps, plan.waits, plan.holds, SHOP, 0)
    assert [one for one in late if any(step in str(one) for step in ahead)] == []


def test_the_batch_comes_to_its_end_with_what_was_put_right() -> None:
    bench, clock = open_bench(floor_request(units=1))
    walk(bench, clock, "", {f"u1/{UNCLAMP}": {WAY: "14 11/16 in"}})
    assert bench.card().mode.value == "complete"
    assert any("putright" in step for step in bench.state.finished)


def test_a_reading_taken_back_takes_its_steps_back() -> None:
    bench, clock = open_bench(floor_request(units=1))
    walk(bench, clock, f"u1/{UNCLAMP}", {f"u1/{UNCLAMP}": {WAY: "14 11/16 in"}})
    assert put_right_steps(bench.plan)
    back = do(bench, c.GoBack(id=new_id()))
    assert put_right_steps(bench.plan) == []
    assert bench.plan.readings == ()
    assert "taken back" in back.card.notice
    finish(bench, f"u1/{UNCLAMP}")
    assert put_right_steps(bench.plan) == []


def test_parts_that_are_not_cut_follow_a_number_of_the_batch() -> None:
    request = floor_request(text=build_text())
    bench, _ = open_bench(request)
    finish(bench, "all/measure/boards", {"boards": "13/16 in"})
    typed = make_plan(replace(request, settings=(("board_thickness", "13/16 in"),)))
    assert sizes(bench.plan.parts) == sizes(typed.parts)
    assert put_right_steps(bench.plan) == []
    measured = next(m for m in bench.plan.measured if m.name == "board_thickness")
    assert (measured.value, measured.origin) == (parse_length("13/16 in"), "read at the bench")


def test_a_unit_of_its_own_size_gets_its_pieces_apart_and_the_others_theirs() -> None:
    request = floor_request(text=build_text(), units=3)
    bench, _ = open_bench(request)
    finish(bench, "u2/measure/box", {"box": "16 1/2 in"})
    plan, usual = bench.plan, plan_for(request)
    other = make_plan(replace(request, units=1, settings=(("box_width", "16 1/2 in"),)))
    assert sizes(plan.parts) == sizes(usual.parts)
    wide = sizes(other.parts)
    apart = sizes(tuple(piece.part for piece in plan.apart))
    assert apart
    assert all(piece.unit == 2 for piece in plan.apart)
    # all that differ by more than a cut is exact, and nothing else
    exact = parse_length("1/16 in")
    differ = {
        key
        for key, size in wide.items()
        if any(abs(a - b) > exact for a, b in zip(size, sizes(usual.parts)[key], strict=True))
    }
    assert apart == {key: wide[key] for key in differ}
    for part in plan.parts:
        cut = [k for piece in plan.stock for k in piece.cuts if k.part == part.name and not k.spare]
        assert sum(k.hand is part.hand for k in cut) == 3 * part.count_unit, part.label
    fit = next(s for s in plan.steps if s.id == "u2/fit/dry_fit")
    words = next(k for k in plan.kinds if k.id == fit.kind)
    assert parse_length("16 1/2 in") in [number.value for number in words.numbers]
    assert any(need.endswith("~u2") for need in fit.needs)


def test_the_batch_with_a_unit_apart_comes_to_its_end() -> None:
    bench, clock = open_bench(floor_request(text=build_text()))
    finish(bench, "u2/measure/box", {"box": "16 1/2 in"})
    walk(bench, clock, "")
    assert bench.card().mode.value == "complete"
    assert any(step.endswith("~u2") for step in bench.state.finished)


def test_a_piece_made_apart_is_not_taken_as_cut_with_the_others() -> None:
    # the trays of the batch are cut, that of unit 2 is not; a later plan still holds its cut
    bench, clock = open_bench(floor_request(text=build_text()))
    finish(bench, "u2/measure/box", {"box": "16 1/2 in"})
    walk(bench, clock, "all/sheet_cut/tray-2")
    own = "all/sheet_cut/tray-2~u2"
    assert own not in bench.state.finished
    too_early = bench.do(c.SpoilPart(id=new_id(), part="tray", hand="", unit=2))
    assert isinstance(too_early, c.Refusal)
    do(bench, c.NoteConditions(id=new_id(), temperature_c=18.0, humidity_percent=50.0))
    assert put_right_steps(bench.plan) == []
    assert own in {step.id for step in bench.plan.steps}
    cuts = [cut.width for piece in bench.plan.stock for cut in piece.cuts if cut.part == "tray"]
    # by hand: 16 1/4 and 16 1/2, less two boards of 3/4 and the slide of 1/8
    assert sorted(cuts) == [parse_length("14 5/8 in"), parse_length("14 7/8 in")]
    walk(bench, clock, "u2/fit/mark")
    do(bench, c.NoteConditions(id=new_id(), temperature_c=20.0, humidity_percent=50.0))
    assert put_right_steps(bench.plan) == []


@pytest.mark.parametrize(("units", "whose"), [(2, "u1"), (1, "all")])
def test_a_piece_that_has_to_be_put_right_can_be_made_again_as_its_step_says(
    units: int, whose: str
) -> None:
    bench, clock = open_bench(floor_request(units=units))
    walk(bench, clock, f"u1/{UNCLAMP}", {f"u1/{UNCLAMP}": {WAY: "14 11/16 in"}})
    assert put_right_steps(bench.plan) == [f"{whose}/putright/entrance_block"]
    do(bench, c.SpoilPart(id=new_id(), part="entrance_block", hand="", unit=1))
    assert put_right_steps(bench.plan) == []
    cuts = [k.length for p in bench.plan.stock for k in p.cuts if k.part == "entrance_block"]
    assert min(cuts) == parse_length("14 5/8 in")


def test_a_number_that_no_plan_can_follow_is_said_and_changes_nothing() -> None:
    text = build_text().replace("tolerance: 1/8 in, becomes", "tolerance: 9 in, becomes")
    request = floor_request(text=text)
    bench, _ = open_bench(request)
    before = bench.plan
    outcome = finish(bench, "all/measure/boards", {"boards": "3 in"})
    assert "The plan stays as it is: board_thickness is 3 in; this build works from" in (
        outcome.card.notice
    )
    assert bench.plan == before
    assert "all/measure/boards" in bench.state.finished
    assert bench.card().notice == ""


def test_what_is_noted_after_a_number_in_vain_is_followed_all_the_same() -> None:
    text = build_text().replace("tolerance: 1/8 in, becomes", "tolerance: 9 in, becomes")
    bench, clock = open_bench(floor_request(text=text))
    finish(bench, "all/measure/boards", {"boards": "3 in"})
    later = Workbench(bench._journal, clock, "bench", LatePlanner())  # noqa: SLF001
    for each, air in ((bench, 18.0), (later, 24.0)):
        do(each, c.NoteConditions(id=new_id(), temperature_c=air, humidity_percent=50.0))
        assert each.plan.conditions.temperature_c == air
        assert each.plan.readings == ()


def test_while_glue_is_open_the_plan_stays_and_follows_afterwards() -> None:
    check = "    checks:\n      now: {text: Way, value: way, tolerance: 1 in, becomes: way}\n"
    step = "    glue: wood_glue\n    role: spread\n"
    text = floor_text().replace(step, f"{check}{step}", 1)
    bench, clock = open_bench(floor_request(text=text, units=1))
    walk(bench, clock, "u1/glue/spread_left", {"u1/glue/spread_left": {"now": "14 5/8 in"}})
    assert not bench.plan.readings
    closed = finish(bench, "u1/glue/close_left")
    assert "the way of unit 1" not in closed.card.notice or bench.plan.readings
    assert {r.value for r in bench.plan.readings} == {parse_length("14 5/8 in")}
    # what follows the closed joint at once is not kept waiting by what is to be put right
    chained = [s for s in bench.plan.steps if s.id.startswith("u1/glue/") and s.behind]
    assert all("putright" not in need for step in chained for need in step.needs)


def test_the_revision_is_stored_after_the_step_and_says_why() -> None:
    bench, _ = open_bench(floor_request(text=build_text()))
    outcome = finish(bench, "all/measure/boards", {"boards": "13/16 in"})
    kinds = [type(envelope.event) for envelope in outcome.envelopes]
    assert kinds.index(e.StepFinished) < kinds.index(e.PlanRevised)
    revised = next(v.event for v in outcome.envelopes if isinstance(v.event, e.PlanRevised))
    assert revised.reason == "the board thickness is 13/16 in"
    assert bench.plan.readings == (
        BenchReading("board_thickness", parse_length("13/16 in"), None, "all/measure/boards"),
    )


def test_nothing_read_otherwise_than_planned_makes_no_new_plan() -> None:
    bench, clock = open_bench(floor_request(units=1))
    assert walk(bench, clock, f"u1/{UNCLAMP}") == []
    assert bench.state.plan_number == 1


def test_a_piece_made_again_takes_the_size_of_its_unit() -> None:
    request = floor_request()
    plan = plan_for(request)
    done = {step.id: (step.start_s, step.end_s) for step in plan.steps if step.unit is None}
    way = BenchReading("way", parse_length("14 9/16 in"), 2, f"u2/{UNCLAMP}")
    made = revise(replace(request, readings=(way,)), plan, done, BEGIN_S + 400_000)
    assert "u2/putright/tray" in put_right_steps(made)
    again = revise(
        replace(request, readings=(way,), remakes=(Remake("tray", "", 2, 2),)),
        made,
        done,
        BEGIN_S + 400_000,
    )
    assert "u2/putright/tray" not in put_right_steps(again)
    cuts = [cut for piece in again.stock for cut in piece.cuts if cut.part == "tray"]
    # by hand: 14 9/16 less the slide of 1/8
    assert sorted(cut.width for cut in cuts)[0] == parse_length("14 7/16 in")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("{text: Way, becomes: way}", "becomes 'way', but asks for no number; add 'value:'"),
        ("{text: Way, value: way, becomes: wya}", "'wya' is not known; did you mean 'way'"),
        ("{text: Way, value: way, becomes: Way}", "'Way' is no name here"),
    ],
)
def test_a_build_that_becomes_what_is_not_there_is_told_so(line: str, said: str) -> None:
    was = "{text: Least way between the rails, value: way, tolerance: 1/16 in, becomes: way}"
    text = floor_text().replace(f"{WAY}: {was}", f"{WAY}: {line}")
    assert text != floor_text()
    with pytest.raises(BuildFileError) as problem:
        make_plan(floor_request(text=text))
    assert said in problem.value.text
    assert problem.value.where.line > 0
