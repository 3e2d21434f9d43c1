"""Numbers as they are said: the grammar that hears them, and words to a length.

Imports ``units``. Inches in whole numbers to 99 and fractions to thirty-seconds; millimetres to 999
with one decimal. What is heard is always read back: a fraction is misheard too easily.
"""

from __future__ import annotations

from fractions import Fraction

from shopstep.units import Length

_DIGITS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
_TEENS = [
    "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen",
    "eighteen", "nineteen",
]  # fmt: skip
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_PARTS = {"half": 2, "quarter": 4, "eighth": 8, "sixteenth": 16, "thirtysecond": 32}
_VALUES = {
    **{word: number for number, word in enumerate([*_DIGITS, *_TEENS])},
    **{word: 10 * number for number, word in enumerate(_TENS, 2)},
}
_NUMERATORS = [word for word in [*_DIGITS, *_TEENS][1:16]]

_BELOW_100 = (
    f"(({' | '.join(_TENS)}) [({' | '.join(_DIGITS[1:])})] | {' | '.join([*_DIGITS, *_TEENS])})"
)
_FRACTION = (
    f"((a | {' | '.join(_NUMERATORS)}) (half | quarter | quarters | eighth | eighths | sixteenth"
    " | sixteenths | thirty second | thirty seconds))"
)
LENGTH_PATTERN = (
    f"({_BELOW_100} [and {_FRACTION}] (inch | inches)"
    f" | {_FRACTION} (of an inch | inch)"
    " | half an inch"
    f" | [({' | '.join(_DIGITS[1:])}) hundred [and]] {_BELOW_100}"
    f" [point ({' | '.join(_DIGITS)})] (millimeters | millimeter))"
)
"""A length in the grammar format (JSGF), as ``recogniser`` takes it."""
COUNT_PATTERN = f"({' | '.join(_DIGITS[1:])})"
"""One to nine."""


def read_count(words: str) -> int | None:
    """``take number two instead`` to 2; None where no number is in it."""
    return next((_VALUES[word] for word in words.split() if word in _VALUES), None)


def read_length(words: str) -> Length | None:
    """``three and a half inches``, ``forty point five millimeters``, with or without what stands
    before it; None for anything else."""
    said = words.rpartition(" is ")[2]
    parts = said.replace("thirty second", "thirtysecond").split()
    if parts and parts[-1] in ("millimeter", "millimeters"):
        return _read_mm(parts[:-1])
    if parts[-3:] == ["of", "an", "inch"]:
        parts = [*parts[:-3], "inch"]
    if parts[-2:] == ["an", "inch"]:
        return Length.inches("1/2") if parts[:-2] == ["half"] else None
    if not parts or parts[-1] not in ("inch", "inches"):
        return None
    inches = _read_inches(parts[:-1])
    return None if inches is None else Length.inches(inches)


def _read_inches(parts: list[str]) -> Fraction | None:
    if "and" in parts:
        at = parts.index("and")
        whole, part = _read_whole(parts[:at]), _read_fraction(parts[at + 1 :])
        return None if whole is None or part is None else whole + part
    part = _read_fraction(parts)
    whole = _read_whole(parts)
    return part if part is not None else None if whole is None else Fraction(whole)


def _read_fraction(parts: list[str]) -> Fraction | None:
    """``three eighths``; more than a whole is no fraction of a rule."""
    if len(parts) != 2:
        return None
    top = 1 if parts[0] == "a" else _VALUES.get(parts[0])
    bottom = _PARTS.get(parts[1].removesuffix("s"), _PARTS.get(parts[1]))
    return Fraction(top, bottom) if top and bottom and top < bottom else None


def _read_whole(parts: list[str]) -> int | None:
    """Whole numbers below 100."""
    if len(parts) == 1:
        return _VALUES.get(parts[0])
    if len(parts) == 2 and parts[0] in _TENS and parts[1] in _DIGITS[1:]:
        return _VALUES[parts[0]] + _VALUES[parts[1]]
    return None


def _read_mm(parts: list[str]) -> Length | None:
    tenths = 0
    if "point" in parts:
        at = parts.index("point")
        after = parts[at + 1 :]
        if len(after) != 1 or after[0] not in _DIGITS:
            return None
        tenths, parts = _VALUES[after[0]], parts[:at]
    hundreds = 0
    if len(parts) > 1 and parts[1] == "hundred":
        hundreds, parts = _VALUES.get(parts[0], 0), parts[2:]
        parts = parts[1:] if parts[:1] == ["and"] else parts
    whole = 0 if hundreds and not parts else _read_whole(parts)
    return None if whole is None else Length.mm(Fraction(1000 * hundreds + 10 * whole + tenths, 10))
