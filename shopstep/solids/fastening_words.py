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
        f"in step {axis.step}, {_name(check, axis)} {said}",
        Where(name=axis.step, line=axis.row.line or check.lines[axis.step]),
        remedy,
    )


def _name(check: Check, axis: Axis) -> str:
    through = check.pieces[axis.through].label
    into = f" into {check.pieces[axis.into].label}" if axis.into else ""
    return f"{axis.size.kind} {axis.number} through {through}{into}"


def _head_off(check: Check, one: Track, _: Fault) -> tuple[str, str]:
    label = check.pieces[one.axis.through].label
    return (
        f"does not begin on the face of {label}: there is nothing, or wood lies over it",
        "change the face or the places of its row, or the feature that is cut there",
    )


def _not_there(check: Check, one: Track, _: Fault) -> tuple[str, str]:
    here = {piece.key for piece in check.there[one.axis.step]}
    wanted = [key for key in (one.axis.through, one.axis.into) if key and key not in here]
    label = check.pieces[wanted[0]].label
    step = check.added.get(wanted[0])
    late = f": step {step} comes too late, or this one too early" if step else ""
    return f"has nothing to go into: {label} is not there yet", f"bring {label} before{late}"


def _covered(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    assert fault.piece is not None
    early = check.added.get(fault.piece.key, "")
    too_early = f": step {early} comes too early" if early and early != one.axis.step else ""
    where = (
        "lies over its head"
        if fault.mm < _CLOSE_MM
        else f"stands before its head, {check.say(fault.mm)} away"
    )
    return (
        f"cannot be driven: {fault.piece.label} {where}",
        f"drive it before {fault.piece.label} is there{too_early}",
    )


def _stranger(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    assert fault.piece is not None
    return (
        f"runs {check.say(fault.mm)} into {fault.piece.label}, which it should not touch",
        _where_free(check, one.axis) or "move it, or take a shorter one",
    )


def _void(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    return (
        f"crosses {check.say(fault.mm)} of air on its way: a groove or a hole lies there",
        _where_free(check, one.axis) or "put it where the wood is whole",
    )


def _little(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    longer = _fitting_length(check, one.axis, longer=True)
    return (
        f"has only {check.say(fault.mm)} in the wood that holds it; at least"
        f" {check.say(fault.wanted_mm)} is wanted",
        f"take one {longer} long" if longer else "take a thicker piece, or put it elsewhere",
    )


def _out(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    assert fault.piece is not None
    how = (
        f"comes out of {fault.piece.label} by {check.say(fault.mm)}"
        if fault.mm > 0.0
        else f"ends {check.say(-fault.mm)} before it comes out of {fault.piece.label};"
        f" {check.say(fault.wanted_mm)} is wanted"
    )
    shorter = _fitting_length(check, one.axis, longer=False)
    leaned = _fitting_angle(check, one.axis)
    tries = [f"take one {shorter} long"] if shorter else []
    tries += [leaned] if leaned else []
    return how, " or ".join(tries) or "take a thicker piece, or glue alone"


def _edge(check: Check, one: Track, fault: Fault) -> tuple[str, str]:
    assert fault.piece is not None
    side = _side_name(fault.side)
    away = (-fault.side[0], -fault.side[1], -fault.side[2])
    more = ceil((fault.wanted_mm - fault.mm) / _MARK_MM) * _MARK_MM
    is_enough = check.is_free(replace(one.axis, head=moved(one.axis.head, away, more)))
    remedy = f"move it {check.say(more)} towards the {_side_name(away)}"
    return (
        f"has {check.say(fault.mm)} of wood beside it towards the {side} of {fault.piece.label};"
        f" at least {check.say(fault.wanted_mm)} is wanted",
        remedy if is_enough else _where_free(check, one.axis) or f"{remedy} at least",
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
                return f"lean it {degrees}° with its point towards the {_side_name(side)}"
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
                return f"put it {check.say(n * step)} further to the {_side_name(side)}"
    return ""


def say_crossing(check: Check, i: int, j: int) -> Finding:
    """The one that is driven first gives way; a screw never does for a nail."""
    one, other = check.axes[i], check.axes[j]
    if one.size.kind == "screw" and other.size.kind != "screw":
        one, other = other, one
    free = _where_free(check, one)
    hole = "screw and its hole" if other.size.kind == "screw" else other.size.kind
    return Finding(
        Level.STOP,
        "crosses",
        f"in step {one.step}, {_name(check, one)} is in the way of the {hole} of step"
        f" {other.step} ({_name(check, other)})",
        Where(name=one.step, line=one.row.line or check.lines[one.step]),
        free or "put one of the two elsewhere",
    )


def say_cut(check: Check, axis: Axis, kind: StepKind, piece: Piece, face: str) -> Finding:
    """A fastener that a later step cuts into."""
    return Finding(
        Level.STOP,
        "in_later_cut",
        f"in step {axis.step}, {_name(check, axis)} lies where step {kind.id} cuts {piece.label}"
        f" from its {face} face: the edge would hit metal",
        Where(name=axis.step, line=axis.row.line or check.lines[axis.step]),
        f"drive it after {kind.id}, or put it further from the {face} of {piece.label}",
    )
