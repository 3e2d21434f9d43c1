"""The steps of a build file, as pydantic models. Imports the words of ``schema_types``."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from shopstep.design.schema_types import (
    Expr,
    FaceName,
    Id,
    PartFace,
    PieceName,
    StepId,
    Strict,
    Words,
)


class SpreadEntry(Strict):
    """Several places along one direction."""

    first: Expr = Field(description="How far the first one is from that side.")
    count: Expr = Field(description="How many.")
    gap: Expr | None = Field(None, description="From one to the next.")
    last: Expr | None = Field(
        None,
        description="Instead of gap: how far the last one is from the other side; as the first"
        " where neither is said. The others lie evenly between.",
    )


class RowEntry(Strict):
    """Where fasteners go in, through one part into another."""

    through: PieceName = Field(description="Part that the heads lie in: 'left side_rail'.")
    into: PieceName | None = Field(None, description="Part that holds them, where it touches.")
    face: FaceName | None = Field(
        None, description="Face of 'through' with the heads; worked out where 'into' is said."
    )
    at: dict[FaceName, Expr | list[Expr] | SpreadEntry] = Field(
        {},
        description="How far from these sides of where the two touch (of the face, without 'into');"
        " in the middle where nothing is said.",
    )
    straight: FaceName | None = Field(
        None, description="Side of the finished thing that they are driven towards, on a slope."
    )
    tilt: Expr | None = Field(None, description="Angle that they lean from square.")
    towards: FaceName | None = Field(None, description="Of tilt: where the point leans to.")


class FastenerEntry(Strict):
    """Fasteners for one unit."""

    kind: Literal["brad", "staple", "screw"] = Field(description="What is driven in.")
    title: Words = Field(
        description="As on the box, with gauge and length; a {size} is put in, in inches."
    )
    count: Expr = Field(description="How many for one unit.")
    pilot: Expr | None = Field(None, description="Pilot-hole drill.")
    clearance: Expr | None = Field(
        None, description="Clearance drill in the piece that the head draws down."
    )
    rows: list[RowEntry] = Field(
        [], description="Where they go in; spread over where the step's parts meet, if not said."
    )


class CutEntry(Strict):
    """Wood that is taken off in a step, with what was driven in before in its way."""

    part: Id = Field(description="Part that is planed or sawn.")
    face: FaceName = Field(description="Face that it is measured from.")
    deep: Expr = Field(description="How much is taken off there, or where the saw's line runs.")
    line: bool = Field(
        False, description="true: only a saw's line there; false: all wood down to there."
    )


class CheckEntry(Strict):
    """What must be true before the step is done."""

    text: Words = Field(description="What is looked at or measured.")
    value: Expr | None = Field(None, description="Asks for a number; what the plan expects.")
    tolerance: Expr = Field("0 in", description="Largest deviation that passes.")
    becomes: str | None = Field(
        None,
        pattern=r"^[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)?$",
        description="The size or measurement that the number read becomes, for what hangs on it.",
    )


class AfterEntry(Strict):
    """A limit: this step not before the glue or paint of that one allows, or not long after it."""

    step: StepId = Field(description="The step that the time counts from, from its end.")
    wait: Literal["clamp", "cure", "touch", "recoat", "dry_through", "within"] = Field(
        description="Which time of the glue (clamp, cure) or the paint (touch, recoat, dry_through)"
        " has to pass; or within: the longest that this step may be put off."
    )
    at_most: Words | None = Field(
        None, description="Of within: the longest span, '14 d' or '36 h'; nights count."
    )
    row: Id | None = Field(
        None, description="Of within: row of the table of longest waits, instead of at_most."
    )
    late: Words | None = Field(
        None, description="Of within: what to do where it is late: 'Sand again with 120 grit.'"
    )
    source: Words | None = Field(
        None, description="Of at_most: published source, or 'common practice, no source'."
    )
    timer: str = Field("", max_length=30, description="Of within: name of its timer: 'first coat'.")


class TakesEntry(Strict):
    """A thing of the shop that stays in use until another step begins."""

    resource: Literal["clamps", "drying_places", "bench_places"] = Field(
        description="What is taken."
    )
    amount: int = Field(ge=1, le=100, description="How many, for one unit.")
    reach: Expr | None = Field(
        None, description="How far each clamp must reach: the width over the parts it spans."
    )
    until: StepId = Field(description="The step that begins when it is given back.")


class AddEntry(Strict):
    """Pieces that come in this step, moved as one."""

    parts: list[PieceName] = Field(min_length=1, description="What comes: 'left side_rail'.")
    comes_from: FaceName | None = Field(
        None, alias="from", description="The side it comes from; worked out where nothing is said."
    )
    apart: bool = Field(False, description="Put together by itself, beside the finished thing.")


class StepEntry(Strict):
    """What the person sees and ticks."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    title: Words = Field(description="Short headline with a verb.")
    text: Words = Field(description="The full sentence; {size} is put in from the plan.")
    why: str = Field("", description="The reason, shown on request.")
    scope: Literal["unit", "batch"] = Field(
        "unit", description="Done for each unit, or once for the whole batch."
    )
    minutes: Annotated[float, Field(gt=0, le=600)] = Field(description="Hands-on estimate.")
    people: int = Field(1, ge=1, le=2, description="2: it needs a second pair of hands.")
    tool: Id = Field(
        "hand",
        description="Tool in hand, for its cautions: drill_driver, glue, brush; a name that is not"
        " there is answered with all of them.",
    )
    parts: list[Id] = Field([], description="Parts in hand; they must be cut before.")
    adds: list[PieceName | AddEntry] = Field(
        [], description="What is put in its place here, in this order, each piece by itself."
    )
    numbers: dict[Words, Expr] = Field({}, description="Numbers in tall type, by their label.")
    checks: dict[Id, CheckEntry] = Field(
        {}, description="What must be true before it is done; at most 7 are read with care."
    )
    fasteners: list[FastenerEntry] = Field([], description="What is driven in, for one unit.")
    glue: Id | None = Field(None, description="Glue that is spread or closed here.")
    role: Literal["spread", "close"] | None = Field(
        None, description="spread: the open time begins. close: it ends."
    )
    closes: StepId | None = Field(None, description="The spread step that a close step ends.")
    paint: Id | None = Field(None, description="Paint that is put on here.")
    timer: str = Field("", max_length=30, description="Name of its timers: 'frame glue'.")
    needs: list[StepId] | None = Field(None, description="The step above, where nothing is said.")
    needs_also: list[StepId] = Field([], description="Further steps that come before.")
    coats: list[PartFace] = Field([], description="Faces that paint is put on here: 'panel top'.")
    cuts: list[CutEntry] = Field([], description="What is planed or sawn off here.")
    turns: bool = Field(False, description="The work is turned over here.")
    place: Literal["indoors", "outdoors"] | None = Field(
        None, description="Where it is done; outdoors: only while it is light."
    )
    at_once: bool = Field(False, description="Follows the step above without a gap.")
    after: list[AfterEntry] = Field([], description="Waits for glue or paint, and longest waits.")
    takes: list[TakesEntry] = Field(
        [], description="Clamps, drying places and bench places in use from here."
    )
