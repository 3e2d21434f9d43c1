"""What stock costs, as the keeper wrote it, laid beside the materials of a plan.

A name is a material's id or what it is sold as; behind it a length may stand, where several are
sold. Imports ``model`` and what says the nearest name.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from shopstep.design.nearest import did_you_mean
from shopstep.model.material import Form, Material
from shopstep.model.plan import BuildFileError, Where
from shopstep.model.price import Price, Priced, parse_price
from shopstep.units import Length, UnitError, parse_length
from shopstep.words import say

_OPTION, _SETTING = "--price", "prices in the settings"


def with_prices(materials: tuple[Material, ...], told: tuple[Priced, ...]) -> tuple[Material, ...]:
    """The materials, each with the price of each length that it is sold in.

    BuildFileError where a typed name is no material's, a price is none, or currencies differ.
    """
    if not told:
        return materials
    for each in told:
        _check(each, materials)
    found = tuple(_priced(material, told) for material in materials)
    _refuse_mixed(found)
    return found


def _priced(material: Material, told: tuple[Priced, ...]) -> Material:
    prices = tuple(_price_of(material, length, told) for length in material.lengths)
    return replace(material, prices=prices) if any(prices) else material


def _price_of(material: Material, length: Length, told: tuple[Priced, ...]) -> Price | None:
    """Typed before kept, and of each the one for this very length before the one for all."""
    fitting = [
        (not each.typed, ours != length, each)
        for each in told
        for ours in _lengths_meant(each.name, material)
        if ours in (None, length)
    ]
    if not fitting:
        return None
    each = min(fitting, key=lambda found: found[:2])[2]
    price = _read(each)
    if material.form is Form.ROLL and not price.per:
        raise _refuse(
            each,
            say(
                "'{each}' for {material_title}: write it by length, with /ft or /m",
                each=each.text,
                material_title=material.title,
            ),
        )
    if material.form is not Form.ROLL and price.per and not price.of(length).hundredths:
        raise _refuse(
            each,
            say(
                "'{each}' is less than a hundredth for {material_title}",
                each=each.text,
                material_title=material.title,
            ),
        )
    return price


def _lengths_meant(name: str, material: Material) -> Iterator[Length | None]:
    """None where the name is the material's own; the length behind it where one stands there."""
    said = _plain(name)
    for own in (_plain(material.id), _plain(material.sold_as)):
        if said == own:
            yield None
        elif said.startswith(f"{own} "):
            try:
                yield parse_length(said.removeprefix(own).strip(" ,"))
            except UnitError:
                continue


def _plain(name: str) -> str:
    return " ".join(name.lower().replace(",", " ").split())


def _check(each: Priced, materials: tuple[Material, ...]) -> None:
    """A typed name stands for something that is sold; a kept one may be for another build."""
    _read(each)
    meant = [(m, length) for m in materials for length in _lengths_meant(each.name, m)]
    if not each.typed or any(length is None or length in m.lengths for m, length in meant):
        return
    if meant:
        material = meant[0][0]
        raise _refuse(
            each,
            say(
                "'{each_name}': {material_title} is not sold in that length",
                each_name=each.name,
                material_title=material.title,
            ),
        )
    near = did_you_mean(each.name, [material.id for material in materials])
    raise _refuse(
        each, say("'{each_name}' is no material of this plan{near}", each_name=each.name, near=near)
    )


def _refuse_mixed(materials: tuple[Material, ...]) -> None:
    prices = [price for material in materials for price in material.prices if price]
    signs = list(dict.fromkeys(price.currency for price in prices))
    if len(signs) > 1:
        said = say(" and ").join(
            f"in {sign}" if sign else say("without a currency") for sign in signs[:2]
        )
        raise BuildFileError(
            say("prices {said}: give all of them in one", said=said), Where(_OPTION, 0, "")
        )


def _read(each: Priced) -> Price:
    try:
        return parse_price(each.text)
    except UnitError as problem:
        raise _refuse(each, str(problem)) from None


def _refuse(each: Priced, said: str) -> BuildFileError:
    return BuildFileError(said, Where(_OPTION if each.typed else _SETTING, 0, each.name))
