"""Places by alignment: behind one part, flush with another, in the groove of a joint.

Each becomes an expression over the sizes and faces of the other part, as an author could write it:
``panel.top`` is where the upper face of the panel stands. Imports this room's build file.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopstep.design.build_file import BuildFile
from shopstep.design.expression import Value
from shopstep.design.nearest import did_you_mean
from shopstep.design.schema import AtEntry, PartEntry
from shopstep.design.schema_joints import GrooveJointEntry
from shopstep.design.values import Values
from shopstep.design.yaml_source import Path
from shopstep.model.plan import BuildFileError
from shopstep.words import say

_AXES = ("front-back", "left-right", "bottom-top")
_FACES = (("front", "back"), ("left", "right"), ("bottom", "top"))
_SIZES = ("length", "width", "thickness")
_BESIDE = {
    "behind": (0, True), "before": (0, False), "right_of": (1, True),
    "left_of": (1, False), "above": (2, True), "below": (2, False),
}  # fmt: skip
"""Axis, and whether the part stands beyond the other one."""


@dataclass(frozen=True, slots=True)
class _Said:
    """What one word of a place says of one axis."""

    axis: int
    word: str
    text: str


def define_faces(build: BuildFile, values: Values) -> None:
    """Name the faces of every part's first piece, of the left hand: ``panel.top``."""
    for name, entry in build.entry.parts.items():
        at = entry.at[0] if isinstance(entry.at, list) and entry.at else entry.at
        if isinstance(at, list) or len(set(entry.runs)) != 3:
            continue
        for axis, (low, high) in enumerate(_FACES):
            path: Path = ("parts", name, "at")
            values.define(f"{name}.{low}", _low(build, values, name, at, axis, path), path)
            size = _size(name, entry, axis)
            values.define_text(f"{name}.{high}", f"{name}.{low} + {size}", path)


def _low(
    build: BuildFile, values: Values, name: str, at: AtEntry, axis: int, path: Path
) -> Callable[[], Value]:
    return lambda: values.work_out(corner_of(build, name, at, path)[axis], path)


def corner_of(build: BuildFile, name: str, at: AtEntry, path: Path) -> tuple[str, str, str]:
    """Expressions for the front, left, bottom corner of a piece.

    BuildFileError where an axis is said twice or not at all, or what is named is not there.
    """
    said = list(_all_said(build, name, at, path))
    texts = []
    for axis, (low, _) in enumerate(_FACES):
        own = [each for each in said if each.axis == axis]
        if len(own) == 1:
            texts.append(own[0].text)
            continue
        both = say(" and ").join(f"'{each.word}'" for each in own)
        problem = (
            say(
                "part '{name}' says twice where it stands {axes}: {both}",
                name=name,
                axes=_AXES[axis].replace("-", " to "),
                both=both,
            )
            if own
            else say(
                "'{low}' is missing in 'parts.{name}.at'; give it, or a part to align it with",
                low=low,
                name=name,
            )
        )
        raise BuildFileError(problem, build.source.where(path, name))
    return texts[0], texts[1], texts[2]


def _all_said(build: BuildFile, name: str, at: AtEntry, path: Path) -> list[_Said]:
    entry = build.entry.parts[name]
    found = [
        _Said(axis, low, text)
        for axis, (low, _) in enumerate(_FACES)
        if (text := getattr(at, low)) is not None
    ]
    for word, (axis, is_beyond) in _BESIDE.items():
        other = getattr(at, word)
        if other is not None:
            _check_part(build, name, other, path)
            low, high = _FACES[axis]
            text = f"{other}.{high}" if is_beyond else f"{other}.{low} - {_size(name, entry, axis)}"
            found.append(_Said(axis, word, text))
    for face, other in at.flush.items():
        found.append(_flush(build, name, face, other, path))
    for along, other in at.centred.items():
        _check_part(build, name, other, path)
        axis = _AXES.index(along)
        low, high = _FACES[axis]
        size = _size(name, entry, axis)
        text = f"({other}.{low} + {other}.{high})/2 - {size}/2"
        found.append(_Said(axis, "centred", text))
    return found + (_in_groove(build, name, at.in_groove, path) if at.in_groove else [])


def _flush(build: BuildFile, name: str, face: str, other: str, path: Path) -> _Said:
    _check_part(build, name, other, path)
    axis = next((n for n, faces in enumerate(_FACES) if face in faces), None)
    if axis is None:
        raise BuildFileError(
            say(
                "part '{name}' is flush with the '{face}' of '{other}'; name front, back, left, "
                "right, bottom or top",
                name=name,
                face=face,
                other=other,
            ),
            build.source.where(path, name),
        )
    size = _size(name, build.entry.parts[name], axis)
    is_low = face == _FACES[axis][0]
    return _Said(axis, "flush", f"{other}.{face}" if is_low else f"{other}.{face} - {size}")


def _in_groove(build: BuildFile, name: str, joint: str, path: Path) -> list[_Said]:
    """On the near wall of the groove; between two grooves also in the middle of its play."""
    entry = build.entry.joints.get(joint)
    if not isinstance(entry, GrooveJointEntry) or entry.member != name:
        raise BuildFileError(
            say(
                "part '{name}' stands in the groove of '{joint}', which is no groove joint of it"
                "{did_you_mean}",
                name=name,
                joint=joint,
                did_you_mean=did_you_mean(joint, build.entry.joints),
            ),
            build.source.where(path, name),
        )
    own = build.entry.parts[name]
    axis, is_high = _side(entry.reference)
    low, high = _FACES[axis]
    wall = f"{entry.into}.{low} + ({entry.offset})"
    if is_high:
        wall = f"{entry.into}.{high} - ({entry.offset}) - {_size(name, own, axis)}"
    found = [_Said(axis, "in_groove", wall)]
    if entry.ends == "2":
        deep, is_beyond = _side(entry.face)
        low, high = _FACES[deep]
        text = f"{entry.into}.{high} - {joint}.depth + {joint}.play/2"
        if not is_beyond:
            size = _size(name, own, deep)
            text = f"{entry.into}.{low} + {joint}.depth - {joint}.play/2 - {size}"
        found.append(_Said(deep, "in_groove", text))
    return found


def _side(face: str) -> tuple[int, bool]:
    """Axis and end of a face; of a handed part that of the left one."""
    if face in ("inside", "outside"):
        return 1, face == "inside"
    axis = next(n for n, faces in enumerate(_FACES) if face in faces)
    return axis, face == _FACES[axis][1]


def _size(name: str, entry: PartEntry, axis: int) -> str:
    """The name of the part's size along an axis."""
    runs: list[str] = [*entry.runs]
    return f"{name}.{_SIZES[runs.index(_AXES[axis])]}"


def _check_part(build: BuildFile, name: str, other: str, path: Path) -> None:
    if other not in build.entry.parts:
        raise BuildFileError(
            say(
                "part '{name}' is placed by '{other}', which is not there{did_you_mean}",
                name=name,
                other=other,
                did_you_mean=did_you_mean(other, build.entry.parts),
            ),
            build.source.where(path, name),
        )
