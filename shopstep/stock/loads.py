"""Loads: how many of each size a piece of stock can hold, and which loads together do.

Where sizes are few, all loads that no other load outdoes can be listed for every piece of the
rack and for a bought piece. Choosing one for each then proves how little has to be bought. Imports
nothing of the project.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

How = TypeVar("How")
Load = tuple[int, ...]
"""How many of each size, in the order of the sizes; never more than are wanted."""


class TooMuch(Exception):
    """There are more ways than are worth looking at; nothing is proved."""


@dataclass(slots=True)
class Work:
    """How many more ways may be looked at: the same on every machine, unlike time."""

    left: int

    def spend(self, ways: int) -> None:
        """TooMuch where all of it is spent."""
        self.left -= ways
        if self.left < 0:
            raise TooMuch


def add_loads(one: Load, other: Load, wanted: Load) -> Load:
    """Both together, as far as they are wanted."""
    return tuple(
        a + b if a + b < most else most for a, b, most in zip(one, other, wanted, strict=True)
    )


def keep_best(ways: Mapping[Load, How], work: Work) -> dict[Load, How]:
    """Without the loads that another one outdoes."""
    kept: dict[Load, How] = {}
    for load in sorted(ways, reverse=True):
        work.spend(len(kept) + 1)
        if not any(all(a >= b for a, b in zip(best, load, strict=True)) for best in kept):
            kept[load] = ways[load]
    return kept


Chosen = tuple[Load, ...]
"""The load of each piece, in the order of the pieces."""


def load_rack(rack: Sequence[Iterable[Load]], wanted: Load, work: Work) -> dict[Load, Chosen]:
    """What the whole rack can hold at most, and how each piece is loaded for that."""
    nothing: Load = (0,) * len(wanted)
    states: dict[Load, Chosen] = {nothing: ()}
    for loads in rack:
        ways = {load: (*chosen, nothing) for load, chosen in states.items()}
        for load, chosen in states.items():
            for more in loads:
                work.spend(1)
                ways.setdefault(add_loads(load, more, wanted), (*chosen, more))
        states = keep_best(ways, work)
    return states


@dataclass(frozen=True, slots=True)
class Bought:
    """How the rack and what is bought are loaded."""

    loads: Chosen
    """The rack's pieces first, then the bought ones in the order of ``kinds``."""
    kinds: tuple[int, ...]
    """Of each bought piece, which of the kinds on sale it is."""
    cost: int


def cheapest_more(
    states: Mapping[Load, Chosen],
    sold: Sequence[tuple[Iterable[Load], int]],
    wanted: Load,
    most: int,
    work: Work,
) -> Bought | None:
    """How rack and bought pieces are loaded where as little as can be is spent; None where more
    than ``most`` would be. ``sold``: the loads of each kind of piece on sale, and its cost."""
    kinds = [(tuple(loads), cost) for loads, cost in sold]
    fronts = {0: {load: (chosen, _NOTHING_BOUGHT) for load, chosen in states.items()}}
    while fronts:
        spent = min(fronts)
        now = fronts.pop(spent)
        now = keep_best(now, work) if spent else now
        if wanted in now:
            return Bought(*now[wanted], spent)
        for kind, (loads, cost) in enumerate(kinds):
            if spent + cost > most:
                continue
            ways = fronts.setdefault(spent + cost, {})
            for load, (chosen, bought) in now.items():
                for more in loads:
                    work.spend(1)
                    both = add_loads(load, more, wanted)
                    ways.setdefault(both, ((*chosen, more), (*bought, kind)))
    return None


_NOTHING_BOUGHT: tuple[int, ...] = ()
