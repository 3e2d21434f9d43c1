"""What cannot be cut as it is drawn: findings with what, where, and what would be right.

A table by kind of feature and by how the material is sold. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from shopstep.milling.bevels import GAUGE_LIMIT, is_across_end, is_tilted, off_square
from shopstep.milling.drafts import NARROW
from shopstep.milling.faces import (
    axis_of,
    extent_across,
    is_end,
    is_sided,
)
from shopstep.milling.grooves import needs_router
from shopstep.milling.sheets import needs_straightedge
from shopstep.milling.sizing import needs_resaw, resaw_leaf
from shopstep.model.feature import (
    Bevel,
    Face,
    Feature,
    Fingers,
    Groove,
    Holes,
    Notch,
    Rabbet,
)
from shopstep.model.material import Form, Material
from shopstep.model.part import Hand, Part
from shopstep.model.plan import Finding, Level, Where
from shopstep.units import Angle, Length, format_angle, format_length

RESAW_REACH = Length.inches(3)
"""How deep a 10 in saw cuts, about (common practice; the saw's manual decides)."""
_TILT_LIMIT = Angle.degrees(45)


@dataclass(frozen=True, slots=True)
class Bench:
    """What a check has to know besides the part and its feature."""

    kerf: Length
    display: str

    def say(self, length: Length) -> str:
        """The length in the person's unit."""
        return format_length(length, self.display)


Wrong = tuple[Level, str, str, str]
"""Level, rule, sentence and remedy."""


def check_part(part: Part, material: Material, kerf: Length, display: str) -> tuple[Finding, ...]:
    """Everything that stands in the way of cutting this part, and what is only risky."""
    bench = Bench(kerf, display)
    wrongs = [*_SIZE_CHECKS[material.form](part, material, bench), *_name_wrongs(part)]
    for feature in part.features:
        faces = list(_face_wrongs(part, feature))
        wrongs += faces
        if material.form is Form.ROLL:
            wrongs.append(_in_cloth(part, material, feature))
        elif feature.kind not in _FEATURE_CHECKS:
            wrongs.append(_not_milled(part, feature))
        elif not faces:
            wrongs += _FEATURE_CHECKS[feature.kind](part, feature, bench)
    where = Where(name=part.name, line=part.line)
    return tuple(Finding(level, rule, text, where, fix) for level, rule, text, fix in wrongs)


def _name_wrongs(part: Part) -> Iterator[Wrong]:
    names = [(feature.kind, feature.name) for feature in part.features]
    for kind, name in sorted({pair for pair in names if names.count(pair) > 1}):
        text = f"the {part.label} has more than one {kind} named {name}"
        yield Level.STOP, "feature_named_twice", text, "give each feature its own name"


def _in_cloth(part: Part, material: Material, feature: Feature) -> Wrong:
    text = f"the {part.label} is of {material.title}: no {feature.kind} can be cut into it"
    return Level.STOP, "feature_in_roll", text, f"take {feature.name} out of the part"


def _not_milled(part: Part, feature: Feature) -> Wrong:
    text = f"{feature.name} of the {part.label}: no machine work is known here for {feature.kind}"
    return Level.STOP, "feature_not_milled", text, f"use one of: {', '.join(_FEATURE_CHECKS)}"


def _check_board(part: Part, board: Material, bench: Bench) -> Iterator[Wrong]:
    if board.thickness not in (part.thickness, part.width) and part.thickness > board.thickness:
        yield (
            Level.STOP,
            "thicker_than_board",
            f"the {part.label} is {bench.say(part.thickness)} thick, but {board.title} is only "
            f"{bench.say(board.thickness)}",
            f"make the part at most {bench.say(board.thickness)} thick, or choose a thicker board",
        )
    elif needs_resaw(part, board.thickness):
        yield from _check_resaw(part, board, bench)


def _check_resaw(part: Part, board: Material, bench: Bench) -> Iterator[Wrong]:
    """Ripping on edge: too wide for the blade, or a thin stick between blade and fence."""
    thin = bench.say(part.thickness)
    on_edge = f"would have to be ripped on edge to {thin}"
    if part.width > RESAW_REACH:
        yield (
            Level.STOP,
            "too_wide_to_resaw",
            f"the {part.label} is {bench.say(part.width)} wide and {on_edge}; a 10 in saw "
            f"reaches about {bench.say(RESAW_REACH)}",
            f"use stock that is {thin} thick, or plane a board to it",
        )
    elif resaw_leaf(part.thickness, board.thickness, bench.kerf) < NARROW:
        yield (
            Level.WARN,
            "thin_between_blade_and_fence",
            f"the {part.label} {on_edge}, a thin stick between blade and fence",
            f"make it {bench.say(board.thickness)} wide, so that it falls off the edge of "
            f"{board.title} as a slice, or use stock that is {thin} thick",
        )


def _check_sheet(part: Part, sheet: Material, bench: Bench) -> Iterator[Wrong]:
    if part.thickness != sheet.thickness:
        yield (
            Level.STOP,
            "other_than_sheet",
            f"the {part.label} is {bench.say(part.thickness)} thick, but {sheet.title} is "
            f"{bench.say(sheet.thickness)}",
            f"give the part the thickness of the sheet, {bench.say(sheet.thickness)}",
        )
    elif needs_straightedge(part, sheet):
        yield (
            Level.WARN,
            "no_edge_for_fence",
            f"the {part.label} is {bench.say(part.length)} × {bench.say(part.width)}: for one of "
            "its cuts no edge is as long as the distance to the fence",
            "cut it with a circular saw along a clamped straightedge, as the step says, or have "
            "the sheet cut to size where you buy it",
        )


def _check_roll(_part: Part, _roll: Material, _bench: Bench) -> Iterator[Wrong]:
    yield from ()


_SIZE_CHECKS: dict[Form, Callable[[Part, Material, Bench], Iterator[Wrong]]] = {
    Form.BOARD: _check_board,
    Form.SHEET: _check_sheet,
    Form.ROLL: _check_roll,
}


def _named_faces(feature: Feature) -> tuple[Face, Face]:
    if isinstance(feature, Fingers):
        return feature.end, feature.reference
    second = feature.edge if isinstance(feature, Bevel | Rabbet) else feature.reference
    return feature.face, second


def _face_wrongs(part: Part, feature: Feature) -> Iterator[Wrong]:
    first, second = _named_faces(feature)
    if part.hand is None and (is_sided(first) or is_sided(second)):
        yield (
            Level.STOP,
            "no_inside",
            f"{feature.name} of the {part.label} names an inside or outside face, but the part "
            "is not handed",
            "name the face left or right, or make the part handed",
        )
    elif axis_of(first) is axis_of(second):
        yield (
            Level.STOP,
            "faces_not_square",
            f"{feature.name} of the {part.label} is told from two faces that do not meet: "
            f"{first} and {second}",
            "name two faces that meet in an edge",
        )
    elif isinstance(feature, Groove | Holes | Notch) and (
        is_end(part, first) or is_end(part, second)
    ):
        yield (
            Level.STOP,
            "feature_from_end",
            f"{feature.name} of the {part.label} is told from an end of the part",
            "name faces that run along its length",
        )


def _check_groove(part: Part, groove: Groove, bench: Bench) -> Iterator[Wrong]:
    across = extent_across(part, groove.reference)
    deep = extent_across(part, groove.face)
    if groove.width < bench.kerf:
        yield (
            Level.STOP,
            "groove_under_kerf",
            f"groove {groove.name} of the {part.label} is {bench.say(groove.width)} wide, but the "
            f"blade takes {bench.say(bench.kerf)}",
            "make it at least as wide as the blade, or give the kerf of a thinner blade",
        )
    if groove.offset + groove.width > across or groove.depth >= deep:
        yield _outside(part, groove.name, "leaves the wood")
    if groove.stop_start + groove.stop_end >= part.length:
        yield _outside(part, groove.name, "is stopped before it begins")
    elif needs_router(part, groove):
        yield _for_router(part, groove, bench)


def _for_router(part: Part, groove: Groove, bench: Bench) -> Wrong:
    if groove.stop_start and groove.stop_end:
        why = "is stopped at both ends: at the saw it would be lowered on to the turning blade"
        other = "let it run out at one end"
    else:
        why = f"is stopped, and {bench.say(part.length)} is too short to push to a stop at the saw"
        other = "let it run through"
    text = f"groove {groove.name} of the {part.label} {why}"
    return Level.WARN, "groove_for_router", text, f"rout it, as the step says, or {other}"


def _outside(part: Part, name: str, what: str) -> Wrong:
    text = f"{name} of the {part.label} {what}"
    return Level.STOP, "feature_outside", text, "check its sizes against the size of the part"


def _check_bevel(part: Part, bevel: Bevel, bench: Bench) -> Iterator[Wrong]:
    if bevel.back > extent_across(part, bevel.edge) or bevel.drop > extent_across(part, bevel.face):
        yield _outside(part, bevel.name, "leaves the wood")
        return
    if not is_across_end(part, bevel):
        return
    limit = _TILT_LIMIT if is_tilted(part, bevel) else GAUGE_LIMIT
    turned = off_square(part, bevel)
    if turned > limit:
        yield (
            Level.WARN,
            "bevel_too_steep",
            f"{bevel.name} of the {part.label} stands {format_angle(turned)} from square: no "
            f"{'blade tilts' if is_tilted(part, bevel) else 'mitre gauge turns'} further than "
            f"about {format_angle(limit)}",
            "saw and plane it by hand to a pencil line, or hold the part in a tapering jig",
        )


def _check_holes(part: Part, holes: Holes, _bench: Bench) -> Iterator[Wrong]:
    row = holes.pitch.times(holes.count - 1) + holes.diameter
    radius = holes.diameter.over(2)
    across = extent_across(part, holes.reference)
    if row >= part.length or holes.offset < radius or holes.offset + radius > across:
        yield _outside(part, holes.name, "leaves the wood")


def _check_notch(part: Part, notch: Notch, bench: Bench) -> Iterator[Wrong]:
    if notch.width >= part.length or notch.height >= extent_across(part, notch.reference):
        yield _outside(part, notch.name, "leaves nothing of the part")
    elif notch.width < bench.kerf:
        yield _outside(part, notch.name, "is narrower than the blade")


_FEATURE_CHECKS: dict[str, Callable[[Part, Any, Bench], Iterator[Wrong]]] = {
    "groove": _check_groove,
    "bevel": _check_bevel,
    "holes": _check_holes,
    "notch": _check_notch,
}


def check_hands(parts: tuple[Part, ...]) -> tuple[Finding, ...]:
    """A handed part must be there as often left as right."""
    counts: dict[str, int] = {}
    for part in parts:
        if part.hand is not None:
            sign = 1 if part.hand is Hand.LEFT else -1
            counts[part.name] = counts.get(part.name, 0) + sign * part.count_unit
    return tuple(
        Finding(
            Level.STOP,
            "hands_differ",
            f"{name} has not as many left as right pieces",
            Where(name=name),
            "give one left and one right for each pair",
        )
        for name, difference in counts.items()
        if difference
    )
