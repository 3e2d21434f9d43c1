"""Numbers as people say them: lengths, angles, counts and spans in words.

Imports only ``units``. Speaking engines read "19 1/4 in" wrongly, so numbers become words first.
Number words are made here and not by a library: whole numbers below a million and binary
fractions are all a bench needs, and the libraries for it write "one-fourth", not "one quarter".
"""

from __future__ import annotations

import re

from shopstep.units import (
    Angle,
    Length,
    UnitError,
    format_angle,
    inch_fraction,
    parse_length,
    plain_mm,
)

LARGEST = 999_999
_ONES = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen",
)  # fmt: skip
_TENS = (
    "", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
)  # fmt: skip
_PARTS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second"}
_PARTS |= {64: "sixty-fourth"}


def say_integer(value: int) -> str:
    """A whole number in words, -999 999 to 999 999; ValueError beyond."""
    if abs(value) > LARGEST:
        raise ValueError(f"{value} is beyond {LARGEST}")
    if value < 0:
        return f"minus {say_integer(-value)}"
    if value >= 1000:
        thousands, rest = divmod(value, 1000)
        return f"{say_integer(thousands)} thousand" + (f" {say_integer(rest)}" if rest else "")
    if value >= 100:
        hundreds, rest = divmod(value, 100)
        return f"{_ONES[hundreds]} hundred" + (f" {say_integer(rest)}" if rest else "")
    if value >= 20:
        tens, rest = divmod(value, 10)
        return _TENS[tens] + (f"-{_ONES[rest]}" if rest else "")
    return _ONES[value]


def say_decimal(text: str) -> str:
    """A decimal as printed ("412.8") in words, digit by digit after the point."""
    whole, _, tail = text.lstrip("-").partition(".")
    words = say_integer(int(whole))
    if tail:
        words += " point " + " ".join(_ONES[int(digit)] for digit in tail)
    return f"minus {words}" if text.startswith("-") else words


def say_inches(length: Length, finest: int = 64) -> str:
    """Inches in words, rounded to 1/``finest`` as shown: "twelve and three eighths inches"."""
    sign, whole, numerator, denominator = inch_fraction(length, finest)
    lead = "minus " if sign else ""
    if not numerator:
        return f"{lead}{say_integer(whole)} {'inch' if whole == 1 else 'inches'}"
    if not whole:
        if denominator == 2:
            return f"{lead}half an inch"
        return f"{lead}{say_fraction(numerator, denominator)} of an inch"
    fraction = "a half" if denominator == 2 else say_fraction(numerator, denominator)
    return f"{lead}{say_integer(whole)} and {fraction} inches"


def say_fraction(numerator: int, denominator: int) -> str:
    """Parts of a whole: "three eighths"; empty for parts that no rule has, and for none."""
    if denominator not in _PARTS or numerator < 1:
        return ""
    name = _PARTS[denominator]
    if numerator > 1:
        name = "halves" if denominator == 2 else f"{name}s"
    return f"{say_integer(numerator)} {name}"


def say_mm(length: Length, decimals: int = 1) -> str:
    """Millimetres in words: "four hundred twelve point eight millimetres"."""
    number = plain_mm(length, decimals).removesuffix(" mm")
    return f"{say_decimal(number)} {'millimetre' if number == '1' else 'millimetres'}"


def say_length(length: Length, display: str = "in") -> str:
    """A length in words, in the person's unit: ``in`` or ``mm``."""
    return say_mm(length) if display == "mm" else say_inches(length)


def say_angle(angle: Angle) -> str:
    """An angle in words: "twenty-two point five degrees"."""
    number = format_angle(angle).removesuffix("°").replace(",", ".")
    return f"{say_decimal(number)} {'degree' if number == '1' else 'degrees'}"


def say_value(value: Length | Angle | int, display: str = "in") -> str:
    """A number of a step in words, whatever it measures; a count is a bare number."""
    if isinstance(value, Length):
        return say_length(value, display)
    return say_angle(value) if isinstance(value, Angle) else say_integer(value)


def say_span(seconds: int) -> str:
    """A span in words, at most two units: "four minutes", "one hour thirty minutes"."""
    days, rest = divmod(max(seconds, 0), 86400)
    hours, rest = divmod(rest, 3600)
    minutes, secs = divmod(rest, 60)
    counted = [(days, "day"), (hours, "hour"), (minutes, "minute")]
    if not (days or hours):
        counted.append((secs, "second"))
    said = [f"{say_integer(n)} {noun}{'' if n == 1 else 's'}" for n, noun in counted if n]
    return " ".join(said[:2]) or "no time"


_NO_UNIT = r"(?! (?:a|an|the|this|that|these|each|every|both|all|one|turn|order|place|pairs)\b)"
"""Before these words "in" is no inch after a count: "put 2 in each end"; after a fraction it is."""
_LENGTH = re.compile(
    r"(?<![\w./-])(?P<n>\d+ \d+/\d+|\d+/\d+|\d+\.\d+|\d+(?= ?mm)) ?(?P<u>in|mm)(?![\w/])"
    rf"|(?<![\w./-])(?P<whole>\d+) ?in(?![\w/]){_NO_UNIT}"
)
_ANGLE = re.compile(r"(?<![\w./-])(\d+(?:\.\d+)?)°")


def say_text(text: str) -> str:
    """A sentence with its lengths and angles put into words, the rest left as it is."""
    angled = _ANGLE.sub(lambda match: say_angle(Angle.degrees(match.group(1))), text)
    return _LENGTH.sub(_say_match, angled)


def _say_match(match: re.Match[str]) -> str:
    number, unit = match["n"] or match["whole"], match["u"] or "in"
    try:
        length = parse_length(f"{number} {unit}")
    except UnitError:
        return match.group(0)
    if unit == "in" and "." in number:
        return f"{say_decimal(number)} inches"
    return say_length(length, unit)
