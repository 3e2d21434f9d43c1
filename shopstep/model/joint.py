"""Joints as resolved: which parts meet, how, and with how much play."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.units import Length

GLUE_FACES = {
    "groove": "the bottom of the channel and both of its walls, thin",
    "rabbet": "the bottom and the shoulder of the step, and the end that stands in it",
    "dado": "the bottom of the channel and both of its walls, thin",
    "box": "both sides of every finger of both parts",
    "lap": "both cut faces and their shoulders",
    "bevel": "both slopes; end grain drinks, so twice",
    "butt": "the end or face that meets; end grain drinks, so twice",
}
"""Where glue goes, by kind of joint."""


@dataclass(frozen=True, slots=True)
class Joint:
    """Two or more parts that meet. ``member`` goes into or against each of ``into``."""

    name: str
    kind: str
    """``groove``, ``rabbet``, ``dado``, ``box``, ``lap``, ``bevel`` or ``butt``."""
    member: str
    into: str
    glue: str | None
    """Id of the glue, or None where the joint must stay free."""
    depth: Length
    """Depth of the channel; 0 for a butt joint."""
    play: Length
    """How much shorter the member is than the channels allow, in all; of a butt joint how far apart
    the faces may be."""
    ease: Length
    """How much wider the channel is than the member is thick; 0 for a butt joint."""
    clear: Length
    """Clear distance between the faces that take the member."""
    span: Length
    """Length of the member across the joint: clear + ends × depth − play."""
    ends: int
    """How many ends of the member sit in a channel (groove) or meet a face (butt)."""
    line: int
