"""Solids: where the parts stand, as boxes: overall size, and what stands in the same place.

Imports only ``shopstep.model`` and ``shopstep.units``.
"""

from shopstep.solids.boxes import overall_size
from shopstep.solids.overlaps import find_overlaps

__all__ = ["find_overlaps", "overall_size"]
