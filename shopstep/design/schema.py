"""The shape of a build file, as pydantic models: every field with its meaning.

Expressions stay text here; ``expression`` reads them. Imports the other ``schema_…`` modules.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from shopstep.design.schema_features import FeatureEntry
from shopstep.design.schema_interfaces import InterfaceEntry, MateEntry
from shopstep.design.schema_joints import JointEntry
from shopstep.design.schema_steps import StepEntry
from shopstep.design.schema_types import (
    AxisName,
    BuildId,
    Expr,
    FaceName,
    Id,
    SchemaNumber,
    StepId,
    Strict,
    Words,
)


class MeasurementEntry(Strict):
    """Something the keeper reads off their own equipment or stock."""

    prompt: Words = Field(description="How to take it.")
    usual: Expr = Field(description="Value that stands in where none is given.")
    least: Expr = Field(description="Smallest value the design works for.")
    most: Expr = Field(description="Largest value the design works for.")
    several: Literal["latest", "thickest", "thinnest", "mean"] = Field(
        "latest", description="Which value counts where the same thing was read several times."
    )
    source: str = Field("", description="Where the usual value comes from.")


class ChoiceEntry(Strict):
    """One of a few ways to make it."""

    prompt: Words = Field(description="The question.")
    options: dict[Id, Words] = Field(min_length=1, description="Each option with what it means.")
    usual: Id = Field(description="The option that stands in where none is given.")


class MaterialEntry(Strict):
    """Stock as bought."""

    form: Literal["board", "sheet", "roll"] = Field(description="How it is sold.")
    title: Words = Field(description="As a shop assistant would read it.")
    thickness: Expr = Field(description="As it is, not as it is called; often a measurement.")
    sold_thickness: Expr | None = Field(
        None, description="How thick a board is sold, where it is sold rough: it is planed first."
    )
    sold_width: Expr = Field(description="Actual width as sold.")
    sold_length: Expr | list[Expr] = Field(
        description="Length along the grain, or of the least piece of a roll. Several where boards "
        "or sheets of one width are sold in several lengths: [6 ft, 8 ft]."
    )
    sold_as: Words = Field(
        description="Words for the buy list; without the length, where several are sold."
    )
    stuff: Literal["wood", "cloth", "foam", "metal"] | None = Field(
        None, description="What it is, where that is not wood (or cloth off a roll): how it is cut."
    )


class LeanEntry(Strict):
    """A piece that leans: turned about its lower back edge until its front end is lower."""

    rise: Expr = Field(description="How much lower its front end is …")
    run: Expr = Field(description="… on this way from front to back.")
    back: Expr = Field(description="Where its lower back edge stands, from the front.")
    bottom: Expr = Field(description="How far above the ground that edge is.")


class AtEntry(Strict):
    """The corner of a piece that is nearest to front, left and bottom."""

    front: Expr | None = Field(None, description="How far behind the front of the finished thing.")
    left: Expr | None = Field(None, description="How far from its left side.")
    bottom: Expr | None = Field(None, description="How far above the ground.")
    behind: Id | None = Field(None, description="Instead of front: right behind this part.")
    before: Id | None = Field(None, description="Instead of front: right before this part.")
    right_of: Id | None = Field(None, description="Instead of left: right beside this part.")
    left_of: Id | None = Field(None, description="Instead of left: left beside this part.")
    above: Id | None = Field(None, description="Instead of bottom: on this part.")
    below: Id | None = Field(None, description="Instead of bottom: under this part.")
    flush: dict[FaceName, Id] = Field({}, description="Which face is flush with that of a part.")
    centred: dict[AxisName, Id] = Field({}, description="Along which axis centred on which part.")
    in_groove: Id | None = Field(
        None, description="Groove joint that it sits in: its height, and its place between two."
    )
    turned: AxisName | None = Field(
        None, description="The axis that this piece is turned about by half a turn."
    )
    lean: LeanEntry | None = Field(None, description="How it leans; the place is then as if level.")


class HandsEntry(Strict):
    """Left and right as mirror images; the part describes the left one."""

    mirror: Literal["left-right"] = Field(description="The axis that is mirrored.")
    middle: Expr = Field(description="Where the mirror plane stands, from the left.")


class AllowanceEntry(Strict):
    """Wood left on beyond the finished size."""

    face: FaceName = Field(description="The edge or end that it is left on.")
    extra: Expr = Field(description="How much larger the part is cut there.")
    why: Words = Field(description="What becomes of it: 'planed flush after glue-up'.")


class RangeEntry(Strict):
    """A size that does not matter much: what the rack has is taken."""

    least: Expr = Field(description="Smallest that will do.")
    usual: Expr = Field(description="What is cut where the rack has nothing that fits.")
    most: Expr = Field(description="Largest that will do.")


class PartEntry(Strict):
    """A finished piece."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    title: Words = Field(description="How people call it, in the singular.")
    material: Id = Field(description="Name of a material of this build.")
    length: Expr = Field(description="Along the grain.")
    width: Expr | RangeEntry = Field(
        description="Across the grain; a range where it does not matter. All pieces of a part are"
        " alike."
    )
    allowances: list[AllowanceEntry] = Field([], description="Where it is cut larger at first.")
    thickness: Expr | None = Field(None, description="As the material, where nothing is said.")
    runs: tuple[AxisName, AxisName, AxisName] = Field(
        description="Along which axis length, width and thickness lie."
    )
    at: AtEntry | list[AtEntry] = Field(description="One place for each piece of the unit.")
    hands: HandsEntry | None = Field(None, description="For parts that come left and right.")
    features: dict[Id, FeatureEntry] = Field({}, description="What is cut into it, by name.")
    loose: bool = Field(
        False, description="It slides or comes off in use: no glue may reach where it stands."
    )
    why: str = Field("", description="The reason for the part or its size, shown on request.")


class FitEntry(Strict):
    """A number that must lie in a range for the thing to work."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    text: Words = Field(description="What it is for, in the person's words.")
    level: Literal["must", "should"] = Field(
        description="must: there is no plan while it is broken. should: a warning."
    )
    value: Expr = Field(description="The number, from the sizes it depends on.")
    least: Expr | None = Field(None, description="Smallest value that works.")
    most: Expr | None = Field(None, description="Largest value that works.")
    source: Words = Field(description="Published source, or 'common practice, no source'.")
    too_little: Words | None = Field(
        None, description="What may happen below the range: 'the panel may bind'."
    )
    too_much: Words | None = Field(
        None, description="What may happen above the range: 'the panel may rattle'."
    )
    ease: Words | None = Field(
        None, description="What else helps at the bench, with a verb: 'ease the panel's edge'."
    )


class SupplyEntry(Strict):
    """A glue or a paint."""

    title: Words = Field(description="As a shop assistant would read it.")
    row: Id = Field(description="Row of the table of glues or paints.")


class MetaEntry(Strict):
    """How the build likes to be shown."""

    display: Literal["in", "mm"] = Field(
        default="in", description="Unit where the keeper has none."
    )
    left_is: Words = Field(
        default="left as you stand behind it, looking the way it faces",
        description="Which side is left, in words.",
    )


class BuildEntry(Strict):
    """A design that can be made at any size its rules allow."""

    schema_number: SchemaNumber = Field(alias="schema", description="Always 1.")
    id: BuildId = Field(description="Name on the shelf: small letters, digits and hyphens.")
    revision: int = Field(ge=1, description="Counts up with every change that is given away.")
    parent: str | None = Field(
        None, description="Id of a build that this one changes; only what differs is written then."
    )
    title: Words = Field(description="What it is, for people.")
    summary: Words = Field(description="What it does and what is special about it.")
    show: MetaEntry = Field(MetaEntry(), description="How it likes to be shown.")
    measurements: dict[Id, MeasurementEntry] = Field(description="What the keeper measures.")
    choices: dict[Id, ChoiceEntry] = Field({}, description="What the keeper decides.")
    sizes: dict[Id, Expr] = Field({}, description="Named sizes, each from others.")
    materials: dict[Id, MaterialEntry] = Field(description="Stock as bought.")
    glues: dict[Id, SupplyEntry] = Field({}, description="Glues by name.")
    paints: dict[Id, SupplyEntry] = Field({}, description="Paints by name.")
    parts: dict[Id, PartEntry] = Field(min_length=1, description="Finished pieces.")
    joints: dict[Id, JointEntry] = Field({}, description="Where parts meet.")
    fits: dict[Id, FitEntry] = Field({}, description="Numbers that must lie in a range.")
    interfaces: dict[Id, InterfaceEntry] = Field({}, description="Where other builds meet it.")
    mates: dict[Id, MateEntry] = Field({}, description="Rules for the builds that meet it.")
    sundries: list[Words] = Field([], description="What has to be at hand besides wood.")
    steps: dict[StepId, StepEntry] = Field(
        min_length=1, description="The work, in the order of doing it."
    )
