"""What is wrong with a fastener, in words, with what would be right: each proposal is tried first.

Loads the solids. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import ceil

from shopstep.model.fastener import FastenerSize
from shopstep.model.plan import Finding, Level, Where
from shopstep.model.step import StepKind
from shopstep.solids.axes import Axis, Vector, moved, tilted
from shopstep.solids.bodies import Piece
from shopstep.solids.driving import Fault, Track, Wood, Wrong, all_wrong, near_pairs, track
from shopstep.solids.ways import WAYS
from shopstep.units import Length, format_length
from shopstep.words import say

_STEP_MM = {"in": 25.4 / 8, "mm": 5.0}
"""Fasteners are sold in lengths this far apart, and moved by so much."""
_MARK_MM = 25.4 / 32
_CLOSE_MM = 1.6
_MOST_STEPS = 10
_ANGLES = (10, 15, 20, 25, 30, 35, 40, 45)


@dataclass(slots=True)
class Check:
    """All that stands, and what says how things are called."""

    pieces: dict[tuple[str, str, int], Piece]
    there: dict[str, tuple[Piece, ...]]
    """Pieces that stand there in each step, those that come in it too."""
    added: dict[tuple[str, str, int], str]
    lines: dict[str, int]
    wood: Wood
    display: str
    axes: tuple[Axis, ...] = ()
    has_order: bool = True
    sizes: Mapping[str, FastenerSize] = field(default_factory=dict)
    guessed: tuple[Axis, ...] = ()
    """Those whose places the build does not say."""

    def say(self, mm: float) -> str:
        """A length as the person reads it, to 1/32 in."""
        return format_length(Length(round(max(mm, 0.0) * 1e6)), self.display, 32)

    def judge(self, axes: list[Axis]) -> list[Track]:
        """Tracks of fasteners that are there, or that are only tried."""
        there = [self.there[axis.step] for axis in axes]
        return track(axes, there, self.wood, self.has_order)

    def is_free(self, axis: Axis) -> bool:
        """Whether a fastener that is tried has nothing wrong and touches no other."""
        if all_wrong(self.judge([axis])):
            return False
        mine = (axis.step, axis.number)
        others = [a for a in self.axes if (a.step, a.number) != mine]
        return not any(i == 0 for i, _, _ in near_pairs([axis, *others]))


def say_fault(check: Check, one: Track, fault: Fault) -> Finding:
    """One fault of one fastener."""
    said, remedy = _WORDS[fault.wrong](check, one, fault)
    axis = one.axis
    return Finding(
        Level.STOP,
        fault.wrong.value,
        say("in step {step}, {check} {said}", step=axis.step, check=_name(check, axis), said=said),
        Where(name=axis.step, line=axis.row.line or check.lines[axis.step]),
        remedy,
    )


def _name(check: Check, axis: Axis) -> str:
    through = check.pieces[axis.through].label
    into = (
        say(" into {pieces_label}", pieces_label=check.pieces[axis.into].label) if axis.into else ""
    )
    return say(
        "{kind} {axis_number} through {through}{into}",
        kind=axis.size.kind,
        axis_number=axis.number,
        through=through,
        into=into,
    )


def _head_off(check: Check, one: Track, _: Fault) -> tuple[str, str]:
    label = check.pieces[one.axis.through].label
    return (
        say(
            "does not begin on the face of {label}: there is nothing, or wood lies over it",
            label=label,
        ),
        say("change the face or the places of its row, or the feature that is cut there"),
    )


def _not_there(check: Check, one: Track, _: Fault) -> tuple[str, str]:
    here = {piece.key for piece in check.there[one.axis.step]}
    wanted = [key for key in (one.axis.through, one.axis.into) if key and key not in here]
    label = check.pieces[wanted[0]].label
    step = check.added.get(wanted[0])
    late = say(": step {step} comes too late, or this one too early", step=step) if step else ""
    return say("has nothing to go into: {label} is not there yet", label=label), say(
        "bring {label} before{late}", label=label, late=late
    )


def _covered(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    assert fault.piece is not None
    early = check.added.get(fault.piece.key, "")
    too_early = (
        say(": step {early} comes too early", early=early)
        if early and early != one.axis.step
        else ""
    )
    where = (
        say("lies over its head")
        if fault.mm < _CLOSE_MM
        else say("stands before its head, {mm} away", mm=check.say(fault.mm))
    )
    return (
        say("cannot be driven: {piece_label} {where}", piece_label=fault.piece.label, where=where),
        say(
            "drive it before {piece_label} is there{too_early}",
            piece_label=fault.piece.label,
            too_early=too_early,
        ),
    )


def _stranger(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    assert fault.piece is not None
    return (
        say(
            "runs {mm} into {piece_label}, which it should not touch",
            mm=check.say(fault.mm),
            piece_label=fault.piece.label,
        ),
        _where_free(check, one.axis) or say("move it, or take a shorter one"),
    )


def _void(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    return (
        say(
            "crosses {mm} of air on its way: a groove or a hole lies there", mm=check.say(fault.mm)
        ),
        _where_free(check, one.axis) or say("put it where the wood is whole"),
    )


def _little(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    longer = _fitting_length(check, one.axis, longer=True)
    return (
        say(
            "has only {mm} in the wood that holds it; at least {wanted_mm} is wanted",
            mm=check.say(fault.mm),
            wanted_mm=check.say(fault.wanted_mm),
        ),
        say("take one {longer} long", longer=longer)
        if longer
        else say("take a thicker piece, or put it elsewhere"),
    )


def _out(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    assert fault.piece is not None
    how = (
        say(
            "comes out of {piece_label} by {mm}",
            piece_label=fault.piece.label,
            mm=check.say(fault.mm),
        )
        if fault.mm > 0.0
        else say(
            "ends {mm} before it comes out of {piece_label}; {wanted_mm} is wanted",
            mm=check.say(-fault.mm),
            piece_label=fault.piece.label,
            wanted_mm=check.say(fault.wanted_mm),
        )
    )
    shorter = _fitting_length(check, one.axis, longer=False)
    leaned = _fitting_angle(check, one.axis)
    tries = [say("take one {shorter} long", shorter=shorter)] if shorter else []
    tries += [leaned] if leaned else []
    return how, say(" or ").join(tries) or say("take a thicker piece, or glue alone")


def _edge(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    assert fault.piece is not None
    side = _side_name(fault.side)
    away = (-fault.side[0], -fault.side[1], -fault.side[2])
    more = ceil((fault.wanted_mm - fault.mm) / _MARK_MM) * _MARK_MM
    is_enough = check.is_free(replace(one.axis, head=moved(one.axis.head, away, more)))
    remedy = say(
        "move it {more} towards the {side_name}", more=check.say(more), side_name=_side_name(away)
    )
    return (
        say(
            "has {mm} of wood beside it towards the {side} of {piece_label};"
            " at least {wanted_mm} is wanted",
            mm=check.say(fault.mm),
            side=side,
            piece_label=fault.piece.label,
            wanted_mm=check.say(fault.wanted_mm),
        ),
        remedy
        if is_enough
        else _where_free(check, one.axis) or say("{remedy} at least", remedy=remedy),
    )


_WORDS = {
    Wrong.HEAD_OFF: _head_off,
    Wrong.NOT_THERE: _not_there,
    Wrong.COVERED: _covered,
    Wrong.STRANGER: _stranger,
    Wrong.VOID: _void,
    Wrong.LITTLE: _little,
    Wrong.OUT: _out,
    Wrong.EDGE: _edge,
}


def _side_name(side: Vector) -> str:
    return max(WAYS, key=lambda face: sum(a * b for a, b in zip(WAYS[face], side, strict=True)))


def _fitting_length(check: Check, axis: Axis, *, longer: bool) -> str:
    """The nearest length with nothing wrong, as it is sold; empty where there is none."""
    step = _STEP_MM[check.display]
    now = round(axis.size.length_mm / step)
    lengths = range(now + 1, now + 9) if longer else range(now, 1, -1)
    for n in lengths:
        tried = replace(axis, size=replace(axis.size, length_mm=n * step))
        if n * step != axis.size.length_mm and not all_wrong(check.judge([tried])):
            return check.say(n * step)
    return ""


def _fitting_angle(check: Check, axis: Axis) -> str:
    """How far it has to lean, and where to, so that nothing is wrong; empty where nothing helps."""
    for degrees in _ANGLES:
        for side in _square_to(axis):
            tried = replace(axis, way=tilted(axis.way, side, degrees))
            if check.is_free(tried):
                return say(
                    "lean it {degrees}° with its point towards the {side_name}",
                    degrees=degrees,
                    side_name=_side_name(side),
                )
    return ""


def _square_to(axis: Axis) -> list[Vector]:
    return [
        way for way in WAYS.values()
        if abs(sum(a * b for a, b in zip(way, axis.way, strict=True))) < 1e-6
    ]  # fmt: skip


def _where_free(check: Check, axis: Axis) -> str:
    """The nearest place on the same face with nothing wrong; empty where there is none."""
    step = _STEP_MM[check.display]
    for n in range(1, _MOST_STEPS + 1):
        for side in _square_to(axis):
            if check.is_free(replace(axis, head=moved(axis.head, side, n * step))):
                return say(
                    "put it {n} further to the {side_name}",
                    n=check.say(n * step),
                    side_name=_side_name(side),
                )
    return ""


def say_crossing(check: Check, i: int, j: int) -> Finding:
    """The one that is driven first gives way; a screw never does for a nail."""
    one, other = check.axes[i], check.axes[j]
    if one.size.kind == "screw" and other.size.kind != "screw":
        one, other = other, one
    free = _where_free(check, one)
    hole = say("screw and its hole") if other.size.kind == "screw" else other.size.kind
    return Finding(
        Level.STOP,
        "crosses",
        say(
            "in step {step}, {check} is in the way of the {hole} of step {step_2} ({check_2})",
            step=one.step,
            check=_name(check, one),
            hole=hole,
            step_2=other.step,
            check_2=_name(check, other),
        ),
        Where(name=one.step, line=one.row.line or check.lines[one.step]),
        free or say("put one of the two elsewhere"),
    )


def say_cut(check: Check, axis: Axis, kind: StepKind, piece: Piece, face: str) -> Finding:
    """A fastener that a later step cuts into."""
    return Finding(
        Level.STOP,
        "in_later_cut",
        say(
            "in step {step}, {check} lies where step {kind_id} cuts {piece_label}"
            " from its {face} face: the edge would hit metal",
            step=axis.step,
            check=_name(check, axis),
            kind_id=kind.id,
            piece_label=piece.label,
            face=face,
        ),
        Where(name=axis.step, line=axis.row.line or check.lines[axis.step]),
        say(
            "drive it after {kind_id}, or put it further from the {face} of {piece_label}",
            kind_id=kind.id,
            face=face,
            piece_label=piece.label,
        ),
    )
