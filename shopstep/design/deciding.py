"""Which parts and fits hang on which measurement: measured a shade more, and what moves then."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.design.build_file import BuildFile
from shopstep.design.resolve import Design, resolve_file
from shopstep.model.part import Part
from shopstep.model.plan import BuildFileError
from shopstep.units import Length, write_exact

_SHADES = (Length.inches("1/32"), Length.inches("-1/32"))
Pairs = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Decided:
    """What a measurement moves."""

    parts: tuple[str, ...] = ()
    """Titles of the parts whose length, width or thickness changes, each once."""
    fits: tuple[str, ...] = ()
    """Names of the fits whose value changes."""


def moved_by_measurements(file: BuildFile, given: Pairs, display: str) -> dict[str, Decided]:
    """For each measurement the parts and the fits that it moves.

    A measurement that can be moved neither way is left out, and all are where what was given does
    not work itself.
    """
    here = _resolved(file, given, display)
    if here is None:
        return {}
    return {item.name: _moved(file, here, given, item.name, item.value) for item in here.measured}


def _moved(file: BuildFile, here: Design, given: Pairs, name: str, value: Length) -> Decided:
    others = tuple(pair for pair in given if pair[0] != name)
    for shade in _SHADES:
        there = _resolved(file, (*others, (name, write_exact(value + shade))), here.display)
        if there is not None:
            values = {fit.name: fit.value for fit in there.fits}
            sizes = {(part.name, part.hand): _size(part) for part in there.parts}
            fits = (f.name for f in here.fits if values.get(f.name, f.value) != f.value)
            parts = (p.title for p in here.parts if sizes.get((p.name, p.hand)) != _size(p))
            return Decided(tuple(dict.fromkeys(parts)), tuple(fits))
    return Decided()


def _size(part: Part) -> tuple[Length, Length, Length]:
    return part.length, part.width, part.thickness


def _resolved(file: BuildFile, given: Pairs, display: str) -> Design | None:
    """The design; None where its measurements are refused."""
    try:
        found = resolve_file(file, given, display)
    except BuildFileError:
        return None
    return found if found.parts else None
