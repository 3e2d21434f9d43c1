"""Shelves: rows across a roll of cloth, so that as little of its length as can be is used.

Cloth is cut with snips: no kerf, no grain. Imports ``shopstep.model``.
"""

from __future__ import annotations

from itertools import product

from shopstep.model.stock import Cut
from shopstep.stock.items import Item
from shopstep.units import LONGEST_NM, ZERO, Length

_MOST_SIZES = 6
"""Up to so many different sizes, both ways round of each are tried against all others."""


def pack_roll(items: list[Item], width: Length) -> tuple[tuple[Cut, ...], Length]:
    """All items across a roll of that width, and the length that takes; every item must fit."""
    tries = [_pack(turned, width, Length(LONGEST_NM)) for turned in _turnings(items, width)]
    cuts, _, used = min(tries, key=lambda packed: packed[2])
    return cuts, used


def fill_piece(
    items: list[Item], length: Length, width: Length
) -> tuple[tuple[Cut, ...], list[Item]]:
    """As much as fits on a piece of cloth, and what is left over."""
    tries = [_pack(turned, width, length) for turned in _turnings(items, width)]
    cuts, left, _ = min(tries, key=lambda packed: (len(packed[1]), packed[2]))
    return cuts, left


def _turnings(items: list[Item], width: Length) -> list[list[Item]]:
    """The items with each size turned both ways, as far as the width allows."""
    sizes = sorted({(item.length, item.width) for item in items})
    ways = [[False, True] if len(sizes) <= _MOST_SIZES else [False] for _ in sizes]
    out = []
    for choice in product(*ways):
        turn = dict(zip(sizes, choice, strict=True))
        out.append([_turn(item, turn[item.length, item.width], width) for item in items])
    return out


def _turn(item: Item, turn: bool, width: Length) -> Item:
    turned = item.turned() if turn else item
    return turned if turned.width <= width else turned.turned()


def _pack(
    items: list[Item], width: Length, limit: Length
) -> tuple[tuple[Cut, ...], list[Item], Length]:
    """First fit by decreasing length: cuts, what does not fit below the limit, length used."""
    shelves: list[list[Length]] = []
    """For each shelf: where it begins, how long it is, how much of its width is used."""
    cuts: list[Cut] = []
    left: list[Item] = []
    used = ZERO
    for item in sorted(items, key=lambda item: (item.length, item.width), reverse=True):
        shelf = next((s for s in shelves if s[2] + item.width <= width), None)
        if shelf is None and used + item.length <= limit and item.width <= width:
            shelf = [used, item.length, ZERO]
            shelves.append(shelf)
            used += item.length
        if shelf is None:
            left.append(item)
            continue
        cuts.append(Cut(item.part, item.hand, shelf[0], shelf[2], item.length, item.width))
        shelf[2] += item.width
    return tuple(cuts), left, used
