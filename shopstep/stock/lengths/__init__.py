"""Pieces of one dimension from bars of one length: the fewest bars, and how few are possible.

Knows nothing of boards or parts: whole numbers in, bars out. Its door is
``solving.pack_lengths``. Imports nothing of the project.
"""

from shopstep.stock.lengths.problem import BadLengths, Lengths, Packing
from shopstep.stock.lengths.solving import pack_lengths, pack_with

__all__ = ["BadLengths", "Lengths", "Packing", "pack_lengths", "pack_with"]
