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


def fewest_more(
    states: Mapping[Load, Chosen], bought: Iterable[Load], wanted: Load, most: int, work: Work
) -> Chosen | None:
    """How rack and bought pieces are loaded where as few as can be are bought; None where more
    than ``most`` would be."""
    now = dict(states)
    loads = tuple(bought)
    for count in range(most + 1):
        if wanted in now:
            return now[wanted]
        if count == most:
            break
        ways: dict[Load, Chosen] = {}
        for load, chosen in now.items():
            for more in loads:
                work.spend(1)
                ways.setdefault(add_loads(load, more, wanted), (*chosen, more))
        now = keep_best(ways, work)
    return None
