"""Which resource is to blame where no order of the blocks was found. Imports this room."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from shopstep.model.plan import Finding, Level, Where
from shopstep.sequence.blocks import Block
from shopstep.sequence.supplies import Resource
from shopstep.sequence.taking import find_safe_order
from shopstep.words import say


def never_enough(blocks: tuple[Block, ...], have: Mapping[Resource, int], display: str) -> Finding:
    """A STOP that names what runs out: with plenty of all that it names there is an order.

    It names as little as will do, and what would do as well in the place of something named.
    """
    plenty = sum(abs(amount) for block in blocks for _, amount in block.takes)

    def is_possible(more: Collection[Resource]) -> bool:
        """Whether there is an order where there is plenty of these."""
        capacity = tuple(
            plenty if any(_is_among(m, r) for m in more) else count for r, count in have.items()
        )
        return find_safe_order(blocks, capacity) is not None

    blamed = list(have)
    for resource in sorted(have, key=lambda r: -r.reach.nm):
        rest = [r for r in blamed if r != resource]
        if is_possible(rest):
            blamed = rest
    instead = [
        other
        for one in blamed
        for other in have
        if other.name != one.name and is_possible([r for r in blamed if r != one] + [other])
    ]
    short = [r for r in have if r in blamed or r in instead]
    words = say(" and ").join(f"{have[r]} {r.words(display)}" for r in short)
    text = say("No order of the steps was found in which {words} are enough.", words=words)
    remedy = say("Get more, or let each be given back earlier.")
    return Finding(Level.STOP, "resource_deadlock", text, Where(name=short[0].name), remedy)


def _is_among(more: Resource, resource: Resource) -> bool:
    """Whether more of the one is more of the other: clamps that reach far reach less far too."""
    return more.name == resource.name and more.reach >= resource.reach
