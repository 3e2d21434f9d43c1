"""The shopping list, as a shop assistant could read it. Imports ``shopstep.model``."""

from __future__ import annotations

from shopstep.model.material import Form, Material
from shopstep.model.stock import BuyLine, StockPiece
from shopstep.units import Length

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
    """The line for what has to be bought of one material; empty if the rack has it all."""
    bought = [piece for piece in laid if not piece.from_rack]
    if not bought:
        return []
    if material.form is Form.ROLL:
        return [_roll_line(material, bought[0].length, display)]
    count = len(bought)
    text = f"{count} × {material.title}, {material.sold_as}"
    return [BuyLine(material.title, count, material.form.value, text)]


def _roll_line(material: Material, length: Length, display: str) -> BuyLine:
    if display == "mm":
        tenths = length.nm // _TENTH_METRE.nm
        shown = f"{tenths // 10}.{tenths % 10}".removesuffix(".0")
        return BuyLine(material.title, tenths * 10, "cm", f"{shown} m of {_name(material)}")
    feet = length.nm // _FOOT.nm
    return BuyLine(material.title, feet, "ft", f"{feet} ft of {_name(material)}")


def _name(material: Material) -> str:
    return f"{material.title}, {material.sold_as}"
