"""Numbers, dates and times of day as a locale writes them, from the CLDR tables that Babel carries.

Loaded only where a locale other than English is chosen. Western digits are kept everywhere: they
stand on every rule and every machine.
"""

from __future__ import annotations

from datetime import date, datetime
from functools import lru_cache

from babel import Locale, UnknownLocaleError
from babel.dates import format_skeleton, format_time
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


def day_text(day: date, name: str, skeleton: str = "yMMMEd") -> str:
    """A day in the order and with the names of the place: "Mi., 26. Nov. 2025"."""
    text: str = format_skeleton(skeleton, day, locale=_locale(name))
    return _plain_spaces(text)


def time_text(at: datetime, name: str) -> str:
    """A time of day as the place writes it: "18:05", "6:05 PM"."""
    text: str = format_time(at, "short", locale=_locale(name))
    return _plain_spaces(text)


def moment_text(at: datetime, name: str, skeleton: str) -> str:
    """Day and time in one, each as the place writes it."""
    return f"{day_text(at.date(), name, skeleton)} {time_text(at, name)}"


def _plain_spaces(text: str) -> str:
    return text.replace("\u202f", " ").replace("\xa0", " ")
