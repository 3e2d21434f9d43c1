"""Evolve: what one event makes true. Total, never refuses, never reads a plan.

Imports only the events and the state of this room. A moment earlier than the latest one known
counts as the latest one, so that a clock that was put back never shortens a wait.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from shopstep.session.events import (
    BatchCompleted,
    BatchHeld,
    BatchResumed,
    BatchStopped,
    BuildChangeKept,
    BuildMoved,
    CautionAcknowledged,
    ClampsCounted,
    ClockNoticed,
    ConditionsNoted,
    DeviationAccepted,
    Envelope,
    Event,
    GlueScraped,
    GlueSpread,
    HoursTold,
    LabelRead,
    MeasureTaken,
    NoteTaken,
    PartSpoiled,
    PlanRevised,
    SessionStarted,
    StepBegun,
    StepFinished,
    StepReopened,
    StepSetAside,
    StepsVoided,
)
from shopstep.session.state import Note, Reading, State

OPEN_TIME = "open_time"
"""Name under which a joint that was closed late is accepted, on its closing step."""
PUT_OFF = "within"
"""Name under which a step that was put off for too long is accepted."""
LATE = (OPEN_TIME, PUT_OFF)
"""Names under which it is kept that something was done too late: no readings."""

K = TypeVar("K")
V = TypeVar("V")


def evolve(state: State, envelope: Envelope) -> State:
    """The state after one more event; an unknown kind of event only moves the version."""
    at_s = max(envelope.moment.at_s, state.last_s)
    apply = _APPLIERS.get(type(envelope.event))
    after = apply(state, envelope.event, at_s) if apply is not None else state
    return replace(
        after,
        version=envelope.version,
        last_s=at_s,
        last_boot=envelope.moment.boot_id,
        last_monotonic_ns=envelope.moment.monotonic_ns,
    )


def fold(envelopes: Iterable[Envelope]) -> State:
    """The state after all events, from the first."""
    state = State()
    for envelope in envelopes:
        state = evolve(state, envelope)
    return state


def _start(state: State, event: SessionStarted, at_s: int) -> State:
    return replace(
        state,
        title=event.title,
        plan_number=1,
        plan_hash=event.plan_hash,
        build_digest=event.build_digest,
        started_s=at_s,
    )


def _begin(state: State, event: StepBegun, at_s: int) -> State:
    begun = {**state.begun, event.step: at_s}
    # What was set aside keeps its reason until it is done, so that the card can tell it.
    return replace(state, at_bench=event.step, begun=begun, idle_s=0)


def _acknowledge(state: State, event: CautionAcknowledged, at_s: int) -> State:
    return replace(state, acknowledged=state.acknowledged | {event.step})


def _spread(state: State, event: GlueSpread, at_s: int) -> State:
    """Fresh glue: what was agreed about glue that was open too long is over."""
    accepted = {
        key: reason
        for key, reason in state.accepted.items()
        if key[1] != OPEN_TIME or key[0] in state.finished
    }
    return replace(
        state,
        spread={**state.spread, event.step: event.since_s},
        reopened=state.reopened - {event.step},
        accepted=accepted,
    )


def _finish(state: State, event: StepFinished, at_s: int) -> State:
    # Taken out first, so that the mapping's order is the order of finishing.
    finished = _without(state.finished, event.step)
    finished[event.step] = min(event.told_s, at_s) if event.told_s else at_s
    return replace(
        state,
        finished=finished,
        reopened=state.reopened - {event.step},
        again=state.again - {event.step},
        spent={**state.spent, event.step: event.spent_s},
        at_bench=None if state.at_bench == event.step else state.at_bench,
        idle_s=0 if state.at_bench == event.step else state.idle_s,
        aside=_without(state.aside, event.step) if event.step in state.aside else state.aside,
    )


def _set_aside(state: State, event: StepSetAside, at_s: int) -> State:
    return replace(
        state,
        aside={**state.aside, event.step: event.reason},
        at_bench=None if state.at_bench == event.step else state.at_bench,
        idle_s=0 if state.at_bench == event.step else state.idle_s,
    )


def _scrape(state: State, event: GlueScraped, at_s: int) -> State:
    """The glue is gone, and with it every tick, answer and reading that rested on it."""
    return _undo(state, {event.step, *event.reopened}, {event.step})


def _void(state: State, event: StepsVoided, at_s: int) -> State:
    """The work is lost, and with it every tick, answer, reading and all glue of these steps."""
    gone = set(event.steps)
    return replace(_undo(state, gone, gone), again=state.again | gone)


def _undo(state: State, gone: set[str], dry: set[str]) -> State:
    """The state without the steps ``gone``; glue that the steps ``dry`` spread is off."""
    return replace(
        state,
        spread={step: s for step, s in state.spread.items() if step not in dry},
        finished={step: s for step, s in state.finished.items() if step not in gone},
        spent={step: s for step, s in state.spent.items() if step not in gone},
        acknowledged=state.acknowledged - gone,
        readings={key: read for key, read in state.readings.items() if key[0] not in gone},
        accepted={
            key: why
            for key, why in state.accepted.items()
            if key[0] not in gone and (key[1] not in LATE or key[0] in state.finished)
        },
        reopened=state.reopened - gone,
        at_bench=None,
        idle_s=0,
        completed_s=None,
    )


def _stop(state: State, event: BatchStopped, at_s: int) -> State:
    return replace(
        state,
        stopped_s=at_s,
        stopped_reason=event.reason,
        at_bench=None,
        held_since=None,
        held_reason="",
    )


def _reopen(state: State, event: StepReopened, at_s: int) -> State:
    """The tick is taken back, and nothing else: glue stays open and its time runs on.

    Readings that steps still open took since then are void: they were read off a work that is
    being opened. The reopened step keeps its own.
    """
    finished = _without(state.finished, event.step)
    since_s = state.finished.get(event.step, at_s)
    readings = {
        key: reading
        for key, reading in state.readings.items()
        if key[0] in finished or key[0] == event.step or reading.at_s < since_s
    }
    return replace(
        state,
        at_bench=event.step,
        begun={**state.begun, event.step: at_s},
        idle_s=0,
        finished=finished,
        reopened=state.reopened | {event.step},
        spent=_without(state.spent, event.step),
        acknowledged=state.acknowledged - {event.step},
        readings=readings,
        accepted=_still_accepted(state, event.step, finished, readings),
        completed_s=None,
    )


def _still_accepted(
    state: State,
    reopened: str,
    finished: Mapping[str, int],
    readings: Mapping[tuple[str, str], Reading],
) -> dict[tuple[str, str], str]:
    """What stays accepted: a value that is void takes its acceptance with it."""
    return {
        (step, name): reason
        for (step, name), reason in state.accepted.items()
        if step in finished or (step, name) in readings or (name == OPEN_TIME and step != reopened)
    }


def _hold(state: State, event: BatchHeld, at_s: int) -> State:
    if state.held_since is not None:
        return state
    return replace(state, held_since=at_s, held_reason=event.reason)


def _resume(state: State, event: BatchResumed, at_s: int) -> State:
    if state.held_since is None:
        return state
    idle_s = state.idle_s + at_s - state.held_since
    return replace(state, held_since=None, held_reason="", idle_s=idle_s)


def _measure(state: State, event: MeasureTaken, at_s: int) -> State:
    key = (event.step, event.name)
    before = state.readings.get(key)
    tries = before.tries + 1 if before is not None else 1
    reading = Reading(event.nm, event.within, at_s, event.where, tries)
    readings = {**state.readings, key: reading}
    return replace(state, readings=readings, accepted=_without(state.accepted, key))


def _accept(state: State, event: DeviationAccepted, at_s: int) -> State:
    accepted = {**state.accepted, (event.step, event.name): event.reason}
    return replace(state, accepted=accepted)


def _note(state: State, event: NoteTaken, at_s: int) -> State:
    note = Note(event.step, event.text, at_s, event.about, event.unit)
    return replace(state, notes=(*state.notes, note))


def _note_conditions(state: State, event: ConditionsNoted, at_s: int) -> State:
    return replace(
        state, temperature_c=event.temperature_c, humidity_percent=event.humidity_percent
    )


def _revise(state: State, event: PlanRevised, at_s: int) -> State:
    gone = {*event.voided, *event.returned}
    return replace(
        state,
        plan_number=event.number,
        plan_hash=event.plan_hash,
        at_bench=None if state.at_bench in gone else state.at_bench,
        idle_s=0 if state.at_bench in gone else state.idle_s,
        aside={step: why for step, why in state.aside.items() if step not in event.voided},
        # The new plan may set other cautions before a step that is still open.
        acknowledged=state.acknowledged
        if event.only_times
        else frozenset(state.acknowledged & state.finished.keys()),
        completed_s=None if event.added else state.completed_s,
    )


def _keep_plan(state: State, event: BuildChangeKept, at_s: int) -> State:
    return replace(state, build_digest=event.build_digest)


def _stay(state: State, event: HoursTold, at_s: int) -> State:
    return replace(state, stays_until_s=event.until_s)


def _count_clamps(state: State, event: ClampsCounted, at_s: int) -> State:
    return replace(state, clamps=event.count, clamp_sets=event.sets)


def _read_label(state: State, event: LabelRead, at_s: int) -> State:
    return replace(state, labels={**state.labels, event.glue: event.seconds})


def _move_build(state: State, event: BuildMoved, at_s: int) -> State:
    return replace(state, build_digest=event.build_digest, texts=event.texts)


def _spoil(state: State, event: PartSpoiled, at_s: int) -> State:
    piece = (event.part, event.hand, event.unit, event.number, event.reason)
    return replace(state, spoiled=(*state.spoiled, piece), completed_s=None)


def _notice_clock(state: State, event: ClockNoticed, at_s: int) -> State:
    return replace(state, offset_s=event.offset_s)


def _complete(state: State, event: BatchCompleted, at_s: int) -> State:
    return replace(state, completed_s=at_s)


def _without(mapping: Mapping[K, V], key: K) -> dict[K, V]:
    rest = dict(mapping)
    rest.pop(key, None)
    return rest


# The value type is Any because each applier takes its own class of event.
_APPLIERS: dict[type[Event], Callable[[State, Any, int], State]] = {
    SessionStarted: _start,
    StepBegun: _begin,
    CautionAcknowledged: _acknowledge,
    GlueSpread: _spread,
    StepFinished: _finish,
    StepReopened: _reopen,
    BatchHeld: _hold,
    StepSetAside: _set_aside,
    GlueScraped: _scrape,
    StepsVoided: _void,
    BatchStopped: _stop,
    BatchResumed: _resume,
    MeasureTaken: _measure,
    DeviationAccepted: _accept,
    NoteTaken: _note,
    ConditionsNoted: _note_conditions,
    PlanRevised: _revise,
    BuildChangeKept: _keep_plan,
    BuildMoved: _move_build,
    HoursTold: _stay,
    LabelRead: _read_label,
    ClampsCounted: _count_clamps,
    ClockNoticed: _notice_clock,
    PartSpoiled: _spoil,
    BatchCompleted: _complete,
}
