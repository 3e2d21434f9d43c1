"""How parts meet, as entries of a build file. Imports ``schema_types``."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from shopstep.design.schema_types import Ends, Expr, FaceName, Id, Strict


class GrooveJointEntry(Strict):
    """A member whose edges sit in channels."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["groove"] = Field(description="A groove joint.")
    member: Id = Field(description="Part whose edges sit in the channels.")
    into: Id = Field(description="Part that is grooved.")
    face: FaceName = Field(description="Face of ``into`` that is grooved.")
    reference: FaceName = Field(alias="from", description="Face that the offset is measured from.")
    offset: Expr = Field(description="From the reference face to the near wall of the channel.")
    depth: Expr = Field(description="Depth of the channel.")
    clear: Expr = Field(description="Clear distance between the grooved faces.")
    ends: Ends = Field("2", description="How many edges of the member sit in channels.")
    play: Expr = Field(
        description="How much shorter the member is than the channels allow, in all."
    )
    ease: Expr = Field(description="How much wider the channel is than the member is thick.")
    stop_start: Expr = Field("0 in", description="Uncut at the front, left or bottom end.")
    stop_end: Expr = Field("0 in", description="Uncut at the other end.")
    glue: Id | None = Field(None, description="Glue of the joint; without it the joint stays free.")


class ButtJointEntry(Strict):
    """A member whose ends or faces meet another part."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["butt"] = Field(description="A butt joint.")
    member: Id = Field(description="Part whose ends or face meet the other.")
    into: Id = Field(description="Part that it meets.")
    clear: Expr = Field(description="Length of the member across the joint.")
    ends: Ends = Field("2", description="How many ends of the member meet a face.")
    play: Expr = Field("0 in", description="How far apart the faces of a free joint may be.")
    glue: Id | None = Field(None, description="Glue of the joint; without it the joint stays free.")


class RabbetJointEntry(Strict):
    """A member whose ends stand in steps cut along the edges of another part."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["rabbet"] = Field(description="A rabbet joint.")
    member: Id = Field(description="Part whose ends stand in steps.")
    into: Id = Field(description="Part that has the steps.")
    face: FaceName = Field(description="Face of ``into`` that takes the member's end.")
    edges: list[FaceName] = Field(min_length=1, max_length=2, description="Edges with a step.")
    depth: Expr = Field(description="Into the face.")
    clear: Expr = Field(description="Clear distance between the faces that take the member.")
    ends: Ends = Field("2", description="How many ends of the member stand in steps.")
    play: Expr = Field(description="How much shorter the member is than the steps allow, in all.")
    ease: Expr = Field(description="How much wider the step is than the member is thick.")
    stop_start: Expr = Field("0 in", description="Uncut at the front, left or bottom end.")
    stop_end: Expr = Field("0 in", description="Uncut at the other end.")
    glue: Id | None = Field(None, description="Glue of the joint; without it the joint stays free.")


class DadoJointEntry(Strict):
    """A member whose ends sit in channels across the grain."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["dado"] = Field(description="A dado joint.")
    member: Id = Field(description="Part whose ends sit in channels.")
    into: Id = Field(description="Part that has the channels.")
    face: FaceName = Field(description="Face of ``into`` that has the channel.")
    reference: FaceName = Field(alias="from", description="End that the offset is measured from.")
    offset: Expr = Field(description="From the reference face to the near wall.")
    depth: Expr = Field(description="From the face to the bottom of the channel.")
    clear: Expr = Field(description="Clear distance between the faces with the channels.")
    ends: Ends = Field("2", description="How many ends of the member sit in channels.")
    play: Expr = Field(description="How much shorter the member is than the channels allow.")
    ease: Expr = Field(description="How much wider the channel is than the member is thick.")
    glue: Id | None = Field(None, description="Glue of the joint; without it the joint stays free.")


class BoxJointEntry(Strict):
    """Fingers of one part between the fingers of another, at both ends of both."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["box"] = Field(description="A box joint.")
    member: Id = Field(description="The part that begins with a slot.")
    into: Id = Field(description="The part that begins with a finger.")
    member_ends: list[FaceName] = Field(
        min_length=1, max_length=2, description="Ends of ``member`` with fingers."
    )
    into_ends: list[FaceName] = Field(
        min_length=1, max_length=2, description="Ends of ``into`` with fingers."
    )
    reference: FaceName = Field(alias="from", description="Edge that the row begins at.")
    pitch: Expr = Field(description="Width of one finger.")
    clear: Expr = Field(description="Clear distance between the inner faces of ``into``.")
    glue: Id | None = Field(None, description="Glue of the joint; without it the joint stays free.")


class LapEnd(Strict):
    """Where one of two lapped parts is cut away."""

    face: FaceName = Field(description="Face that it is cut into.")
    reference: FaceName = Field(alias="from", description="End that the offset is measured from.")
    offset: Expr = Field("0 in", description="From that end to the cut; 0 laps the very end.")


class LapJointEntry(Strict):
    """Two parts that cross or meet, each cut away so that they come out flush."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["lap"] = Field(description="A lap joint.")
    member: Id = Field(description="One of the two parts.")
    into: Id = Field(description="The other one.")
    member_cut: LapEnd = Field(description="Where ``member`` is cut.")
    into_cut: LapEnd = Field(description="Where ``into`` is cut.")
    depth: Expr = Field(
        description="How deep ``member`` is cut; ``into`` is cut as deep as is left of it."
    )
    ease: Expr = Field("0 in", description="How much wider a cut is than the part that lies in it.")
    glue: Id | None = Field(None, description="Glue of the joint; without it the joint stays free.")


class BevelJointEntry(Strict):
    """Two parts that meet on bevelled edges or ends: a mitred corner."""

    when: Expr | None = Field(None, description="Only where this condition holds.")
    kind: Literal["bevel"] = Field(description="A bevel-to-bevel joint.")
    member: Id = Field(description="One of the two parts.")
    into: Id = Field(description="The other one.")
    member_face: FaceName = Field(description="Face of ``member`` on which its cut begins.")
    member_edge: FaceName = Field(description="Edge or end of ``member`` that is cut.")
    into_face: FaceName = Field(description="Face of ``into`` on which its cut begins.")
    into_edge: FaceName = Field(description="Edge or end of ``into`` that is cut.")
    angle: Expr = Field("90 deg", description="Of the corner between the two, inside.")
    glue: Id | None = Field(None, description="Glue of the joint; without it the joint stays free.")


JointEntry = Annotated[
    GrooveJointEntry
    | ButtJointEntry
    | RabbetJointEntry
    | DadoJointEntry
    | BoxJointEntry
    | LapJointEntry
    | BevelJointEntry,
    Field(discriminator="kind"),
]
