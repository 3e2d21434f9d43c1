"""Exact lengths, angles and durations, and how people write them.

This room stands at the bottom: it imports nothing of the project and nothing heavy.
A length is a whole number of nanometres, so 1 in = 25 400 000 nm and 1/64 in = 396 875 nm
are exact, and so are sums of lengths. Rounding happens only where a length is shown.

Source of "1 in = 25.4 mm exactly": NIST SP 811, appendix B.8.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from shopstep.words import PLAIN, as_here, manner, say, say_count

NM_PER_IN = 25_400_000
NM_PER_MM = 1_000_000
NM_PER_64TH = 396_875
LONGEST_NM = 100 * 1_000 * NM_PER_MM
"""100 m: anything longer is a slip of the finger, not a small wooden thing."""

_UNIT_NM = {
    "in": NM_PER_IN,
    "inch": NM_PER_IN,
    "inches": NM_PER_IN,
    '"': NM_PER_IN,
    "ft": 12 * NM_PER_IN,
    "foot": 12 * NM_PER_IN,
    "feet": 12 * NM_PER_IN,
    "'": 12 * NM_PER_IN,
    "mm": NM_PER_MM,
    "cm": 10 * NM_PER_MM,
    "m": 1_000 * NM_PER_MM,
}
LENGTH_UNITS = ("in", "ft", "mm", "cm", "m")

_NUMBER = r"(?:\d+\s+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?|\.\d+)"
_ONE = re.compile(
    rf"\s*({_NUMBER})\s*((?:inches|inch|in|feet|foot|ft|mm|cm|m)(?![A-Za-z])|\"|')\s*"
)
_BARE = re.compile(rf"\s*[-+]?\s*{_NUMBER}\s*")


class UnitError(ValueError):
    """What was typed is no length, angle or duration; the message is a plain sentence."""


def round_half_away(value: Fraction) -> int:
    """The nearest whole number; a half goes away from zero, as people round."""
    if value >= 0:
        return math.floor(value + Fraction(1, 2))
    return -math.floor(-value + Fraction(1, 2))


@dataclass(frozen=True, slots=True, order=True)
class Length:
    """A length in whole nanometres; may be negative (a position, a difference)."""

    nm: int

    @classmethod
    def inches(cls, value: int | Fraction | str) -> Length:
        """A length from inches, for example ``Length.inches("3/8")``; rounded to 1 nm."""
        return cls(round_half_away(Fraction(value) * NM_PER_IN))

    @classmethod
    def mm(cls, value: int | Fraction | str) -> Length:
        """A length from millimetres, for example ``Length.mm("412.8")``; rounded to 1 nm."""
        return cls(round_half_away(Fraction(value) * NM_PER_MM))

    def __add__(self, other: Length) -> Length:
        return Length(self.nm + other.nm)

    def __sub__(self, other: Length) -> Length:
        return Length(self.nm - other.nm)

    def __neg__(self) -> Length:
        return Length(-self.nm)

    def __abs__(self) -> Length:
        return Length(abs(self.nm))

    def __bool__(self) -> bool:
        return self.nm != 0

    def times(self, factor: int | Fraction) -> Length:
        """This length times a number, rounded to 1 nm."""
        return Length(round_half_away(self.nm * Fraction(factor)))

    def over(self, divisor: int | Fraction) -> Length:
        """This length divided by a number, rounded to 1 nm; ZeroDivisionError at 0."""
        return Length(round_half_away(self.nm / Fraction(divisor)))

    def ratio(self, other: Length) -> Fraction:
        """How many times the other length goes into this one, exactly."""
        return Fraction(self.nm, other.nm)

    @property
    def in_mm(self) -> float:
        """Millimetres as a float, for drawing and solids only."""
        return self.nm / NM_PER_MM

    @property
    def in_inches(self) -> float:
        """Inches as a float, for tables that are kept in inches only."""
        return self.nm / NM_PER_IN


ZERO = Length(0)
SIXTY_FOURTH = Length(NM_PER_64TH)


@dataclass(frozen=True, slots=True, order=True)
class Angle:
    """An angle in whole microdegrees."""

    microdeg: int

    @classmethod
    def degrees(cls, value: int | Fraction | str) -> Angle:
        """An angle from degrees, rounded to one microdegree."""
        return cls(round_half_away(Fraction(value) * 1_000_000))

    @classmethod
    def from_rise(cls, rise: Length, run: Length) -> Angle:
        """The angle whose tangent is rise over run (both as on a bevel's two faces)."""
        return cls(round(math.degrees(math.atan2(rise.nm, run.nm)) * 1_000_000))

    def tangent(self) -> Fraction:
        """The tangent, as the exact value of the nearest double; UnitError at 90°."""
        if abs(self.microdeg) % 180_000_000 == 90_000_000:
            raise UnitError(say("90 degrees has no tangent"))
        return Fraction(math.tan(math.radians(self.microdeg / 1_000_000)))


@dataclass(frozen=True, slots=True, order=True)
class Duration:
    """A span of time in whole seconds."""

    s: int


def _number(text: str) -> Fraction:
    whole, _, rest = text.strip().partition(" ")
    try:
        if rest.strip():
            return Fraction(whole) + Fraction(rest.strip())
        return Fraction(whole)
    except ZeroDivisionError:
        raise UnitError(say("'{text}' divides by zero", text=text.strip())) from None


def _plain(text: str) -> str:
    """The text with typographic fractions, primes and spaces put into plain characters."""
    out: list[str] = []
    for ch in text:
        if unicodedata.category(ch) == "No":
            out.append(f" {Fraction(unicodedata.numeric(ch)).limit_denominator(64)}")
        else:
            out.append({"″": '"', "”": '"', "′": "'", "’": "'", "⁄": "/", "−": "-"}.get(ch, ch))
    plain = "".join(out)
    plain = re.sub(r"(?<=\d)-(?=\d+/\d)", " ", plain)
    return " ".join(plain.split())


def parse_length(text: str) -> Length:
    """The length that a person typed: "14 3/8 in", "3/4in", "6 ft 2 in", "412.8 mm", '5½"'.

    Raises UnitError with a sentence that says what would be right.
    """
    if len(text) > 80:
        raise UnitError(say("that is too long to be one length; write for example 14 3/8 in"))
    plain = _plain(text)
    sign = 1
    body = plain
    if body[:1] in ("+", "-"):
        sign = -1 if body[0] == "-" else 1
        body = body[1:]
    total = Fraction(0)
    position = 0
    last_unit = LONGEST_NM
    while position < len(body):
        match = _ONE.match(body, position)
        unit = _UNIT_NM[match.group(2)] if match else 0
        if match is None or unit >= last_unit:
            raise UnitError(_why_no_length(text, plain))
        _check_fraction(text, match.group(1))
        total += _number(match.group(1)) * unit
        last_unit = unit
        position = match.end()
    if position == 0:
        raise UnitError(_why_no_length(text, plain))
    if total > LONGEST_NM:
        raise UnitError(say("'{text}' is longer than 100 m; check the unit", text=text))
    return Length(sign * round_half_away(total))


def _check_fraction(text: str, number: str) -> None:
    """A fraction as on a rule: halves down to 128ths, and less than one whole beside inches."""
    if "/" in number:
        from shopstep.typed import why_no_fraction

        wrong = why_no_fraction(text, number)
        if wrong:
            raise UnitError(wrong)


def _why_no_length(text: str, plain: str) -> str:
    from shopstep.typed import why_no_length

    return why_no_length(text, plain, _BARE.fullmatch(plain) is not None)


def read_typed(text: str) -> str:
    """A person's own typing with a point before its decimals; UnitError where that is in doubt."""
    if manner().point == PLAIN.point:
        return text
    from shopstep.typed import read_decimals

    try:
        return read_decimals(text)
    except ValueError as doubt:
        raise UnitError(str(doubt)) from None


def parse_angle(text: str) -> Angle:
    """The angle in "15 deg", "22.5 degrees" or "45°"; UnitError otherwise."""
    match = re.fullmatch(rf"\s*([-+]?)\s*({_NUMBER})\s*(deg|degree|degrees|°)\s*", _plain(text))
    if match is None:
        raise UnitError(say("'{text}' is no angle; write for example 15 deg", text=text))
    value = _number(match.group(2))
    if value > 360:
        raise UnitError(say("'{text}' is more than a full turn", text=text))
    return Angle.degrees(-value if match.group(1) == "-" else value)


_SPAN_S = {"s": 1, "sec": 1, "min": 60, "h": 3600, "hour": 3600, "d": 86400, "day": 86400}
_SPAN_S |= {"hours": 3600, "days": 86400, "minutes": 60, "seconds": 1, "week": 604800}
_SPAN_S |= {"weeks": 604800, "minute": 60, "second": 1}
_SPAN = re.compile(r"\s*(\d+(?:\.\d+)?)\s*([a-z]+)\s*")


def parse_duration(text: str) -> Duration:
    """The span in "30 min", "24 h", "1 h 30 min", "7 days"; UnitError otherwise."""
    total = Fraction(0)
    position = 0
    body = text.strip().lower()
    while position < len(body):
        match = _SPAN.match(body, position)
        if match is None or match.group(2) not in _SPAN_S:
            raise UnitError(
                say("'{text}' is no time span; write for example 30 min or 24 h", text=text)
            )
        total += Fraction(match.group(1)) * _SPAN_S[match.group(2)]
        position = match.end()
    if position == 0:
        raise UnitError(say("a time span is missing; write for example 30 min or 24 h"))
    if total > 366 * 86400:
        raise UnitError(say("'{text}' is longer than a year", text=text))
    return Duration(round_half_away(total))


def inch_fraction(length: Length, finest: int = 64) -> tuple[str, int, int, int]:
    """Sign, whole inches, numerator and denominator of a length, rounded with carry.

    ``finest`` is the finest mark as a denominator (64, 32, 16…).
    """
    marks = round_half_away(Fraction(length.nm * finest, NM_PER_IN))
    sign = "-" if marks < 0 else ""
    whole, rest = divmod(abs(marks), finest)
    shown = Fraction(rest, finest)
    return sign, whole, shown.numerator if rest else 0, shown.denominator


def format_inches(length: Length, finest: int = 64) -> str:
    """Inches as on a rule: "14 3/8 in", "3/4 in", "2 in", "0 in"; rounded with carry."""
    sign, whole, numerator, denominator = inch_fraction(length, finest)
    if not numerator:
        return f"{sign}{whole} in"
    lead = f"{whole} " if whole else ""
    return f"{sign}{lead}{numerator}/{denominator} in"


def format_mm(length: Length, decimals: int = 1) -> str:
    """Millimetres with so many decimals, trailing zeros dropped, as the place writes them."""
    return as_here(plain_mm(length, decimals))


def plain_mm(length: Length, decimals: int = 1) -> str:
    """Millimetres as files keep them and the program reads them again: "412.8 mm"."""
    scale = 10**decimals
    units = round_half_away(Fraction(length.nm * scale, NM_PER_MM))
    sign = "-" if units < 0 else ""
    whole, rest = divmod(abs(units), scale)
    tail = f".{rest:0{decimals}d}".rstrip("0").rstrip(".") if decimals else ""
    return f"{sign}{whole}{tail} mm"


def format_length(length: Length, unit: str = "in", finest: int = 64) -> str:
    """A length in the person's unit: ``unit`` is "in" (to 1/``finest``) or "mm" (to 0.1)."""
    return format_mm(length) if unit == "mm" else format_inches(length, finest)


def plain_length(length: Length, unit: str) -> str:
    """``format_length`` as the program reads it again: for ids and for commands."""
    return plain_mm(length) if unit == "mm" else format_inches(length)


def write_exact(length: Length) -> str:
    """A text that ``parse_length`` reads back to the very nanometre, from 0 up to 100 m.

    Inches where the length lies on a 1/64, else millimetres with as many decimals as it takes.
    """
    if length.nm % NM_PER_64TH == 0:
        return format_inches(length)
    return plain_mm(length, decimals=6)


_INCH_MARKS = (2, 4, 8, 16, 32, 64)
_SHADE = Length(NM_PER_64TH // 2)
"""1/128 in: what a shown length may hide without a word. No rule has a finer mark."""


def shown_mark(unit: str, finest: Length | None = None) -> Length:
    """The distance between the marks that a length is shown to.

    ``finest`` where it is a mark of the unit's own rule (1/2 in down to 1/64 in; whole tenths of a
    millimetre), else 1/64 in or 0.1 mm.
    """
    if unit == "mm":
        tenth = NM_PER_MM // 10
        fits = finest is not None and finest.nm > 0 and finest.nm % tenth == 0
        return finest if finest is not None and fits else Length(tenth)
    fits = finest is not None and any(finest.nm * n == NM_PER_IN for n in _INCH_MARKS)
    return finest if finest is not None and fits else SIXTY_FOURTH


def round_to_mark(length: Length, mark: Length) -> Length:
    """The nearest whole number of marks; half a mark goes away from zero."""
    return Length(round_half_away(Fraction(length.nm, mark.nm)) * mark.nm)


def describe_shade(length: Length, unit: str, finest: Length | None = None) -> str:
    """What ``format_mark`` hides, in words: "a shade under", "a shade over"; empty up to 1/128 in.

    "Under" means that the length itself is a little less than what is shown.
    """
    hidden = length - round_to_mark(length, shown_mark(unit, finest))
    if abs(hidden) <= _SHADE:
        return ""
    return say("a shade over") if hidden.nm > 0 else say("a shade under")


def format_mark(length: Length, unit: str, finest: Length | None = None) -> str:
    """A length to the person's finest mark, rounded with carry: "15 3/8 in", "390.5 mm"."""
    return format_length(round_to_mark(length, shown_mark(unit, finest)), unit)


def format_angle(angle: Angle) -> str:
    """Degrees to a tenth, trailing zero dropped: "45°", "22.5°"."""
    tenths = round_half_away(Fraction(angle.microdeg, 100_000))
    sign = "-" if tenths < 0 else ""
    whole, rest = divmod(abs(tenths), 10)
    return as_here(f"{sign}{whole}.{rest}°") if rest else f"{sign}{whole}°"


def format_span(seconds: int) -> str:
    """A span in words for people: "4 min", "1 h 30 min", "2 days 3 h"; at most two units."""
    if seconds < 0:
        return "0 min"
    days, rest = divmod(seconds, 86400)
    hours, rest = divmod(rest, 3600)
    minutes, secs = divmod(rest, 60)
    named = [
        say_count("{n} day", "{n} days", days) if days else "",
        f"{hours} h" if hours else "",
        f"{minutes} min" if minutes else "",
        f"{secs} s" if secs and not (days or hours) else "",
    ]
    kept = [text for text in named if text][:2]
    return " ".join(kept) or "0 min"


def format_clock(seconds: int) -> str:
    """A running countdown: "4:10", "1:02:09", "2 d 03:00"; a minus sign once it is over."""
    sign = "-" if seconds < 0 else ""
    days, rest = divmod(abs(seconds), 86400)
    hours, rest = divmod(rest, 3600)
    minutes, secs = divmod(rest, 60)
    if days:
        return f"{sign}{days} d {hours:02d}:{minutes:02d}"
    if hours:
        return f"{sign}{hours}:{minutes:02d}:{secs:02d}"
    return f"{sign}{minutes}:{secs:02d}"
