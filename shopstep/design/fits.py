"""Fits: named numbers that must lie in a range for the thing to work."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shopstep.design.build_file import BuildFile
from shopstep.design.dimensions import Dimensions, list_dimensions
from shopstep.design.limits import Range
from shopstep.design.schema import FitEntry
from shopstep.design.sensitivity import find_levers
from shopstep.design.values import Values
from shopstep.model.plan import BuildFileError, Finding, Fit, Level, Measured
from shopstep.units import Length, format_length
from shopstep.words import say


def resolve_fits(
    build: BuildFile, values: Values, measured: tuple[Measured, ...], limits: Mapping[str, Range]
) -> tuple[Fit, ...]:
    """All fits with their values at the nominal sizes, and with the sizes that they hang on.

    ``measured``: which of the measurements the keeper took, and which are only usual values.
    ``limits``: the keeper's own ranges by fit, instead of the published ones.
    """
    dimensions = list_dimensions(build, values, measured)
    fits = (
        _fit(build, values, dimensions, name, entry) for name, entry in build.entry.fits.items()
    )
    return tuple(
        _with_own_limit(fit, limits[fit.name], build.entry.show.display)
        if fit.name in limits
        else fit
        for fit in fits
    )


def _with_own_limit(fit: Fit, own: Range, display: str) -> Fit:
    least, most = own
    return replace(
        fit,
        least=least,
        most=most,
        ok=is_within(fit.value, own),
        own_limit=True,
        source=(
            say(
                "your own limit; published {range}, {source}",
                range=range_text(fit.least, fit.most, display),
                source=fit.source,
            )
        ),
    )


def is_within(value: Length, limits: Range) -> bool:
    """Whether a value lies in a range; None stands for no end."""
    least, most = limits
    return (least is None or value >= least) and (most is None or value <= most)


def _fit(
    build: BuildFile, values: Values, dimensions: Dimensions, name: str, entry: FitEntry
) -> Fit:
    path = ("fits", name)
    place = build.source.where(path, name)
    if entry.least is None and entry.most is None:
        raise BuildFileError(say("fit '{name}' needs 'least' or 'most'", name=name), place)
    value = values.length(entry.value, (*path, "value"))
    least = values.length(entry.least, (*path, "least")) if entry.least else None
    most = values.length(entry.most, (*path, "most")) if entry.most else None
    if least is not None and most is not None and least > most:
        raise BuildFileError(
            say("fit '{name}': 'least' is more than 'most'; change them round", name=name), place
        )
    return Fit(
        name=name,
        level=entry.level,
        value=value,
        least=least,
        most=most,
        ok=is_within(value, (least, most)),
        source=entry.source,
        text=entry.text,
        line=place.line,
        file=place.file,
        too_little=entry.too_little or "",
        too_much=entry.too_much or "",
        ease=entry.ease or "",
        levers=find_levers(values, dimensions, entry.value, (*path, "value")),
    )


def range_text(least: Length | None, most: Length | None, display: str) -> str:
    """The range in words: "1/4 in to 3/8 in", "at least 1/4 in", "at most 3/8 in"."""
    if least is not None and most is not None:
        return say(
            "{least} to {most}",
            least=format_length(least, display),
            most=format_length(most, display),
        )
    if least is not None:
        return say("at least {least}", least=format_length(least, display))
    return (
        say("at most {most}", most=format_length(most, display)) if most is not None else say("any")
    )


def fit_findings(build: BuildFile, fits: tuple[Fit, ...], display: str) -> tuple[Finding, ...]:
    """A stop for every broken *must*, a warning for every broken *should*."""
    return tuple(
        Finding(
            Level.STOP if fit.level == "must" else Level.WARN,
            f"fit:{fit.name}",
            say(
                "{fit} It comes out as {fit_value}; {range} is right.",
                fit=fit.text,
                fit_value=format_length(fit.value, display),
                range=range_text(fit.least, fit.most, display),
            ),
            build.source.where(("fits", fit.name), fit.name),
            say(
                "Change the sizes it comes from: {fits_value} (source of the range: {source}).",
                fits_value=build.entry.fits[fit.name].value,
                source=fit.source,
            ),
        )
        for fit in fits
        if not fit.ok
    )
