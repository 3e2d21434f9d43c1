"""What the bench tells the plan: sizes read off the work, and pieces that follow them."""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.part import Part
from shopstep.units import Length

CUT_MISFIT = "cut_misfit"
"""Rule of the findings about cut parts that do not fit any more."""

DONE_OTHERWISE = "done_otherwise"
"""Rule of the findings about other work that is done and would be done otherwise today."""

PUT_RIGHT = "putright"
"""Stage of the steps that put such parts right."""


@dataclass(frozen=True, slots=True)
class BenchReading:
    """A number that was read at a step and became a size."""

    name: str
    """Of the size: ``way``, ``panel_thickness``, ``tray.width``, ``panel_in_sides.channel``."""
    value: Length
    unit: int | None
    """The unit that it was read off; None: it holds for the whole batch."""
    step: str
    """The step at which it was read."""


@dataclass(frozen=True, slots=True)
class Apart:
    """A part of one unit that is made apart from the batch, because it was measured for it."""

    unit: int
    part: Part
    """At the sizes of this unit."""
