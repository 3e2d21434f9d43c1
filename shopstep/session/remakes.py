"""A spoiled piece: what must be true so that it can be made again.

Imports the plan from ``model``, and commands, events and the situation of this room.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

from shopstep.model.bench import PUT_RIGHT
from shopstep.model.naming import BUILD_MARK
from shopstep.model.part import Part
from shopstep.model.plan import Plan, Remake
from shopstep.model.step import GlueRole, Source, StepKind
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.flow import index_plan, open_joints
from shopstep.session.gates import Verdict
from shopstep.session.refusals import name_step, refuse_joint
from shopstep.session.situation import Situation
from shopstep.session.state import State
from shopstep.words import say, say_count

LONGEST_REASON = 200
_AGAIN = "~"
"""Stands in the ids of steps that make a piece again."""
_NAMED_AT_MOST = 4


def spoil_part(situation: Situation, command: c.SpoilPart) -> Verdict:
    """One piece of a unit is to be made again; refused where it is not cut.

    Where it is joined, all that it is joined to goes with it, and the steps that joined it; that is
    asked twice. Where it is only painted, its coats come back.
    """
    refusal = _bad_unit(situation, command)
    if refusal is not None:
        return refusal
    part = _find_part(situation, command)
    if isinstance(part, c.Refusal):
        return part
    refusal = _not_cut(situation, part, command.unit)
    if refusal is not None:
        return refusal
    if _again_already(situation, part, command.unit) >= part.count_unit:
        text = say(
            "The {part_label} of unit {command_unit} is to be made again already.",
            part_label=part.label,
            command_unit=command.unit,
        )
        return c.Refusal(
            say("{text} Cut one more there if that piece is spoiled too.", text=text), "not_cut"
        )
    lost = find_lost(situation, part, command.unit)
    coats = _find_coats(situation, part, command.unit)
    if not lost.steps and not coats:
        return (_spoiled(situation, part, command),)
    joints = open_joints(situation.state, situation.plan)
    if joints:
        return refuse_joint(situation, joints[0])
    if not lost.steps:
        return (_spoiled(situation, part, command), e.StepsVoided(coats))
    if not command.sure:
        return _ask_all(situation, part, command, lost)
    pieces = [
        _spoiled(situation, each, command)
        for each in lost.parts
        for _ in range(each.count_unit - _again_already(situation, each, command.unit))
    ]
    return (*pieces, e.StepsVoided(lost.steps))


def _again_already(situation: Situation, part: Part, unit: int) -> int:
    """How many pieces of a unit's part are to be made again, and are not cut yet."""
    hand = part.hand.value if part.hand else ""
    said = [
        number
        for name, side, whose, number, _ in situation.state.spoiled
        if (name, side, whose) == (part.name, hand, unit)
    ]
    return sum(not _is_cut_again(situation.state, situation.plan, part.name, n) for n in said)


def _is_cut_again(state: State, plan: Plan, part: str, number: int) -> bool:
    """Where no plan could follow yet, there is no step that cuts it: then it is not."""
    index = index_plan(plan)
    cuts = [
        step.id
        for step in plan.steps
        if step.id.endswith(f"{_AGAIN}{number}") and part in index.kind_of(step).parts
    ]
    return bool(cuts) and all(cut in state.finished for cut in cuts)


def pieces_to_make(state: State, plan: Plan) -> tuple[Remake, ...]:
    """Spoiled pieces that are not cut again yet, in the order in which they were spoiled."""
    said = (Remake(*piece) for piece in state.spoiled)
    return tuple(p for p in said if not _is_cut_again(state, plan, p.part, p.number))


def _spoiled(situation: Situation, part: Part, command: c.SpoilPart) -> e.PartSpoiled:
    """All that is spoiled at once has one number, so that it is cut at one setting."""
    number = 1 + max((number for *_, number, _ in situation.state.spoiled), default=1)
    hand = part.hand.value if part.hand else ""
    reason = command.reason.strip()[:LONGEST_REASON]
    return e.PartSpoiled(part.name, hand, command.unit, number, reason)


def _find_part(situation: Situation, command: c.SpoilPart) -> Part | c.Refusal:
    wanted = command.part.replace(" ", "_")
    parts = [part for part in situation.plan.parts if _has_part(situation, command.unit, part)]
    named = [part for part in parts if wanted in (part.name, part.name.partition(BUILD_MARK)[0])]
    if not named:
        near = get_close_matches(wanted, [part.name for part in parts], n=1)
        hint = say(" Did you mean '{near}'?", near=near[0]) if near else ""
        others = len(situation.plan.makes) > 1
        place = (
            say("unit {command_unit}", command_unit=command.unit) if others else say("this plan")
        )
        return c.Refusal(
            say(
                "There is no part '{part}' in {place}.{hint}",
                part=command.part,
                place=place,
                hint=hint,
            ),
            "unknown_part",
        )
    fitting = [p for p in named if p.hand is None or p.hand.value == command.hand]
    if not fitting:
        return c.Refusal(
            say(
                "Say which {named_title}: left or right. In words: `spoiled {part} left`.",
                named_title=named[0].title,
                part=command.part,
            ),
            "which_hand",
        )
    return fitting[0]


def _has_part(situation: Situation, unit: int, part: Part) -> bool:
    """Whether a unit is of the build that the part is of; one made apart is its own as well."""
    key = (unit, part.name, part.hand)
    own = ((a.unit, a.part.name, a.part.hand) for a in situation.plan.apart)
    return unit not in part.apart or key in own


def _bad_unit(situation: Situation, command: c.SpoilPart) -> c.Refusal | None:
    if 1 <= command.unit <= situation.plan.units:
        return None
    return c.Refusal(say("There are units 1 to {units}.", units=situation.plan.units), "bad_value")


def _not_cut(situation: Situation, part: Part, unit: int) -> c.Refusal | None:
    """A piece whose last cut is still ahead is simply cut once more with the others.

    A unit's piece that is made apart has cuts of its own; a step that puts a piece right is no cut.
    """
    index, plan = situation.index, situation.plan
    key = (unit, part.name, part.hand)
    is_apart = any((a.unit, a.part.name, a.part.hand) == key for a in plan.apart)
    last = [
        step
        for step in plan.steps
        if index.kind_of(step).source is Source.DERIVED
        and index.kind_of(step).stage != PUT_RIGHT
        and part.name in index.kind_of(step).parts
        and (step.id.endswith(f"{_AGAIN}u{unit}") if is_apart else _AGAIN not in step.id)
    ]
    open_cuts = [step for step in last if step.id not in situation.state.finished]
    if last and not open_cuts:
        return None
    if not last:
        text = say(
            "The {part_label} is not cut here, so it cannot be cut again.", part_label=part.label
        )
        return c.Refusal(text, "not_cut")
    text = say(
        "The {part_label} is not finished yet: {step} is ahead. Saw another one as far as the"
        " others are, from a spare or a scrap, and finish it there with them.",
        part_label=part.label,
        step=name_step(situation, open_cuts[0].id),
    )
    return c.Refusal(text, "not_cut")


@dataclass(frozen=True, slots=True)
class Lost:
    """What goes with a piece that is joined already."""

    parts: tuple[Part, ...] = ()
    """Both hands of a handed part, where both are joined to it."""
    steps: tuple[str, ...] = ()
    """Finished steps whose work is lost, in plan order; empty where the piece is not joined."""


def find_lost(situation: Situation, part: Part, unit: int) -> Lost:
    """The pieces that glue or fasteners hold to this one, and the steps that rested on them.

    A finished joining step belongs to it if it holds one of the pieces, or needed a step that
    does: strips that are nailed on a glued frame hold no part of the frame by name.
    """
    index = situation.index
    own = [s for s in situation.plan.steps if s.unit == unit and s.id in situation.state.finished]
    parts = {s.id: frozenset(index.kind_of(s).parts) for s in own}
    joining = [s.id for s in own if _is_joining(index.kind_of(s))]
    names, gone = {part.name}, set[str]()
    grown = True
    while grown:
        more = [
            step
            for step in joining
            if step not in gone and (parts[step] & names or index.way_to(step) & gone)
        ]
        gone.update(more)
        names.update(name for step in more for name in parts[step])
        grown = bool(more)
    if not gone:
        return Lost()
    lost = [s.id for s in own if parts[s.id] & names or index.way_to(s.id) & gone]
    return Lost(tuple(p for p in situation.plan.parts if p.name in names), tuple(lost))


def _find_coats(situation: Situation, part: Part, unit: int) -> tuple[str, ...]:
    """Finished steps that painted the piece, and those with it in hand that rested on its coats."""
    index = situation.index
    own = [s for s in situation.plan.steps if s.unit == unit and s.id in situation.state.finished]
    kinds = {step.id: index.kind_of(step) for step in own}
    coats = {s for s, kind in kinds.items() if any(on.part == part.name for on in kind.coats)}
    held = {s for s, kind in kinds.items() if part.name in kind.parts and index.way_to(s) & coats}
    return tuple(s for s in kinds if s in coats | held)


def _is_joining(kind: StepKind) -> bool:
    return kind.role is not GlueRole.NONE or bool(kind.fasteners)


def _ask_all(situation: Situation, part: Part, command: c.SpoilPart, lost: Lost) -> c.Refusal:
    others = [p.label for p in lost.parts if p.name != part.name or p.hand is not part.hand]
    named = ", ".join(others[:_NAMED_AT_MOST])
    more = (
        say(" and {others} more", others=len(others) - _NAMED_AT_MOST)
        if len(others) > _NAMED_AT_MOST
        else ""
    )
    pieces = sum(p.count_unit for p in lost.parts)
    hand = f" {part.hand}" if part.hand else ""
    return c.Refusal(
        say(
            "The {part_label} of unit {command_unit} is joined already to {named}"
            "{more}. Made again, that is {pieces}, and {steps}. Mend "
            "it in place and note what was done, or say it again with all of it.",
            part_label=part.label,
            command_unit=command.unit,
            named=named or say("nothing else"),
            more=more,
            pieces=say_count("{n} piece", "{n} pieces", pieces),
            steps=say_count("{n} step comes back", "{n} steps come back", len(lost.steps)),
        ),
        "joined",
        say(
            "In words: `spoiled all {part_name}{hand} unit {command_unit}`.",
            part_name=part.name,
            hand=hand,
            command_unit=command.unit,
        ),
    )
