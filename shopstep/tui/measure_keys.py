"""The keys of the measuring page: what each tap makes of the number, and where the keys stand.

Imports exact lengths and places; pure arithmetic. Whole inches are tapped digit by digit, then the
fraction as one key: sixteenths at once where there is room, else eighths and then finer steps.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopstep.tui.places import Place, column_gap, place_block, row_height, side_margin
from shopstep.units import NM_PER_64TH, Length, format_inches, parse_length
from shopstep.words import as_here, say

WHOLE, FRACTION, FINER = "whole", "fraction", "finer"
"""The sets of keys; millimetres have the first only."""
DELETE, POINT = "delete", "point"
DELETE_KEY, TURN_KEY = "Bksp", "/"
"""Backspace takes back; the stroke goes to the next set of keys."""

ROOMY_WIDTH, ROOMY_HEIGHT = 72, 22
"""Screens from this size on show all sixteenths and the finer steps at once."""
_SIDE_LEAST = 12
_MOST_WHOLE = {"in": 3, "mm": 4}
_MOST_DECIMALS = 2
Choice = tuple[str, str, str]
"""Id, label and key, as the places take them."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A number as far as it was tapped."""

    unit: str
    """``in`` or ``mm``."""
    typed: str = ""
    """Whole inches, or millimetres with a point."""
    marks: int = 0
    """The fraction of an inch, in 1/64 in."""

    @property
    def is_empty(self) -> bool:
        """Whether there is no number yet: nothing was tapped, or only zeros."""
        return not self.value

    @property
    def value(self) -> Length:
        """The number as it stands."""
        if self.unit == "mm":
            return parse_length(f"{self.typed.rstrip('.') or '0'} mm")
        return Length((int(self.typed or "0") * 64 + self.marks) * NM_PER_64TH)

    @property
    def text(self) -> str:
        """The number as it is shown: "16 3/8 in", "412.8 mm"."""
        if self.unit == "mm":
            shown = f"{self.typed}0" if self.typed.endswith(".") else self.typed
            return as_here(f"{shown or '0'} mm")
        return format_inches(self.value)

    def press(self, choice: str) -> Entry:
        """The entry after a key; a key that cannot be taken changes nothing."""
        kind, _, what = choice.partition(" ")
        if kind == "digit":
            return self._type(what)
        if kind == "part":
            return replace(self, marks=int(what))
        if kind == "nudge":
            whole, marks = divmod(max(0, self.value.nm // NM_PER_64TH + int(what)), 64)
            return replace(self, typed=str(whole) if whole else "", marks=marks)
        if choice == POINT and self.unit == "mm" and "." not in self.typed:
            return replace(self, typed=f"{self.typed or '0'}.")
        return self._delete() if choice == DELETE else self

    def _type(self, digit: str) -> Entry:
        whole, point, decimals = self.typed.partition(".")
        if point:
            room = len(decimals) < _MOST_DECIMALS
            return replace(self, typed=self.typed + digit) if room else self
        longer = (whole + digit).lstrip("0")
        return replace(self, typed=longer) if len(longer) <= _MOST_WHOLE[self.unit] else self

    def _delete(self) -> Entry:
        """Takes back the fraction first, then the last digit."""
        return replace(self, marks=0) if self.marks else replace(self, typed=self.typed[:-1])


def is_roomy(width: int, height: int) -> bool:
    """Whether all sixteenths fit on keys for a glove."""
    return width >= ROOMY_WIDTH and height >= ROOMY_HEIGHT


def place_keys(unit: str, keys: str, width: int, height: int, foot: int) -> list[Place]:
    """The keys of a set, their last row ending above row ``foot``."""
    row, margin, gap = row_height(height), side_margin(width), column_gap(width)
    main, columns, beside, below = _choices(unit, keys, is_roomy(width, height))
    rows = 3 if below else 2
    top = foot - rows * row - (rows - 1)
    side = max(_SIDE_LEAST, (width - 2 * margin) // 6)
    room = width - 2 * margin - side - gap
    places = place_block(main, columns, (margin, top), room, row, gap, "main")
    places += place_block(beside, 1, (margin + room + gap, top), side, row, gap, "beside")
    if below:
        under = (margin, top + 2 * (row + 1))
        places += place_block(below, len(below), under, width - 2 * margin, row, gap, "below")
    return places


def _choices(
    unit: str, keys: str, roomy: bool
) -> tuple[list[Choice], int, list[Choice], list[Choice]]:
    """Keys in the middle and their columns, the two beside them, and a row below them."""
    if unit == "mm" or keys == WHOLE:
        digits = [(f"digit {digit}", digit, "") for digit in "1234567890"]
        other = (
            (POINT, say("Point"), ".") if unit == "mm" else (FRACTION, say("Fraction"), TURN_KEY)
        )
        return digits, 5, [(DELETE, say("Delete"), DELETE_KEY), other], []
    if roomy:
        steps = [_nudge(marks) for marks in (-2, -1, 1, 2)]
        return (
            _parts(4),
            8,
            [(DELETE, say("Delete"), DELETE_KEY), (WHOLE, say("Whole"), TURN_KEY)],
            steps,
        )
    if keys == FRACTION:
        return _parts(8), 4, [(FINER, say("Finer"), TURN_KEY), (WHOLE, say("Whole"), "")], []
    steps = [_nudge(marks) for marks in (-4, -2, -1, 4, 2, 1)]
    return steps, 3, [(FRACTION, say("Fraction"), ""), (WHOLE, say("Whole"), TURN_KEY)], []


def _parts(every: int) -> list[Choice]:
    """Fractions from 0 on, ``every`` so many 1/64 in."""
    labels = {n: format_inches(Length(n * NM_PER_64TH)) for n in range(0, 64, every)}
    return [(f"part {n}", label.removesuffix(" in"), "") for n, label in labels.items()]


def _nudge(marks: int) -> Choice:
    size = format_inches(Length(abs(marks) * NM_PER_64TH)).removesuffix(" in")
    return (f"nudge {marks}", f"{'−' if marks < 0 else '+'}{size}", "")
