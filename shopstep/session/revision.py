"""What a plan has to follow: the facts of a session, which of them are new, and the words for it.

Imports the plan from ``model``, and state, flow and becoming of this room.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopstep.model.bench import CUT_MISFIT, DONE_OTHERWISE, BenchReading
from shopstep.model.codec import digest, to_text
from shopstep.model.naming import plain_name
from shopstep.model.plan import Conditions, Plan, Remake
from shopstep.session.becoming import bench_readings, label_facts
from shopstep.session.events import PlanRevised
from shopstep.session.flow import open_joints, open_needs
from shopstep.session.state import State
from shopstep.units import format_length, format_span, parse_duration
from shopstep.words import figure, say

MOST_NAMED = 3
"""Pieces named in one sentence; more are counted."""


@dataclass(frozen=True, slots=True)
class Facts:
    """What became known since the batch was first planned."""

    conditions: Conditions
    remakes: tuple[Remake, ...]
    readings: tuple[BenchReading, ...]
    labels: tuple[tuple[str, str], ...]


def facts_of(state: State, plan: Plan) -> Facts:
    """The facts of the session; while glue is open the plan keeps the readings that it has."""
    celsius, humidity = state.temperature_c, state.humidity_percent
    is_noted = celsius is not None and humidity is not None
    return Facts(
        replace(plan.conditions, temperature_c=celsius or 0.0, humidity_percent=humidity or 0.0)
        if is_noted
        else plan.conditions,
        tuple(Remake(*piece) for piece in state.spoiled),
        plan.readings if open_joints(state, plan) else bench_readings(state, plan),
        label_facts(state),
    )


def planned_facts(plan: Plan) -> Facts:
    """The facts that a plan follows."""
    return Facts(plan.conditions, plan.remakes, plan.readings, plan.read_labels)


def say_new(facts: Facts, plan: Plan) -> str:
    """What the plan has to follow, in words."""
    again = _say_again([piece for piece in facts.remakes if piece not in plan.remakes])
    read = [_say_reading(r, plan.display) for r in facts.readings if r not in plan.readings]
    if not read and any(r not in facts.readings for r in plan.readings):
        read = [say("a reading was taken back")]
    from shopstep.warmth import both_scales

    air = facts.conditions
    noted = [
        say(
            "the air is {temperature_c} and {humidity_percent} %",
            temperature_c=both_scales(air.temperature_c),
            humidity_percent=figure(air.humidity_percent, "g"),
        )
    ]
    labels = [_say_label(told) for told in facts.labels if told not in plan.read_labels]
    return ", ".join([*again, *read, *labels, *(noted if air != plan.conditions else [])])


def _say_label(told: tuple[str, str]) -> str:
    """ "the wood glue is open 8 min"."""
    glue, _, _ = told[0].partition(".")
    return say(
        "the {glue} is open {s}",
        glue=glue.replace("_", " "),
        s=format_span(parse_duration(told[1]).s),
    )


def _say_again(pieces: list[Remake]) -> list[str]:
    """Which pieces are made again: named one by one up to three, else counted."""
    if len(pieces) > MOST_NAMED:
        return [
            say(
                "{pieces} pieces of unit {pieces_unit} are made again",
                pieces=len(pieces),
                pieces_unit=pieces[0].unit,
            )
        ]
    return [
        say(
            "the {hand} {plain_name}",
            hand=piece.hand,
            plain_name=plain_name(piece.part).replace("_", " "),
        ).replace("  ", " ")
        + say(" of unit {piece_unit} is made again", piece_unit=piece.unit)
        for piece in pieces
    ]


def _say_reading(reading: BenchReading, display: str) -> str:
    """ "the way of unit 2 is 14 11/16 in"."""
    words = plain_name(reading.name).replace("_", " ").replace(".", " ")
    owner = (
        "" if reading.unit is None else say(" of unit {reading_unit}", reading_unit=reading.unit)
    )
    return say(
        "the {words}{owner} is {reading_value}",
        words=words,
        owner=owner,
        reading_value=format_length(reading.value, display),
    )


def new_misfits(old: Plan, new: Plan) -> list[str]:
    """What does not fit any more since the plan changed."""
    known = {finding.text for finding in old.findings}
    said = [
        finding.text
        for finding in new.findings
        if finding.rule == CUT_MISFIT and finding.text not in known
    ]
    if said:
        said.append(say("A step puts that right before it is used."))
    return said + [
        finding.text
        for finding in new.findings
        if finding.rule == DONE_OTHERWISE and finding.text not in known
    ]


def describe_revision(state: State, old: Plan, new: Plan, reason: str) -> PlanRevised:
    """The event that puts a new plan in the place of the old one."""
    was, will = (dict.fromkeys(step.id for step in plan.steps) for plan in (old, new))
    return PlanRevised(
        number=state.plan_number + 1,
        plan_hash=digest(to_text(new)),
        based_on=state.version,
        reason=reason,
        voided=tuple(step for step in was if step not in will),
        added=tuple(step for step in will if step not in was),
        returned=_returned(state, new),
    )


def _returned(state: State, new: Plan) -> tuple[str, ...]:
    """The step at the bench, where the new plan has something before it that is not done.

    A step that has its glue spread stays: nothing takes it back but scraping.
    """
    step = next((step for step in new.steps if step.id == state.at_bench), None)
    if step is None or step.id in state.spread or step.id in state.finished:
        return ()
    return (step.id,) if open_needs(state, new, step) else ()
