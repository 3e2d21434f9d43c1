"""Which fits hang on which measurement: found by measuring a shade more and looking what moves."""

from __future__ import annotations

from shopstep.design.build_file import BuildFile
from shopstep.design.resolve import Design, resolve_file
from shopstep.model.plan import BuildFileError
from shopstep.units import Length, write_exact

_SHADES = (Length.inches("1/32"), Length.inches("-1/32"))
Pairs = tuple[tuple[str, str], ...]


def fits_of_measurements(file: BuildFile, given: Pairs, display: str) -> dict[str, tuple[str, ...]]:
    """For each measurement the names of the fits whose value it moves.

    A measurement that can be moved neither way is left out, and all are where what was given does
    not work itself.
    """
    here = _resolved(file, given, display)
    if here is None:
        return {}
    return {item.name: _moved(file, here, given, item.name, item.value) for item in here.measured}


def _moved(
    file: BuildFile, here: Design, given: Pairs, name: str, value: Length
) -> tuple[str, ...]:
    others = tuple(pair for pair in given if pair[0] != name)
    for shade in _SHADES:
        there = _resolved(file, (*others, (name, write_exact(value + shade))), here.display)
        if there is not None:
            values = {fit.name: fit.value for fit in there.fits}
            return tuple(
                fit.name for fit in here.fits if values.get(fit.name, fit.value) != fit.value
            )
    return ()


def _resolved(file: BuildFile, given: Pairs, display: str) -> Design | None:
    """The design; None where its measurements are refused."""
    try:
        found = resolve_file(file, given, display)
    except BuildFileError:
        return None
    return found if found.parts else None
