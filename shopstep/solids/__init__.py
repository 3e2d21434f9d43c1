"""Solids: where the parts stand, as boxes: overall size, what stands in the same place, and where
the free hand goes.

Imports only ``shopstep.model`` and ``shopstep.units``.
"""

from shopstep.solids.axes import Stand, axes_of, stands_of
from shopstep.solids.boxes import overall_size
from shopstep.solids.hands import handholds
from shopstep.solids.overlaps import find_overlaps

__all__ = ["Stand", "axes_of", "find_overlaps", "handholds", "overall_size", "stands_of"]
