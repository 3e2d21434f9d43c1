"""How few evenings any plan needs: no order of the steps can do with fewer.

Imports ``shopstep.model`` and this room.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopstep.sequence.blocks import Block


def packing_bound(lengths: Sequence[int], room: int) -> int:
    """Least number of rooms of one size for things that are not parted.

    Bound L2 of Martello and Toth, *Knapsack Problems* (1990), section 8.3.3, from memory: things
    over half a room stand alone, and what is long but does not fit beside them needs rooms too.
    """
    least = -(-sum(lengths) // room)
    for small in {0, *(length for length in lengths if 2 * length <= room)}:
        alone = [length for length in lengths if length > room - small]
        half = [length for length in lengths if room < 2 * length <= 2 * (room - small)]
        rest = sum(length for length in lengths if small <= length and 2 * length <= room)
        spare = len(half) * room - sum(half)
        over = max(0, -(-(rest - spare) // room))
        least = max(least, len(alone) + len(half) + over)
    return least


def least_evenings(blocks: Sequence[Block], longest_s: int) -> int:
    """The larger of two bounds: all work put into openings, and the longest chain of waits.

    ``longest_s``: the longest opening there is.
    """
    labour = packing_bound([block.span_s for block in blocks], longest_s)
    return max(labour, chain_bound(blocks, longest_s))


def chain_bound(blocks: Sequence[Block], longest_s: int) -> int:
    """How many openings a chain of steps and waits takes where no hand is ever lacking.

    By block the earliest place as (opening, seconds into it): a wait that does not end inside an
    opening leads to another one. Blocks stand after those that they need.
    """
    places: list[tuple[int, int]] = []
    for block in blocks:
        place = (1, 0)
        for earlier, lag in block.lags:
            opening, into_s = places[earlier]
            ends_s = into_s + lag + block.span_s
            reached = (opening, into_s + lag) if ends_s <= longest_s else (opening + 1, 0)
            place = max(place, reached)
        places.append(place)
    return max((opening for opening, _ in places), default=0)
