"""What cannot be cut as it is drawn: findings with what, where, and what would be right.

A table by kind of feature and by how the material is sold. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from shopstep.milling.drafts import NARROW
from shopstep.milling.faces import (
    axis_of,
    is_end,
    is_sided,
)
from shopstep.milling.feature_checks import FEATURE_CHECKS, Bench, Wrong
from shopstep.milling.sheets import needs_straightedge
from shopstep.milling.sizing import needs_resaw, resaw_leaf
from shopstep.model.feature import (
    Bevel,
    Face,
    Feature,
    Fingers,
    Rabbet,
)
from shopstep.model.material import Form, Material
from shopstep.model.part import Hand, Part
from shopstep.model.plan import Finding, Level, Where
from shopstep.units import Length

RESAW_REACH = Length.inches(3)
"""How deep a 10 in saw cuts, about (common practice; the saw's manual decides)."""


def check_part(part: Part, material: Material, kerf: Length, display: str) -> tuple[Finding, ...]:
    """Everything that stands in the way of cutting this part, and what is only risky."""
    bench = Bench(kerf, display)
    wrongs = [*_SIZE_CHECKS[material.form](part, material, bench), *_name_wrongs(part)]
    for feature in part.features:
        faces = list(_face_wrongs(part, feature))
        wrongs += faces
        if material.form is Form.ROLL:
            wrongs.append(_in_cloth(part, material, feature))
        elif not faces:
            wrongs += FEATURE_CHECKS[feature.kind](part, feature, bench)
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


def _ends_wrong(feature: Feature) -> str:
    return "no end of the part" if feature.kind in _FIRST_ON_END else "an end of the part"


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
    elif not sheet.stuff and needs_straightedge(part, sheet):
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


_FIRST_ON_END = ("fingers",)
"""Features whose first face is an end of the part; of all others but bevels it is not."""
_FACES_WANTED = {"fingers": "name an end of the part, and an edge that the row begins at"}
_ALONG = ("groove", "holes", "notch", "recess", "fingers")
"""Features whose second face runs along the part."""


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
    elif not isinstance(feature, Bevel) and (
        is_end(part, first) is not (feature.kind in _FIRST_ON_END)
        or (is_end(part, second) and feature.kind in _ALONG)
    ):
        yield (
            Level.STOP,
            "feature_from_end",
            f"{feature.name} of the {part.label} is told from {_ends_wrong(feature)}",
            _FACES_WANTED.get(feature.kind, "name faces that run along its length"),
        )


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
