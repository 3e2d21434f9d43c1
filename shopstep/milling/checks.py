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
from shopstep.words import say, to_say

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
        text = say(
            "the {part_label} has more than one {kind} named {name}",
            part_label=part.label,
            kind=kind,
            name=name,
        )
        yield Level.STOP, "feature_named_twice", text, say("give each feature its own name")


def _in_cloth(part: Part, material: Material, feature: Feature) -> Wrong:
    text = say(
        "the {part_label} is of {material_title}: no {kind} can be cut into it",
        part_label=part.label,
        material_title=material.title,
        kind=feature.kind,
    )
    return (
        Level.STOP,
        "feature_in_roll",
        text,
        say("take {feature_name} out of the part", feature_name=feature.name),
    )


def _ends_wrong(feature: Feature) -> str:
    return say("no end of the part") if feature.kind in _FIRST_ON_END else say("an end of the part")


def _check_board(part: Part, board: Material, bench: Bench) -> Iterator[Wrong]:
    if board.thickness not in (part.thickness, part.width) and part.thickness > board.thickness:
        yield (
            Level.STOP,
            "thicker_than_board",
            say(
                "the {part_label} is {thickness} thick, but {board_title} is only {thickness_2}",
                part_label=part.label,
                thickness=bench.say(part.thickness),
                board_title=board.title,
                thickness_2=bench.say(board.thickness),
            ),
            say(
                "make the part at most {thickness} thick, or choose a thicker board",
                thickness=bench.say(board.thickness),
            ),
        )
    elif needs_resaw(part, board.thickness):
        yield from _check_resaw(part, board, bench)


def _check_resaw(part: Part, board: Material, bench: Bench) -> Iterator[Wrong]:
    """Ripping on edge: too wide for the blade, or a thin stick between blade and fence."""
    thin = bench.say(part.thickness)
    on_edge = say("would have to be ripped on edge to {thin}", thin=thin)
    if part.width > RESAW_REACH:
        yield (
            Level.STOP,
            "too_wide_to_resaw",
            say(
                "the {part_label} is {width} wide and {on_edge}; a 10 in saw "
                "reaches about {resaw_reach}",
                part_label=part.label,
                width=bench.say(part.width),
                on_edge=on_edge,
                resaw_reach=bench.say(RESAW_REACH),
            ),
            say("use stock that is {thin} thick, or plane a board to it", thin=thin),
        )
    elif resaw_leaf(part.thickness, board.thickness, bench.kerf) < NARROW:
        yield (
            Level.WARN,
            "thin_between_blade_and_fence",
            say(
                "the {part_label} {on_edge}, a thin stick between blade and fence",
                part_label=part.label,
                on_edge=on_edge,
            ),
            say(
                "make it {thickness} wide, so that it falls off the edge of "
                "{board_title} as a slice, or use stock that is {thin} thick",
                thickness=bench.say(board.thickness),
                board_title=board.title,
                thin=thin,
            ),
        )


def _check_sheet(part: Part, sheet: Material, bench: Bench) -> Iterator[Wrong]:
    if part.thickness != sheet.thickness:
        yield (
            Level.STOP,
            "other_than_sheet",
            say(
                "the {part_label} is {thickness} thick, but {sheet_title} is {thickness_2}",
                part_label=part.label,
                thickness=bench.say(part.thickness),
                sheet_title=sheet.title,
                thickness_2=bench.say(sheet.thickness),
            ),
            say(
                "give the part the thickness of the sheet, {thickness}",
                thickness=bench.say(sheet.thickness),
            ),
        )
    elif not sheet.stuff and needs_straightedge(part, sheet):
        yield (
            Level.WARN,
            "no_edge_for_fence",
            say(
                "the {part_label} is {length} × {width}: for one of "
                "its cuts no edge is as long as the distance to the fence",
                part_label=part.label,
                length=bench.say(part.length),
                width=bench.say(part.width),
            ),
            say(
                "cut it with a circular saw along a clamped straightedge, as the step says, or "
                "have the sheet cut to size where you buy it"
            ),
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
_FACES_WANTED = to_say({"fingers": "name an end of the part, and an edge that the row begins at"})
_ALONG_IT = to_say("name faces that run along its length")
_ALONG = ("groove", "holes", "notch", "recess", "fingers")
"""Features whose second face runs along the part."""


def _face_wrongs(part: Part, feature: Feature) -> Iterator[Wrong]:
    first, second = _named_faces(feature)
    if part.hand is None and (is_sided(first) or is_sided(second)):
        yield (
            Level.STOP,
            "no_inside",
            say(
                "{feature_name} of the {part_label} names an inside or outside face, but the part "
                "is not handed",
                feature_name=feature.name,
                part_label=part.label,
            ),
            say("name the face left or right, or make the part handed"),
        )
    elif axis_of(first) is axis_of(second):
        yield (
            Level.STOP,
            "faces_not_square",
            say(
                "{feature_name} of the {part_label} is told from two faces that do not meet: "
                "{first} and {second}",
                feature_name=feature.name,
                part_label=part.label,
                first=first,
                second=second,
            ),
            say("name two faces that meet in an edge"),
        )
    elif not isinstance(feature, Bevel) and (
        is_end(part, first) is not (feature.kind in _FIRST_ON_END)
        or (is_end(part, second) and feature.kind in _ALONG)
    ):
        yield (
            Level.STOP,
            "feature_from_end",
            say(
                "{feature_name} of the {part_label} is told from {ends_wrong}",
                feature_name=feature.name,
                part_label=part.label,
                ends_wrong=_ends_wrong(feature),
            ),
            say(_FACES_WANTED.get(feature.kind, _ALONG_IT)),
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
            say("{name} has not as many left as right pieces", name=name),
            Where(name=name),
            say("give one left and one right for each pair"),
        )
        for name, difference in counts.items()
        if difference
    )
