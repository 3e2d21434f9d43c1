"""What is proved of a build from its solids. Areas in square millimetres, amounts in litres."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.plan import Finding


@dataclass(frozen=True, slots=True)
class Contact:
    """The faces of one joint that meet, in one unit."""

    joint: str
    member: str
    """Title of the part that goes into or against the other."""
    into: str
    area_mm2: float
    glue: str | None
    """Id of the glue; None where the joint stays free."""


@dataclass(frozen=True, slots=True)
class WayIn:
    """How something comes to its place."""

    step: str
    """Id of the step kind."""
    what: str
    comes_from: str
    """A face of the finished thing; empty for the first piece of all."""


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of a glue or paint one unit takes."""

    supply: str
    """Its id in the build."""
    kind: str
    """``glue`` or ``paint``."""
    area_mm2: float
    """On which it is spread once."""
    coats: int
    grams: float
    """0 for paint."""
    litres: float
    source: str


@dataclass(frozen=True, slots=True)
class Driven:
    """The fasteners of one entry of a step, in one unit."""

    step: str
    title: str
    count: int
    """As the step says."""
    placed: int
    """How many of them stand somewhere in space; 0: their size or place is not known."""
    is_guessed: bool
    """Their places are spread over where parts meet, for the build does not say them."""
    light: int
    """How many hold or stand with less wood than NDS asks of joints that carry by them alone."""
    hold_mm: float
    """Least way in the wood that holds them."""


@dataclass(frozen=True, slots=True)
class Bare:
    """Faces that glue must be kept off, in one unit."""

    loose: str
    """Title of the part that slides or comes off."""
    stays: str
    """Title of the part whose faces these are."""
    area_mm2: float


@dataclass(frozen=True, slots=True)
class Proof:
    """All that was looked at, and what was found wrong."""

    pieces: int
    pairs: int
    """Pairs of pieces that were held against each other."""
    contacts: tuple[Contact, ...]
    ways: tuple[WayIn, ...]
    outside_mm2: float
    """Of the finished thing, as seen from its six sides."""
    findings: tuple[Finding, ...]
    amounts: tuple[Amount, ...] = ()
    driven: tuple[Driven, ...] = ()
    bare: tuple[Bare, ...] = ()
    display: str = "in"
    """The unit that its sentences are written in."""
