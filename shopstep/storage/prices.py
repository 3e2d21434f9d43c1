"""Prices as a settings file says them. Imports nothing of the project."""

from __future__ import annotations

import re
from collections.abc import Mapping

CURRENCY = "currency"
_PRICE = re.compile(r"(\d{1,6})(?:[.,](\d{1,2}))?")


def read_prices(told: Mapping[str, str]) -> tuple[tuple[str, int, str], ...]:
    """Words of the buy list, each with a price in hundredths and the currency's sign.

    ValueError says which one is no price.
    """
    sign = told.get(CURRENCY, "").strip()
    if len(sign) > 4:
        raise ValueError(f"'{sign}' is no sign of a currency; write for example € or GBP")
    rows = []
    for words, text in told.items():
        if words == CURRENCY:
            continue
        match = _PRICE.fullmatch(text.strip())
        if match is None or not words.strip():
            raise ValueError(f"'{text}' is no price of '{words}'; write for example 14.20")
        cents = int(match[1]) * 100 + int((match[2] or "0").ljust(2, "0"))
        rows.append((words.strip(), cents, sign))
    return tuple(rows)
