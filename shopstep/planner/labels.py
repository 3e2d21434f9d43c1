"""What the label on the bottle says, in the place of the tables' common practice.

``SUPPLY.WHAT``: a glue or paint of the build, and one of its times or its least temperature.
Imports the rooms conditions and ``model``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from difflib import get_close_matches

from shopstep.conditions.glues import Glue
from shopstep.conditions.paints import Paint
from shopstep.model.naming import BUILD_MARK
from shopstep.model.plan import BuildFileError, Where
from shopstep.model.step import Outline, Supply
from shopstep.units import UnitError, parse_duration
from shopstep.words import say

Labels = tuple[tuple[str, str], ...]
SOURCE = "your label"
LEAST = "least"
_CELSIUS = re.compile(r"(-?\d{1,3}(?:\.\d+)?)\s*°?\s*([CFcf])")
_GLUE = {"open": "open_s", "clamp": "clamp_s", "cure": "handle_s"}
_PAINT = {"touch": "touch_s", "recoat": "recoat_s", "dry_through": "through_s"}


def check_labels(labels: Labels, outline: Outline) -> None:
    """BuildFileError for a label of nothing in the build, or of no time that it has."""
    known = [f"{_base(supply)}.{what}" for supply in outline.glues for what in (*_GLUE, LEAST)]
    known += [f"{_base(supply)}.{what}" for supply in outline.paints for what in (*_PAINT, LEAST)]
    for name, _ in labels:
        if name not in known:
            near = get_close_matches(name, known, n=1, cutoff=0.0)
            hint = (
                say("; nearest is '{near}'", near=near[0])
                if near
                else say("; it uses no glue and no paint")
            )
            raise BuildFileError(
                say("there is no '{name}' in this build{hint}", name=name, hint=hint),
                Where("--label", 0, name),
            )


def _base(supply: Supply) -> str:
    """Its name in its own build: one label holds for the same glue in all builds of a batch."""
    return supply.id.partition(BUILD_MARK)[0]


def with_glue_label(glue: Glue, supply: Supply, labels: Labels) -> Glue:
    """The row with what the label says."""
    told = _told(supply, labels, _GLUE)
    least = _least(supply, labels)
    if least is not None:
        told |= {"least_c": least, "sure_c": least}
    return replace(glue, **told, source=SOURCE) if told else glue  # type: ignore[arg-type]


def with_paint_label(paint: Paint, supply: Supply, labels: Labels) -> Paint:
    """The row with what the label says."""
    told = _told(supply, labels, _PAINT)
    least = _least(supply, labels)
    if least is not None:
        told |= {"least_c": least}
    return replace(paint, **told, source=SOURCE) if told else paint  # type: ignore[arg-type]


def _told(supply: Supply, labels: Labels, fields: dict[str, str]) -> dict[str, float]:
    found: dict[str, float] = {}
    for name, text in _own(supply, labels):
        if name in fields:
            found.setdefault(fields[name], _seconds(f"{supply.id}.{name}", text))
    return found


def _least(supply: Supply, labels: Labels) -> float | None:
    text = next((text for name, text in _own(supply, labels) if name == LEAST), None)
    if text is None:
        return None
    found = _CELSIUS.fullmatch(text.strip())
    if found is None:
        said = say("'{text}' is no temperature; write for example 8 C or 46 F", text=text)
        raise _wrong(f"{supply.id}.{LEAST}", said)
    degrees = float(found.group(1))
    return round((degrees - 32) / 1.8, 1) if found.group(2).upper() == "F" else degrees


def _own(supply: Supply, labels: Labels) -> Iterable[tuple[str, str]]:
    lead = f"{_base(supply)}."
    return ((name.removeprefix(lead), text) for name, text in labels if name.startswith(lead))


def _seconds(name: str, text: str) -> int:
    try:
        seconds = parse_duration(text).s
    except UnitError as problem:
        raise _wrong(name, str(problem)) from None
    if seconds <= 0:
        raise _wrong(name, say("a time of more than nothing is needed"))
    return seconds


def _wrong(name: str, said: str) -> BuildFileError:
    return BuildFileError(f"{name}: {said}", Where("--label", 0, name))
