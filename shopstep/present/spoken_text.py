"""A whole sentence as people say it: no digit and no sign is left for an engine to guess at.

Numbers by themselves are said by ``spoken``; here are clock times, days, spans, screws, degrees,
and whatever else stands in the words of a card. What it gave, it leaves as it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from shopstep.present.spoken import say_decimal, say_fraction, say_integer, say_span, say_text

_DAYS = {
    "Mon": "Monday", "Tue": "Tuesday", "Wed": "Wednesday", "Thu": "Thursday", "Fri": "Friday",
    "Sat": "Saturday", "Sun": "Sunday",
}  # fmt: skip
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
_MONTH = "|".join(f"{name[:3]}(?:{name[3:]})?" if name != "May" else name for name in _MONTHS)
_ORDINALS = {"one": "first", "two": "second", "three": "third", "five": "fifth",
             "eight": "eighth", "nine": "ninth", "twelve": "twelfth"}  # fmt: skip
_UNITS = {"h": "hour", "min": "minute", "s": "second", "d": "day", "lb": "pound",
          "kg": "kilogram", "ml": "millilitre", "m": "metre"}  # fmt: skip
_SIGNS = {
    "±": " plus or minus ", "×": " by ", "%": " percent", "°": " degrees", "+": " plus ",
    "=": " equals ", "&": " and ", "§": " section ", "→": " to ", "–": ", ", "—": ", ",
    "…": ".", "_": " ", "(": ", ", ")": ", ", "/": " or ", "#": " number ",
    "≤": " at most ", "≥": " at least ",
}  # fmt: skip
_SHOUTED = re.compile(r"\b(?:[A-Z]{2,}(?: [A-Z]{2,})+|[A-Z]{4,})\b")
_NO_WORD = re.compile(r"[^\w\s.,;:!?'’\"-]")
_ENDS = re.compile(r"[\s,]*([.,;:!?])(?: ?,)*")
_STEP = re.compile(r"(?<=[A-Za-z])-(?=\d)|(?<=\d)-(?=[A-Za-z])")
_CLOCK = r"(\d{1,2}):(\d\d)"


def say_words(text: str) -> str:
    """The text with all that is no word put into words; a sentence keeps its stops."""
    for pattern, say in _RULES:
        text = pattern.sub(say, text)
    text = say_text(text)
    for pattern, say in _LAST_RULES:
        text = pattern.sub(say, text)
    text = _NO_WORD.sub(" ", "".join(_SIGNS.get(sign, sign) for sign in text))
    return _ENDS.sub(r"\1", " ".join(text.split())).strip(" ,")


def say_ordinal(value: int) -> str:
    """A place in a row, 1 to 99: "twenty-third"."""
    lead, dash, last = say_integer(value).rpartition("-")
    said = _ORDINALS.get(last)
    if said is None:
        said = f"{last[:-1]}ieth" if last.endswith("y") else f"{last}th"
    return f"{lead}{dash}{said}"


def say_clock(hour: int, minute: int) -> str:
    """A time of day, hours 0 to 23: "eighteen oh five", "eight o'clock", "eighteen hundred"."""
    if not minute:
        if hour == 0:
            return "midnight"
        return f"{say_integer(hour)} {'hundred' if hour > 12 else 'o’clock'}"
    said = f"oh {say_integer(minute)}" if minute < 10 else say_integer(minute)
    return f"{say_integer(hour)} {said}"


def say_day(day: int, month: int, year: int | None = None) -> str:
    """A day of the year: "the eighth of January", "… two thousand twenty-six"."""
    said = f"the {say_ordinal(day)} of {_MONTHS[month - 1]}"
    return said if year is None else f"{said} {say_integer(year)}"


def _clock(match: re.Match[str]) -> str:
    hour, minute = int(match[1]), int(match[2])
    return say_clock(hour, minute) if hour < 24 and minute < 60 else match[0]


def _countdown(match: re.Match[str]) -> str:
    """A running limit, "4:10" or "1:02:09", as a span."""
    seconds = 0
    for part in match["clock"].split(":"):
        seconds = seconds * 60 + int(part)
    return f"{match['before'] or ''}{say_span(seconds)}{match['after'] or ''}"


def _days(match: re.Match[str]) -> str:
    """A countdown of days: "2 d 03:00"."""
    days, hours, minutes = (int(match[n]) for n in (1, 2, 3))
    return say_span((days * 24 + hours) * 3600 + minutes * 60)


def _named_day(match: re.Match[str]) -> str:
    weekday = f"{_DAYS[match['weekday']]} " if match["weekday"] else ""
    month = next(n for n, name in enumerate(_MONTHS, 1) if name.startswith(match["month"]))
    year = int(match["year"]) if match["year"] else None
    return f"{weekday}{say_day(int(match['day']), month, year)}"


def _iso_day(match: re.Match[str]) -> str:
    year, month, day = (int(match[n]) for n in (1, 2, 3))
    return say_day(day, month, year) if 1 <= month <= 12 else match[0]


def _counted(match: re.Match[str]) -> str:
    number, unit = match[1], _UNITS[match[2]]
    return f"{_number(number)} {unit if number == '1' else f'{unit}s'}"


def _degrees(match: re.Match[str]) -> str:
    scale = {"C": "Celsius", "F": "Fahrenheit"}[match[2]]
    return f"{_number(match[1])} {'degree' if match[1] == '1' else 'degrees'} {scale}"


def _pieces(match: re.Match[str]) -> str:
    """How many of a thing: "11 × #8 screw" without "of", "4 × side" with it."""
    of = "" if match[2] in "#0123456789" else "of "
    return f"{_number(match[1])} {of}{match[2]}"


def _staples(match: re.Match[str]) -> str:
    """How many of a thing whose name begins with a fraction: "36 × 1/4 in crown"."""
    return f"{_number(match[1])} of "


def _mark(match: re.Match[str]) -> str:
    return f"{match[1]} {'left' if match[2] == 'L' else 'right'}"


def _parts(match: re.Match[str]) -> str:
    numerator, denominator = int(match[2]), int(match[3])
    said = say_fraction(numerator, denominator)
    if not said:
        return f"{match[1] or ''}{match[2]} over {match[3]}"
    return f"{say_integer(int(match[1]))} and {said}" if match[1] else said


def _number(text: str) -> str:
    """Any run of digits: a count, a decimal, or, where it is too long for one, digit by digit."""
    whole = text.partition(".")[0]
    if len(whole) > 6 or (len(whole) > 1 and whole.startswith("0")):
        return " ".join(say_integer(int(sign)) if sign != "." else "point" for sign in text)
    return say_decimal(text)


_Rule = tuple[re.Pattern[str], Callable[[re.Match[str]], str]]
_RULES: tuple[_Rule, ...] = (
    (_SHOUTED, lambda match: match[0].lower()),
    (re.compile(r"− ?(?=\d)"), lambda _: "minus "),
    (re.compile(r"(?<![\w.)])-(?=\d)"), lambda _: "minus "),
    (re.compile(rf"\b(\d+) d {_CLOCK}\b"), _days),
    (re.compile(r"(?<![\d/.-])(\d+)-(?=\d+/\d)"), lambda match: f"{match[1]} "),
    (re.compile(r"\b(\d+) ([LR])\b(?=,|$|\))"), _mark),
    (re.compile(r"\b(\d{4})-(\d\d)-(\d\d)\b"), _iso_day),
    (
        re.compile(
            rf"\b(?:(?P<weekday>{'|'.join(_DAYS)}) )?(?P<day>[0-3]?\d) (?P<month>{_MONTH})\b"
            r"(?: (?P<year>\d{4})\b)?"
        ),
        _named_day,
    ),
    (
        re.compile(
            r"(?P<before>closes in |over by )?(?P<clock>\d+:\d\d:\d\d|\d+:\d\d)"
            r"(?P<after> left)?(?(before)|(?(after)|(?!)))"
        ),
        _countdown,
    ),
    (re.compile(r"\b(?P<before>)(?P<clock>\d+:\d\d:\d\d)\b(?P<after>)"), _countdown),
    (re.compile(rf"\b{_CLOCK}\b"), _clock),
    (re.compile(r"(?<=\d)-(?=\d)"), lambda _: " to "),
    (re.compile(r"\b(\d+(?:\.\d+)?) ?°([CF])\b"), _degrees),
    (re.compile(r"(?<![\d/.])(?<!\d )(\d+) × (?=\d+/\d+ in [a-z])"), _staples),
    (re.compile(r"(?<![\d/.])(?<!\d )(\d+) × ([#A-Za-z]|\d(?=\d*-gauge))"), _pieces),
    (re.compile(rf"\b(\d+(?:\.\d+)?) ({'|'.join(_UNITS)})\b"), _counted),
)
"""What is put into words before lengths and angles are, in this order."""
_LAST_RULES: tuple[_Rule, ...] = (
    (re.compile(r"(?:\b(\d+) )?\b(\d+)/(\d+)\b"), _parts),
    (_STEP, lambda _: " "),
    (re.compile(r"#(?=\d)"), lambda _: "number "),
    (re.compile(r"\bmm\b"), lambda _: "millimetres"),
    (re.compile(r"\d+(?:\.\d+)?"), lambda match: f" {_number(match[0])} "),
)
"""What is left of numbers after that."""
