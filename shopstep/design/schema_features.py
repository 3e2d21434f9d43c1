"""What can be cut into a part, as entries of a build file. Imports ``schema_types``."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from shopstep.design.schema_types import Expr, FaceName, Strict


class GrooveEntry(Strict):
    """A channel along the grain."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["groove"] = Field(description="A groove.")
    face: FaceName = Field(description="Face that it is cut into.")
    reference: FaceName = Field(alias="from", description="Face that the offset is measured from.")
    offset: Expr = Field(description="From the reference face to the near wall.")
    width: Expr = Field(description="From wall to wall.")
    depth: Expr = Field(description="From the face to the bottom of the groove.")
    stop_start: Expr = Field("0 in", description="Uncut at the front, left or bottom end.")
    stop_end: Expr = Field("0 in", description="Uncut at the other end.")


class BevelEntry(Strict):
    """An edge taken off flat."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["bevel"] = Field(description="A bevel.")
    face: FaceName = Field(description="Face on which the cut begins.")
    edge: FaceName = Field(description="Face on which the cut ends.")
    back: Expr = Field(description="How far back on the face the cut begins.")
    drop: Expr = Field(description="How far down on the edge it ends.")


class HolesEntry(Strict):
    """A row of holes through the part, centred along its length."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["holes"] = Field(description="A row of holes.")
    face: FaceName = Field(description="Face that they are drilled from.")
    reference: FaceName = Field(alias="from", description="Face that the offset is measured from.")
    offset: Expr = Field(description="From the reference face to the hole centres.")
    diameter: Expr = Field(description="Diameter of each hole.")
    count: Expr = Field(description="How many, a whole number from 1 to 10,000.")
    pitch: Expr = Field(description="From centre to centre.")


class NotchEntry(Strict):
    """An opening cut in from an edge, centred along the length."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["notch"] = Field(description="A notch.")
    face: FaceName = Field(description="Face that shows its outline.")
    reference: FaceName = Field(alias="from", description="Edge that it is cut in from.")
    width: Expr = Field(description="Along the part.")
    height: Expr = Field(description="From the edge into the part.")


class RabbetEntry(Strict):
    """A step along an edge."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["rabbet"] = Field(description="A rabbet.")
    face: FaceName = Field(description="Face that the width is measured across.")
    edge: FaceName = Field(description="Face that the step is open to.")
    width: Expr = Field(description="Across the face, from the edge.")
    depth: Expr = Field(description="Into the face.")
    stop_start: Expr = Field("0 in", description="Uncut at the front, left or bottom end.")
    stop_end: Expr = Field("0 in", description="Uncut at the other end.")


class DadoEntry(Strict):
    """A channel across the grain."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["dado"] = Field(description="A dado.")
    face: FaceName = Field(description="Face that it is cut into.")
    reference: FaceName = Field(alias="from", description="End that the offset is measured from.")
    offset: Expr = Field(description="From that end to the near wall.")
    width: Expr = Field(description="From wall to wall.")
    depth: Expr = Field(description="From the face to the bottom of the channel.")


class FingersEntry(Strict):
    """Equal fingers and slots across an end."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["fingers"] = Field(description="A row of fingers.")
    end: FaceName = Field(description="The end of the part.")
    pitch: Expr = Field(description="Width of one finger, and of one slot.")
    depth: Expr = Field(description="How long the fingers are.")
    starts_with: Literal["finger", "slot"] = Field(description="What stands at that edge.")
    reference: FaceName = Field(alias="from", description="Edge that the row begins at.")


class RecessEntry(Strict):
    """A blind pocket, centred along the length: a hand hold."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["recess"] = Field(description="A recess.")
    face: FaceName = Field(description="Face that it is cut into.")
    reference: FaceName = Field(alias="from", description="Edge that the offset is measured from.")
    offset: Expr = Field(description="From that edge to the near side of the pocket.")
    length: Expr = Field(description="Along the part.")
    height: Expr = Field(description="Across the part.")
    depth: Expr = Field(description="From the face to the bottom of the pocket.")


FeatureEntry = Annotated[
    GrooveEntry
    | BevelEntry
    | HolesEntry
    | NotchEntry
    | RabbetEntry
    | DadoEntry
    | FingersEntry
    | RecessEntry,
    Field(discriminator="kind"),
]
