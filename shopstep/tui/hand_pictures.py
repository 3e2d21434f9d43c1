"""Where the other hand goes, in cells: the pixels of ``present`` as blocks.

Imports the pictures, and ``glyphs`` for turning pixels into cells.
"""

from __future__ import annotations

from shopstep.present.hand_pictures import WIDTH, hand_pixels
from shopstep.tui.glyphs import enlarge, to_blocks

__all__ = ["WIDTH", "hand_picture"]


def hand_picture(caution_id: str, scale: int = 1) -> list[str]:
    """The rows of the picture for a caution, all ``WIDTH`` times ``scale`` cells wide, or none."""
    drawn = hand_pixels(caution_id)
    return to_blocks(enlarge(drawn, scale)) if drawn else []
