"""Spare blanks, cut from what is left over of pieces that are cut anyway; none is bought.

What would be waste is taken first: room in what is ripped already; then the end of a board. A board
that nothing else is cut from stays whole. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from shopstep.model.operation import Blank
from shopstep.model.plan import Finding, Level, Where
from shopstep.stock.items import Item
from shopstep.stock.pieces import OpenPiece
from shopstep.words import say


def lay_spares(pieces: Iterable[OpenPiece], spares: Iterable[Item]) -> None:
    """Lay each spare blank where there is room; those for which there is none are left out."""
    there = tuple(pieces)
    for item in spares:
        regions = (region for piece in there for region in piece.regions)
        if not any(region.place(item) for region in regions):
            any(piece.place(item) for piece in there)


def tell_missing(wanted: Iterable[Blank], laid: Counter[str]) -> list[Finding]:
    """A note on the spare blanks for which nothing is left over. ``laid``: how many by part."""
    asked = Counter[str]()
    for blank in wanted:
        asked[blank.part] += blank.count
    missing = asked - laid
    if not missing:
        return []
    named = ", ".join(
        f"{part.replace('_', ' ')}{f' ({count})' if count > 1 else ''}"
        for part, count in sorted(missing.items())
    )
    return [
        Finding(
            Level.NOTE,
            "no_spare",
            say(
                "nothing is left over for a spare blank of: {named}; none is bought for it",
                named=named,
            ),
            Where(name=sorted(missing)[0]),
            say("make the trial cut in any scrap as thick and as wide"),
        )
    ]
