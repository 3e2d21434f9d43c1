"""A spoiled piece: what must be true so that it can be made again.

Imports the plan from ``model``, and commands, events and the situation of this room.
"""

from __future__ import annotations

from difflib import get_close_matches

from shopstep.model.part import Part
from shopstep.model.step import GlueRole, Source, Step
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.gates import Verdict
from shopstep.session.refusals import name_step
from shopstep.session.situation import Situation

LONGEST_REASON = 200
_AGAIN = "~"
"""Stands in the ids of steps that make a piece again."""


def spoil_part(situation: Situation, command: c.SpoilPart) -> Verdict:
    """One piece of a unit is to be made again; refused where it is not cut, or joined already."""
    part = _find_part(situation, command)
    if isinstance(part, c.Refusal):
        return part
    refusal = (
        _bad_unit(situation, command)
        or _not_cut(situation, part)
        or _joined(situation, part, command)
    )
    if refusal is not None:
        return refusal
    number = 2 + sum(1 for name, *_ in situation.state.spoiled if name == part.name)
    hand = part.hand.value if part.hand else ""
    reason = command.reason.strip()[:LONGEST_REASON]
    return (e.PartSpoiled(part.name, hand, command.unit, number, reason),)


def _find_part(situation: Situation, command: c.SpoilPart) -> Part | c.Refusal:
    parts = situation.plan.parts
    wanted = command.part.replace(" ", "_")
    named = [part for part in parts if part.name == wanted]
    if not named:
        near = get_close_matches(wanted, [part.name for part in parts], n=1)
        hint = f" Did you mean '{near[0]}'?" if near else ""
        return c.Refusal(f"There is no part '{command.part}' in this plan.{hint}", "unknown_part")
    fitting = [p for p in named if p.hand is None or p.hand.value == command.hand]
    if not fitting:
        return c.Refusal(f"Say which {named[0].title}: left or right.", "which_hand")
    return fitting[0]


def _bad_unit(situation: Situation, command: c.SpoilPart) -> c.Refusal | None:
    if 1 <= command.unit <= situation.plan.units:
        return None
    return c.Refusal(f"There are units 1 to {situation.plan.units}.", "bad_value")


def _not_cut(situation: Situation, part: Part) -> c.Refusal | None:
    """A piece whose last cut is still ahead is simply cut once more with the others."""
    index = situation.index
    last = [
        step
        for step in situation.plan.steps
        if index.kind_of(step).source is Source.DERIVED
        and part.name in index.kind_of(step).parts
        and _AGAIN not in step.id
    ]
    open_cuts = [step for step in last if step.id not in situation.state.finished]
    if last and not open_cuts:
        return None
    if not last:
        text = f"The {part.label} is not cut here, so it cannot be cut again."
        return c.Refusal(text, "not_cut")
    text = (
        f"The {part.label} is not cut to its end yet ({name_step(situation, open_cuts[0].id)} is "
        "ahead): cut one more there with the others."
    )
    return c.Refusal(text, "not_cut")


def _joined(situation: Situation, part: Part, command: c.SpoilPart) -> c.Refusal | None:
    index = situation.index

    def joins(step: Step) -> bool:
        kind = index.kind_of(step)
        holds = step.unit == command.unit and part.name in kind.parts
        return holds and (kind.role is not GlueRole.NONE or bool(kind.fasteners))

    done = [s for s in situation.plan.steps if s.id in situation.state.finished and joins(s)]
    if not done:
        return None
    text = (
        f"The {part.label} of unit {command.unit} is joined already "
        f"({name_step(situation, done[0].id)} is done): saw it out or mend it in place, and note "
        "what was done; or make that unit in a new batch."
    )
    return c.Refusal(text, "joined")
