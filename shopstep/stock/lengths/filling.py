"""Ways to fill bars that are good at once: decreasing orders, and the fullest bar first.

Imports nothing of the project.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from random import Random

from shopstep.stock.lengths.problem import Bars, Lengths

MOST_NODES = 4_000
"""So many part fillings are looked at for one bar before the fullest so far is taken."""


def pieces_of(lengths: Lengths) -> list[int]:
    """Every piece, the longest first."""
    return [s for s, n in zip(lengths.sizes, lengths.demands, strict=True) for _ in range(n)]


def first_fit(pieces: Iterable[int], capacity: int) -> Bars:
    """Each piece onto the first bar that has room for it."""
    bars: Bars = []
    room: list[int] = []
    for piece in pieces:
        place = next((n for n, left in enumerate(room) if left >= piece), len(bars))
        if place == len(bars):
            bars.append([])
            room.append(capacity)
        bars[place].append(piece)
        room[place] -= piece
    return bars


def best_fit(pieces: Iterable[int], capacity: int) -> Bars:
    """Each piece onto the bar that it fills best."""
    bars: Bars = []
    room: list[int] = []
    for piece in pieces:
        fitting = [(left, n) for n, left in enumerate(room) if left >= piece]
        place = min(fitting)[1] if fitting else len(bars)
        if not fitting:
            bars.append([])
            room.append(capacity)
        bars[place].append(piece)
        room[place] -= piece
    return bars


def fullest_first(lengths: Lengths, chance: Random | None = None) -> Bars:
    """Bar after bar as full as can be, each with the longest piece that is left.

    Minimum bin slack after Gupta and Ho (1999; from memory). ``chance``: now and then a bar that is
    not quite the fullest, so that another try gives another way.
    """
    left = list(lengths.demands)
    bars: Bars = []
    while any(left):
        first = next(n for n, count in enumerate(left) if count)
        left[first] -= 1
        room = lengths.capacity - lengths.sizes[first]
        slack = chance.choice((0, 0, 0, 1, 2)) if chance is not None else 0
        chosen = fill_bar(lengths.sizes, left, room, slack)
        for n in chosen:
            left[n] -= 1
        bars.append([lengths.sizes[first], *(lengths.sizes[n] for n in chosen)])
    return bars


def fill_bar(sizes: tuple[int, ...], left: list[int], room: int, slack: int = 0) -> tuple[int, ...]:
    """Places of the pieces that fill the room best, or to within ``slack``."""
    best: tuple[int, tuple[int, ...]] = (-1, ())
    for nodes, (used, chosen) in enumerate(fillings(sizes, left, room)):
        if used > best[0]:
            best = (used, chosen)
        if used >= room - slack or nodes > MOST_NODES:
            break
    return best[1]


def fillings(
    sizes: tuple[int, ...], left: list[int], room: int
) -> Iterator[tuple[int, tuple[int, ...]]]:
    """All ways to fill the room that leave no room for a piece, longest pieces first."""

    def fill(start: int, room_left: int, chosen: list[int]) -> Iterator[tuple[int, ...]]:
        is_full = True
        for n in range(start, len(sizes)):
            if sizes[n] <= room_left and left[n] > chosen.count(n):
                is_full = False
                chosen.append(n)
                yield from fill(n, room_left - sizes[n], chosen)
                chosen.pop()
        if is_full:
            yield tuple(chosen)

    for way in fill(0, room, []):
        yield sum(sizes[n] for n in way), way
