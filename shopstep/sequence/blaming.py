"""Which resource is to blame where no order of the blocks was found. Imports this room."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from shopstep.model.plan import Finding, Level, Where
from shopstep.sequence.blocks import Block
from shopstep.sequence.supplies import Resource
from shopstep.sequence.taking import find_safe_order


def never_enough(blocks: tuple[Block, ...], have: Mapping[Resource, int], display: str) -> Finding:
    """A STOP that names what runs out; with plenty of all that it names there is an order."""
    plenty = sum(abs(amount) for block in blocks for _, amount in block.takes)

    def is_possible(loose: Collection[Resource]) -> bool:
        """Whether there is an order where there is plenty of these."""
        capacity = tuple(plenty if r in loose else count for r, count in have.items())
        return find_safe_order(blocks, capacity) is not None

    short = [r for r in have if not is_possible([other for other in have if other != r])]
    while not is_possible(short):
        conflict = [r for r in have if r not in short]
        for resource in list(conflict):
            rest = [r for r in conflict if r != resource]
            if not is_possible([r for r in have if r not in rest]):
                conflict = rest
        short += conflict
    words = " and ".join(f"{have[r]} {r.words(display)}" for r in have if r in short)
    text = f"No order of the steps was found in which {words} are enough."
    remedy = "Get more, or let each be given back earlier."
    first = next(r for r in have if r in short)
    return Finding(Level.STOP, "resource_deadlock", text, Where(name=first.name), remedy)
