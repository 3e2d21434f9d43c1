"""Where builds meet each other, as pydantic models. Imports the words of ``schema_types``."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from shopstep.design.schema_types import Expr, Id, Strict, Words


class InterfaceEntry(Strict):
    """A place where another build meets this one, under a name that all of them share."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    text: Words = Field(description="What meets what here, in the person's words.")
    role: Literal["above", "below", "inside", "around", "beside"] = Field(
        description="Where the other build is, seen from this one."
    )
    sizes: dict[Id, Expr] = Field(
        min_length=1, description="Sizes of this side, by the names that are shared."
    )


class CompareEntry(Strict):
    """How two sizes of the same name may differ: the other build's less this one's."""

    least: Expr | None = Field(None, description="Smallest difference that works; may be negative.")
    most: Expr | None = Field(None, description="Largest difference that works.")


class MateEntry(Strict):
    """A rule for every build that offers an interface of a name."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    mine: Id = Field(description="Interface of this build.")
    theirs: Id = Field(description="Name of the interface of the other build.")
    text: Words = Field(description="What it is for, in the person's words.")
    level: Literal["must", "should"] = Field(
        description="must: they do not go together while it is broken. should: a warning."
    )
    compare: dict[Id, CompareEntry] = Field(
        min_length=1, description="The shared sizes, each with its range."
    )
    source: Words = Field(description="Published source, or 'common practice, no source'.")
