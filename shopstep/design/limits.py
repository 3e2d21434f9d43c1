"""A keeper's own limits: their mice, their bees. They stand in place of a published range."""

from __future__ import annotations

from collections.abc import Mapping

from shopstep.design.build_file import BuildFile
from shopstep.design.nearest import did_you_mean
from shopstep.model.plan import BuildFileError, Limit, Where
from shopstep.units import Length, UnitError, parse_length
from shopstep.words import say, to_say

Range = tuple[Length | None, Length | None]
_HOW = to_say("write LEAST..MOST, for example 1/4 in..5/16 in; one of the two may be left out")


def read_limits(build: BuildFile, limits: tuple[Limit, ...]) -> Mapping[str, Range]:
    """The keeper's range for each fit of the build; the first one given for a fit counts.

    A limit may name its build (``screened-floor.mouse_gate``). One that was typed for a fit that
    the build does not have raises BuildFileError; one that a shop keeps is for another build.
    """
    found: dict[str, Range] = {}
    for limit in limits:
        owner, _, fit = limit.fit.rpartition(".")
        if owner and owner != build.entry.id:
            continue
        if fit in build.entry.fits:
            found.setdefault(fit, _read_range(limit))
        elif limit.typed:
            raise BuildFileError(
                say(
                    "'{fit}' is no fit of this build{did_you_mean}",
                    fit=fit,
                    did_you_mean=did_you_mean(fit, build.entry.fits),
                ),
                Where("--limit", 0, fit),
            )
    return found


def _read_range(limit: Limit) -> Range:
    low, dots, high = limit.text.partition("..")
    if not dots or not (low.strip() or high.strip()):
        raise _refuse(limit, say("'{limit}' is no range; {how}", limit=limit.text, how=say(_HOW)))
    least, most = (_read_end(limit, end.strip()) for end in (low, high))
    if least is not None and most is not None and least > most:
        raise _refuse(
            limit, say("'{limit}' begins above its end; change the two round", limit=limit.text)
        )
    return least, most


def _read_end(limit: Limit, text: str) -> Length | None:
    try:
        return parse_length(text) if text else None
    except UnitError as problem:
        raise _refuse(limit, f"{problem}; {say(_HOW)}") from None


def _refuse(limit: Limit, text: str) -> BuildFileError:
    place = "--limit" if limit.typed else say("limits of the shop")
    return BuildFileError(
        say("limit of '{fit}': {text}", fit=limit.fit, text=text), Where(place, 0, limit.fit)
    )
