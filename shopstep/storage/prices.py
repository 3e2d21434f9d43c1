"""Prices as a settings file says them. Imports the price and lengths."""

from __future__ import annotations

from collections.abc import Mapping

from shopstep.model.price import Price, parse_price
from shopstep.units import Length, UnitError
from shopstep.words import say

CURRENCY = "currency"
_FOOT = Length.inches(12)


def read_prices(told: Mapping[str, str]) -> tuple[tuple[str, int, str], ...]:
    """Words of the buy list, each with a price in hundredths and the currency's sign.

    What is sold by length has the price of a foot. ValueError says which one is no price.
    """
    sign = _sign(told)
    found = ((words.strip(), _read(words, text)) for words, text in _items(told))
    return tuple((words, price.of(_FOOT).hundredths, price.currency or sign)
                 for words, price in found)  # fmt: skip


def priced_texts(told: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """The same as written, each with the common sign where it has none of its own."""
    sign = _sign(told)
    return tuple(
        (words, text if not sign or _read(words, text).currency else _with_sign(text, sign))
        for words, text in _items(told)
    )


def _items(told: Mapping[str, str]) -> list[tuple[str, str]]:
    return [(words, text) for words, text in told.items() if words != CURRENCY]


def _sign(told: Mapping[str, str]) -> str:
    sign = told.get(CURRENCY, "").strip()
    if sign and (len(sign) > 3 or (len(sign) > 1 and not sign.isalpha())):
        raise ValueError(
            say("'{sign}' is no sign of a currency; write for example € or GBP", sign=sign)
        )
    return sign


def _read(words: str, text: str) -> Price:
    try:
        price = parse_price(text)
    except UnitError:
        price = None
    if price is None or not words.strip():
        said = say(
            "'{text}' is no price of '{words}'; write for example 14.20, or 2.40/ft",
            text=text,
            words=words,
        )
        raise ValueError(said)
    return price


def _with_sign(text: str, sign: str) -> str:
    number, slash, per = text.partition("/")
    return f"{number.strip()} {sign}{slash}{per}"
