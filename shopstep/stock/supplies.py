"""Shopping-list lines for what is not wood: fasteners, glue, paint. Imports ``model`` only."""

from __future__ import annotations

from collections import Counter

from shopstep.model.step import Outline, Scope
from shopstep.model.stock import BuyLine
from shopstep.words import say

SPARE = 10
"""One spare fastener for every ten; common practice, no source."""


def supply_lines(
    outline: Outline, units: int, sundries: tuple[str, ...] = ()
) -> tuple[BuyLine, ...]:
    """Fasteners for the batch with a tenth to spare, glue and paint, and what else is at hand."""
    at_hand = [BuyLine(item, 1, "at hand", say("at hand: {item}", item=item)) for item in sundries]
    return (*_fastener_lines(outline, units), *_liquid_lines(outline), *at_hand)


def noted_lines(to_get: tuple[str, ...]) -> tuple[BuyLine, ...]:
    """What the keeper noted at the bench as to be bought."""
    return tuple(
        BuyLine(item, 1, "noted", say("from your notes: {item}", item=item)) for item in to_get
    )


def _fastener_lines(outline: Outline, units: int) -> list[BuyLine]:
    needed: Counter[str] = Counter()
    some = dict(outline.units)
    for kind in outline.kinds:
        own = len(some[kind.id]) if kind.id in some else units
        times = own if kind.scope is Scope.UNIT else 1
        for fastener in kind.fasteners:
            needed[fastener.title] += fastener.count * times
    lines = []
    for title, count in needed.items():
        quantity = count + -(-count // SPARE)
        text = say(
            "{quantity} × {title} ({count} needed, the rest spare)",
            quantity=quantity,
            title=title,
            count=count,
        )
        lines.append(BuyLine(title, quantity, "pieces", text))
    return lines


def _liquid_lines(outline: Outline) -> list[BuyLine]:
    glues = {kind.glue for kind in outline.kinds if kind.glue}
    paints = {paint for _, paint in outline.painted}
    lines = [
        BuyLine(
            supply.title,
            1,
            "bottle",
            say("{supply_title}, 1 bottle if yours is low or old", supply_title=supply.title),
        )
        for supply in outline.glues
        if supply.id in glues
    ]
    lines = list(dict.fromkeys(lines))
    lines += [
        BuyLine(
            supply.title,
            1,
            "can",
            say("{supply_title}, 1 can if yours is low", supply_title=supply.title),
        )
        for supply in outline.paints
        if supply.id in paints
    ]
    return list(dict.fromkeys(lines))
