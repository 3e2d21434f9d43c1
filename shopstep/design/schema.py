"""The shape of a build file, as pydantic models: every field with its meaning.

Expressions stay text here; ``expression`` reads them. Imports nothing of the project but units.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

Expr = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
"""A length, an angle or a small expression over names: ``14 3/8 in + 2*board_thickness``."""
Words = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=600)]
Id = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_]*$", max_length=40)]
StepId = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_]*/[a-z][a-z0-9_]*$")]
FaceName = Literal["front", "back", "left", "right", "bottom", "top", "inside", "outside"]
AxisName = Literal["front-back", "left-right", "bottom-top"]


class Strict(BaseModel):
    """No key but those that are named."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class MeasurementEntry(Strict):
    """Something the keeper reads off their own equipment or stock."""

    prompt: Words = Field(description="How to take it.")
    usual: Expr = Field(description="Value that stands in where none is given.")
    least: Expr = Field(description="Smallest value the design works for.")
    most: Expr = Field(description="Largest value the design works for.")
    source: str = Field("", description="Where the usual value comes from.")


class ChoiceEntry(Strict):
    """One of a few ways to make it."""

    prompt: Words = Field(description="The question.")
    options: dict[Id, Words] = Field(description="Each option with what it means.")
    usual: Id = Field(description="The option that stands in where none is given.")


class MaterialEntry(Strict):
    """Stock as bought."""

    form: Literal["board", "sheet", "roll"]
    title: Words = Field(description="As a shop assistant would read it.")
    thickness: Expr
    sold_width: Expr = Field(description="Actual width as sold.")
    sold_length: Expr = Field(
        description="Length along the grain, or of the least piece of a roll."
    )
    sold_as: Words = Field(description="Words for the buy list.")


class AtEntry(Strict):
    """The corner of a piece that is nearest to front, left and bottom."""

    front: Expr
    left: Expr
    bottom: Expr


class HandsEntry(Strict):
    """Left and right as mirror images; the part describes the left one."""

    mirror: Literal["left-right"] = Field(description="The axis that is mirrored.")
    middle: Expr = Field(description="Where the mirror plane stands, from the left.")


class GrooveEntry(Strict):
    """A channel along the grain."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["groove"]
    face: FaceName
    reference: FaceName = Field(alias="from", description="Face that the offset is measured from.")
    offset: Expr
    width: Expr
    depth: Expr
    stop_start: Expr = Field("0 in", description="Uncut at the front, left or bottom end.")
    stop_end: Expr = Field("0 in", description="Uncut at the other end.")


class BevelEntry(Strict):
    """An edge taken off flat."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["bevel"]
    face: FaceName
    edge: FaceName
    back: Expr = Field(description="How far back on the face the cut begins.")
    drop: Expr = Field(description="How far down on the edge it ends.")


class HolesEntry(Strict):
    """A row of holes through the part, centred along its length."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["holes"]
    face: FaceName
    reference: FaceName = Field(alias="from")
    offset: Expr
    diameter: Expr
    count: Expr
    pitch: Expr


class NotchEntry(Strict):
    """An opening cut in from an edge, centred along the length."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["notch"]
    face: FaceName
    reference: FaceName = Field(alias="from")
    width: Expr
    height: Expr


FeatureEntry = Annotated[
    GrooveEntry | BevelEntry | HolesEntry | NotchEntry, Field(discriminator="kind")
]


class PartEntry(Strict):
    """A finished piece."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    title: Words
    material: Id
    length: Expr = Field(description="Along the grain.")
    width: Expr
    thickness: Expr | None = Field(None, description="As the material, where nothing is said.")
    runs: tuple[AxisName, AxisName, AxisName] = Field(
        description="Along which axis length, width and thickness lie."
    )
    at: AtEntry | list[AtEntry] = Field(description="One place for each piece of the unit.")
    hands: HandsEntry | None = None
    features: dict[Id, FeatureEntry] = {}
    why: str = ""


class GrooveJointEntry(Strict):
    """A member whose edges sit in channels."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["groove"]
    member: Id
    into: Id
    face: FaceName = Field(description="Face of ``into`` that is grooved.")
    reference: FaceName = Field(alias="from")
    offset: Expr
    depth: Expr
    clear: Expr = Field(description="Clear distance between the grooved faces.")
    ends: Literal["1", "2"] = Field(
        "2", description="How many edges of the member sit in channels."
    )
    play: Expr = Field(
        description="How much shorter the member is than the channels allow, in all."
    )
    ease: Expr = Field(description="How much wider the channel is than the member is thick.")
    stop_start: Expr = "0 in"
    stop_end: Expr = "0 in"
    glue: Id | None = None


class ButtJointEntry(Strict):
    """A member whose ends or faces meet another part."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["butt"]
    member: Id
    into: Id
    clear: Expr = Field(description="Length of the member across the joint.")
    ends: Literal["1", "2"] = "2"
    glue: Id | None = None


JointEntry = Annotated[GrooveJointEntry | ButtJointEntry, Field(discriminator="kind")]


class FitEntry(Strict):
    """A number that must lie in a range for the thing to work."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    text: Words = Field(description="What it is for, in the person's words.")
    level: Literal["must", "should"]
    value: Expr
    least: Expr | None = None
    most: Expr | None = None
    source: Words = Field(description="Published source, or 'common practice, no source'.")


class FastenerEntry(Strict):
    """Fasteners for one unit."""

    kind: Literal["brad", "staple", "screw"]
    title: Words = Field(description="As on the box.")
    count: Expr
    pilot: Expr | None = None
    clearance: Expr | None = None


class CheckEntry(Strict):
    """What must be true before the step is done."""

    text: Words
    value: Expr | None = Field(None, description="Asks for a number; what the plan expects.")
    tolerance: Expr = Field("0 in", description="Largest deviation that passes.")


class AfterEntry(Strict):
    """A wait: this step not before the glue or paint of that one allows."""

    step: StepId
    wait: Literal["clamp", "cure", "touch", "recoat", "dry_through"]


class TakesEntry(Strict):
    """A thing of the shop that stays in use until another step begins."""

    resource: Literal["clamps", "drying_places"]
    amount: int = Field(ge=1, le=100)
    until: StepId


class StepEntry(Strict):
    """What the person sees and ticks."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    title: Words = Field(description="Short headline with a verb.")
    text: Words = Field(description="The full sentence; {size} is put in from the plan.")
    why: str = ""
    scope: Literal["unit", "batch"] = "unit"
    minutes: Annotated[float, Field(gt=0, le=600)] = Field(description="Hands-on estimate.")
    tool: Id = "hand"
    parts: list[Id] = Field([], description="Parts in hand; they must be cut before.")
    numbers: dict[Words, Expr] = {}
    checks: dict[Id, CheckEntry] = {}
    fasteners: list[FastenerEntry] = []
    glue: Id | None = Field(None, description="Glue that is spread or closed here.")
    role: Literal["spread", "close"] | None = None
    closes: StepId | None = Field(None, description="The spread step that a close step ends.")
    paint: Id | None = None
    timer: str = Field("", max_length=30, description="Name of its timers: 'frame glue'.")
    needs: list[StepId] | None = Field(None, description="The step above, where nothing is said.")
    needs_also: list[StepId] = Field([], description="Further steps that come before.")
    at_once: bool = Field(False, description="Follows the step above without a gap.")
    after: list[AfterEntry] = []
    takes: list[TakesEntry] = []


class SupplyEntry(Strict):
    """A glue or a paint."""

    title: Words
    row: Id = Field(description="Row of the table of glues or paints.")


class MetaEntry(Strict):
    """How the build likes to be shown."""

    display: Literal["in", "mm"] = "in"
    left_is: Words = "left as you stand behind it, looking the way it faces"


class BuildEntry(Strict):
    """A design that can be made at any size its rules allow."""

    schema_number: Literal["1"] = Field(alias="schema")
    id: Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9-]*$", max_length=60)]
    revision: int = Field(ge=1)
    parent: str | None = Field(None, description="Id of a build that this one changes.")
    title: Words
    summary: Words
    show: MetaEntry = MetaEntry()
    measurements: dict[Id, MeasurementEntry]
    choices: dict[Id, ChoiceEntry] = {}
    sizes: dict[Id, Expr] = {}
    materials: dict[Id, MaterialEntry]
    glues: dict[Id, SupplyEntry] = {}
    paints: dict[Id, SupplyEntry] = {}
    parts: dict[Id, PartEntry]
    joints: dict[Id, JointEntry] = {}
    fits: dict[Id, FitEntry] = {}
    sundries: list[Words] = Field([], description="What has to be at hand besides wood.")
    steps: dict[StepId, StepEntry]
