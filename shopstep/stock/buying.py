"""The shopping list, as a shop assistant could read it. Imports ``shopstep.model``."""

from __future__ import annotations

from collections import Counter

from shopstep.model.material import Form, Material
from shopstep.model.price import Price
from shopstep.model.stock import BuyLine, StockPiece
from shopstep.units import Length, format_length
from shopstep.words import say

_FOOT = Length.inches(12)
_TENTH_METRE = Length.mm(100)


def roll_to_buy(used: Length, material: Material, display: str) -> Length:
    """The length to ask for: whole feet (or tenths of a metre), not below the least sold."""
    step = _TENTH_METRE if display == "mm" else _FOOT
    wanted = max(used, material.sold_length)
    return step.times(-(-wanted.nm // step.nm))


def lengths_sold(least: Length, most: Length, material: Material, display: str) -> list[Length]:
    """All lengths of a roll that can be asked for, from one to another, both of which are sold."""
    step = _TENTH_METRE if display == "mm" else _FOOT
    found = [least]
    while found[-1] < most:
        found.append(roll_to_buy(found[-1] + step, material, display))
    return found


def buy_line(material: Material, laid: list[StockPiece], display: str) -> list[BuyLine]:
    """A line for each length that has to be bought of one material; empty if the rack has it all.

    With its price, where that is known.
    """
    bought = Counter(piece.length for piece in laid if not piece.from_rack)
    prices = dict(zip(material.lengths, material.prices, strict=False))
    if material.form is Form.ROLL:
        price = prices.get(material.sold_length)
        return [_roll_line(material, length, price, display) for length in bought]
    return [
        _pieces_line(material, length, count, prices.get(length), display)
        for length, count in sorted(bought.items(), reverse=True)
    ]


def sold_length_words(length: Length, display: str) -> str:
    """``8 ft`` or ``2.4 m``, where it is whole ones (tenths); else in inches or millimetres."""
    if display == "mm" and length.nm % _TENTH_METRE.nm == 0:
        return f"{_metres(length)} m"
    if display != "mm" and length.nm % _FOOT.nm == 0:
        return say("{nm} ft", nm=length.nm // _FOOT.nm)
    return format_length(length, display)


def _pieces_line(
    material: Material, length: Length, count: int, price: Price | None, display: str
) -> BuyLine:
    text = f"{count} × {_name(material)}"
    if material.other_lengths:
        text += f", {sold_length_words(length, display)}"
    if price is None:
        return BuyLine(material.title, count, material.form.value, text)
    cost, one = price.of(length, count), price.of(length)
    text += (
        f": {one.words}"
        if count == 1
        else say(
            ": {count} at {words}, {words_2}", count=count, words=one.words, words_2=cost.words
        )
    )
    return BuyLine(material.title, count, material.form.value, text, price, cost)


def _roll_line(material: Material, length: Length, price: Price | None, display: str) -> BuyLine:
    cost = price.of(length) if price else None
    told = f": {cost.words}" if cost else ""
    if display == "mm":
        tenths = length.nm // _TENTH_METRE.nm
        text = say(
            "{metres} m of {material}{told}",
            metres=_metres(length),
            material=_name(material),
            told=told,
        )
        return BuyLine(material.title, tenths * 10, "cm", text, price, cost)
    feet = length.nm // _FOOT.nm
    text = say("{feet} ft of {material}{told}", feet=feet, material=_name(material), told=told)
    return BuyLine(material.title, feet, "ft", text, price, cost)


def _metres(length: Length) -> str:
    tenths = length.nm // _TENTH_METRE.nm
    return f"{tenths // 10}.{tenths % 10}".removesuffix(".0")


def _name(material: Material) -> str:
    return f"{material.title}, {material.sold_as}"
