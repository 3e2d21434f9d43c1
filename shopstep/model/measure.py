"""What a build asks to have measured, and what a keeper has read off."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.units import Length

SEVERAL = ("latest", "thickest", "thinnest", "mean")
"""What counts where the same thing was read more than once."""


@dataclass(frozen=True, slots=True)
class MeasureQuestion:
    """One measurement that a build asks for."""

    name: str
    prompt: str
    """How to take it."""
    usual: Length
    least: Length
    most: Length
    """The design works from ``least`` to ``most``."""
    several: str = "latest"
    """One of ``SEVERAL``."""
    decides: tuple[str, ...] = ()
    """Names of the fits that hang on it, where that was asked for."""
    shapes: tuple[str, ...] = ()
    """Titles of the parts whose sizes hang on it, likewise."""


@dataclass(frozen=True, slots=True)
class Questionnaire:
    """All measurements that a build asks for, in its order."""

    title: str
    """Of the build."""
    display: str
    """``in`` or ``mm``."""
    questions: tuple[MeasureQuestion, ...]


@dataclass(frozen=True, slots=True)
class Reading:
    """One number read off a rule."""

    name: str
    """Of the measurement; builds that ask for the same name share it."""
    value: Length
    at_s: int
    """When it was taken, seconds since 1970 UTC."""
    round: str
    """Readings of one round of measuring count together; a newer round takes their place."""
