"""What a piece or a length of stock costs, in exact hundredths. Imports ``shopstep.units`` only."""

from __future__ import annotations

import re
from dataclasses import dataclass

from shopstep.units import ZERO, Length, UnitError
from shopstep.words import as_here, say, to_say

_PRICE = re.compile(
    r"(?P<before>[^\W\d_]{1,3}|[^\w\s.,/+-])?\s*"
    r"(?P<whole>\d{1,6})(?:[.,](?P<part>\d{1,2}))?\s*"
    r"(?P<after>[^\W\d_]{1,3}|[^\w\s.,/+-])?"
    r"(?:\s*/\s*(?P<per>ft|m))?"
)
PER = {"ft": Length.inches(12), "m": Length.mm(1000)}
"""What a price by length may be for."""
EXAMPLE = to_say("4.80, $4.80, or by length 1.10/ft or 3.60/m")


@dataclass(frozen=True, slots=True)
class Price:
    """What is paid for one piece, or for so much of a length."""

    hundredths: int
    """Cents of the currency; never a fraction of one."""
    before: str = ""
    """The currency as typed before the number (``$``); at most one of the two is there."""
    after: str = ""
    """The currency as typed behind it (``EUR``)."""
    per: Length = ZERO
    """A foot or a metre of length; zero: it is for one piece as sold."""

    @property
    def currency(self) -> str:
        """As typed; empty where none was."""
        return self.before or self.after

    def of(self, length: Length, count: int = 1) -> Price:
        """What so many pieces of that length cost; a half of a hundredth is rounded up."""
        each = self.hundredths
        if self.per:
            each = (2 * each * length.nm + self.per.nm) // (2 * self.per.nm)
        return Price(each * count, self.before, self.after)

    def plus(self, other: Price) -> Price:
        """Both together, of one currency."""
        return Price(self.hundredths + other.hundredths, self.before, self.after)

    @property
    def amount(self) -> str:
        """``4.80``: always two decimals."""
        return as_here(f"{self.hundredths // 100}.{self.hundredths % 100:02}")

    @property
    def words(self) -> str:
        """``$4.80``, ``4.80 EUR``."""
        gap = " " if self.before.isalpha() else ""
        return f"{self.before}{gap}{self.amount}{f' {self.after}' if self.after else ''}"


@dataclass(frozen=True, slots=True)
class Priced:
    """What one kind of stock costs, as written."""

    name: str
    """Id of a material, or what it is sold as; a length behind it where it is for that alone."""
    text: str
    """``4.80``, ``$4.80``, ``1.10/ft``."""
    typed: bool = True
    """True where it was typed for this plan; False where the shop keeps it."""


def parse_price(text: str) -> Price:
    """``4.80``, ``$4.80``, ``4,80 EUR``, ``1.10/ft``; UnitError says what would be right."""
    found = _PRICE.fullmatch(text.strip())
    if found is None or (found["before"] and found["after"]):
        raise UnitError(
            say(
                "'{text}' is no price; write for example {example}", text=text, example=say(EXAMPLE)
            )
        )
    hundredths = int(found["whole"]) * 100 + int((found["part"] or "0").ljust(2, "0"))
    if not hundredths:
        raise UnitError(
            say("'{text}': a price is more than 0; leave out what costs nothing", text=text)
        )
    per = PER[found["per"]] if found["per"] else ZERO
    return Price(hundredths, found["before"] or "", found["after"] or "", per)
