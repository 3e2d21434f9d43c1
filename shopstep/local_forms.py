"""Numbers, dates and times of day as a locale writes them, from the CLDR tables that Babel carries.

Loaded only where a locale other than English is chosen. Western digits are kept everywhere: they
stand on every rule and every machine.
"""

from __future__ import annotations

from datetime import date, datetime
from functools import lru_cache

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_skeleton, format_time
from babel.numbers import get_decimal_symbol


@lru_cache(maxsize=8)
def _locale(name: str) -> Locale:
    try:
        return Locale.parse(name.replace("-", "_"))
    except (UnknownLocaleError, ValueError, TypeError):
        raise ValueError(
            f"there is no locale '{name}'; write for example de_DE. Plain forms are used"
        ) from None


def known_locale(name: str) -> str:
    """The locale's own name; ValueError with a sentence where there is none."""
    return str(_locale(name))


def decimal_mark(name: str) -> str:
    """What stands before decimals: a comma, or else a point."""
    mark: str = get_decimal_symbol(_locale(name), numbering_system="latn")
    return mark if mark == "," else "."


def day_form(day: date, name: str, skeleton: str) -> str:
    """A day in the order and with the names of the place: "Mi., 26. Nov. 2025".

    ``skeleton`` names the fields that are wanted, as CLDR does: ``yMMMEd``, ``MMMd``, ``EEEE``.
    """
    if set(skeleton) == {"E"}:
        text: str = format_date(day, skeleton, locale=_locale(name))
    else:
        text = format_skeleton(skeleton, day, locale=_locale(name))
    return _plain_spaces(text)


def time_form(at: datetime, name: str) -> str:
    """A time of day as the place writes it: "18:05", "18.05", "6:05 p.m."."""
    text: str = format_time(at.time(), "short", locale=_locale(name))
    return _plain_spaces(text)


def _plain_spaces(text: str) -> str:
    return text.replace("\u202f", " ").replace("\xa0", " ")
