"""The board: one look at the whole batch. Units by stages, what waits, what is ready, what is left.

Imports ``model``, ``session`` and the words of this room.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shopstep.model.naming import plain_name
from shopstep.model.plan import Plan
from shopstep.model.step import Step, WaitKind
from shopstep.present.ahead import ahead_sentence, left_of
from shopstep.present.evenings import EveningPlan, name_units, plan_evenings
from shopstep.present.moments import local_date
from shopstep.present.plan_text import part_title
from shopstep.present.rest import Rest, rest_of
from shopstep.session.flow import index_plan
from shopstep.session.remakes import pieces_to_make
from shopstep.session.state import State
from shopstep.session.statuses import BatchStatus, Standing, Status, batch_status, step_standing
from shopstep.session.timers import running_timers
from shopstep.words import say

PRESSING = (
    Status.AT_BENCH,
    Status.HELD,
    Status.AGAIN,
    Status.READY,
    Status.WAITING,
    Status.SET_ASIDE,
    Status.AHEAD,
    Status.DONE,
)
"""A cell that holds several steps shows the first of these that one of them has."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One stage of one unit, or of the whole batch."""

    status: Status
    until_s: int | None
    """Where it waits: when the first of its steps may begin (seconds since 1970 UTC)."""
    done: int
    """How many of its steps are done…"""
    total: int
    """…of so many."""


@dataclass(frozen=True, slots=True)
class UnitRow:
    """Where one unit stands."""

    unit: int
    cells: tuple[Cell | None, ...]
    """For each stage of the board; None where the unit has no such stage."""


@dataclass(frozen=True, slots=True)
class BoardWait:
    """What dries, cures or is clamped: like waits of several units together."""

    name: str
    """What waits, without the unit: "paint"."""
    kind: str
    """A ``WaitKind``, never ``open``."""
    units: str
    """"unit 2", "units 1–4"; empty for the whole batch."""
    first_s: int
    """When the first of them is over, or has to have begun…"""
    last_s: int
    """…and the last."""


@dataclass(frozen=True, slots=True)
class BoardWork:
    """Steps of one kind of several units, or those of one stage of one unit."""

    title: str
    units: str
    """Empty for the whole batch."""
    start_s: int
    """When the first of them is planned; 0 where that does not matter."""
    count: int
    more: int = 0
    """How many other kinds of steps follow the one that gives the title."""

    @property
    def words(self) -> str:
        """ "Close the frame, units 1–3", "Glue the left side and 6 more, unit 2"."""
        title = (
            say("{title} and {more} more", title=self.title, more=self.more)
            if self.more
            else self.title
        )
        return ", ".join(text for text in (title, self.units) if text)


@dataclass(frozen=True, slots=True)
class Tonights:
    """What is planned for the rest of this day, as far as the batch has really come."""

    works: tuple[BoardWork, ...]
    hands_on_s: int
    ahead: str
    """Evenings left, and when it is done against the plan."""


@dataclass(frozen=True, slots=True)
class Board:
    """The whole batch at one moment."""

    title: str
    status: BatchStatus
    now_s: int
    zone: str
    done: int
    total: int
    batch: tuple[tuple[str, Cell], ...]
    """Stages that the whole batch goes through at once, in the order of the work."""
    stages: tuple[str, ...]
    """Stages that each unit goes through, in the order of the work."""
    rows: tuple[UnitRow, ...]
    waits: tuple[BoardWait, ...]
    """What is over first stands first."""
    ready: tuple[BoardWork, ...]
    again: tuple[str, ...]
    """Pieces that are to be cut again, and steps that are to be done again."""
    aside: tuple[str, ...]
    rest: Rest
    tonight: Tonights | None
    """None where there are no planned times from now on."""


def board_of(state: State, plan: Plan, now_s: int, ahead: Plan | None = None) -> Board:
    """The board at ``now_s``; ``ahead`` is the plan with times from now on, where there is one."""
    standings = {step.id: step_standing(state, plan, step.id, now_s) for step in plan.steps}
    status = batch_status(state, plan)
    is_over = status in (BatchStatus.COMPLETE, BatchStatus.STOPPED)
    batch_stages, unit_stages = _stages(plan, of_unit=False), _stages(plan, of_unit=True)
    cells = _cells(plan, standings)
    ready = [step for step in plan.steps if standings[step.id].status is Status.READY]
    return Board(
        title=state.title or plan.build_title,
        status=status,
        now_s=now_s,
        zone=plan.zone,
        done=sum(s.status is Status.DONE for s in standings.values()),
        total=len(plan.steps),
        batch=tuple((_stage_words(stage), cells[None, stage]) for stage in batch_stages),
        stages=tuple(_stage_words(stage) for stage in unit_stages),
        rows=tuple(
            UnitRow(unit, tuple(cells.get((unit, stage)) for stage in unit_stages))
            for unit in range(1, plan.units + 1)
        ),
        waits=_waits(state, plan, now_s),
        ready=() if is_over else _works(plan, ready),
        again=_again(state, plan, standings),
        aside=tuple(
            work.words for work in _works(plan, (s for s in plan.steps if s.id in state.aside))
        ),
        rest=rest_of(state, plan),
        tonight=None if is_over or ahead is None else _tonight(state, plan, ahead, now_s),
    )


def show_cell(standings: Iterable[Standing]) -> Cell:
    """What a cell of these steps (at least one) shows: what presses most."""
    found = list(standings)
    has = {standing.status for standing in found}
    status = next(status for status in PRESSING if status in has)
    ends = [s.until_s for s in found if s.status is Status.WAITING and s.until_s is not None]
    return Cell(
        status,
        min(ends, default=None) if status is Status.WAITING else None,
        sum(standing.status is Status.DONE for standing in found),
        len(found),
    )


def _stages(plan: Plan, *, of_unit: bool) -> list[str]:
    """In the order in which the plan names them; those of several builds that are alike once."""
    used = {step.kind for step in plan.steps if (step.unit is not None) is of_unit}
    return list(dict.fromkeys(plain_name(kind.stage) for kind in plan.kinds if kind.id in used))


def _stage_words(stage: str) -> str:
    return say(stage.replace("_", " "))


def _cells(plan: Plan, standings: dict[str, Standing]) -> dict[tuple[int | None, str], Cell]:
    index = index_plan(plan)
    groups: dict[tuple[int | None, str], list[Standing]] = {}
    for step in plan.steps:
        stage = plain_name(index.kind_of(step).stage)
        groups.setdefault((step.unit, stage), []).append(standings[step.id])
    return {key: show_cell(found) for key, found in groups.items()}


def _works(plan: Plan, steps: Iterable[Step]) -> tuple[BoardWork, ...]:
    """Steps of one kind together, in the order in which the first of them comes."""
    groups: dict[str, list[Step]] = {}
    for step in steps:
        groups.setdefault(step.kind, []).append(step)
    index = index_plan(plan)
    return tuple(
        BoardWork(index.kinds[kind].title, name_units(_sorted(run)), run[0].start_s, len(run))
        for kind, run in groups.items()
    )


def _sorted(steps: Iterable[Step]) -> tuple[Step, ...]:
    return tuple(sorted(steps, key=lambda step: step.unit or 0))


def _waits(state: State, plan: Plan, now_s: int) -> tuple[BoardWait, ...]:
    """Waits that run now, but for open glue; like ones of several units together."""
    index = index_plan(plan)
    groups: dict[tuple[str, str], list[tuple[Step, int]]] = {}
    for timer in running_timers(state, plan):
        step = index.steps.get(timer.wait.before)
        if timer.wait.kind is WaitKind.OPEN or step is None:
            continue
        if timer.wait.is_least and timer.due_s <= now_s:
            continue
        name = timer.wait.title.removesuffix(", " + say("unit {unit}", unit=step.unit))
        groups.setdefault((name, timer.wait.kind.value), []).append((step, timer.due_s))
    found = [
        BoardWait(
            name,
            kind,
            name_units(_sorted({step.unit: step for step, _ in run}.values())),
            min(due for _, due in run),
            max(due for _, due in run),
        )
        for (name, kind), run in groups.items()
    ]
    return tuple(sorted(found, key=lambda wait: (wait.first_s, wait.name)))


def _again(state: State, plan: Plan, standings: dict[str, Standing]) -> tuple[str, ...]:
    """Pieces first, then the steps that wait for them."""
    hands = {part.hand.value: part.hand for part in plan.parts if part.hand is not None}
    pieces = [
        say(
            "{part_title}, unit {piece_unit}",
            part_title=part_title(plan, piece.part, hands.get(piece.hand)),
            piece_unit=piece.unit,
        )
        + (f": {piece.reason}" if piece.reason else "")
        for piece in pieces_to_make(state, plan)
    ]
    steps = [step for step in plan.steps if standings[step.id].status is Status.AGAIN]
    return (*pieces, *(work.words for work in _works(plan, steps)))


def _tonight(state: State, plan: Plan, ahead: Plan, now_s: int) -> Tonights:
    """The open steps of this day, in the order of the plan from now on."""
    today = local_date(now_s, plan.zone)
    days = plan_evenings(left_of(state, ahead))
    evening = next((each for each in days if each.day == today), None)
    return Tonights(
        works=_runs(ahead, evening) if evening is not None else (),
        hands_on_s=evening.hands_on_s if evening is not None else 0,
        ahead=ahead_sentence(state, plan, ahead),
    )


def _runs(plan: Plan, evening: EveningPlan) -> tuple[BoardWork, ...]:
    """Like steps together, and what follows one another in one stage of one unit."""
    index = index_plan(plan)
    merged: list[list[Step]] = []
    for run in evening.runs:
        if merged and _is_one_stage(plan, (*merged[-1], *run)):
            merged[-1] += run
        else:
            merged.append(list(run))
    return tuple(
        BoardWork(
            index.kind_of(run[0]).title,
            name_units(_sorted({step.unit: step for step in run}.values())),
            run[0].start_s,
            len(run),
            len({step.kind for step in run}) - 1,
        )
        for run in merged
    )


def _is_one_stage(plan: Plan, steps: Iterable[Step]) -> bool:
    index = index_plan(plan)
    return len({(index.kind_of(step).stage, step.unit) for step in steps}) == 1
