"""What the readers of published files share: numbers with the line they stand on.

Imports nothing else here.
"""

from __future__ import annotations

from dataclasses import dataclass


class Unreadable(ValueError):
    """A file is not what its kind should be; the sentence says which line and what is wrong."""


@dataclass(frozen=True, slots=True)
class Row:
    """A line that is not blank, cut at white space."""

    line: int
    """Counted from 1."""
    words: tuple[str, ...]

    def numbers(self, least: int = 0) -> list[int]:
        """All words as whole numbers, at least so many of them."""
        found = [read_number(word, self.line) for word in self.words]
        if len(found) < least:
            raise Unreadable(f"line {self.line}: {len(found)} numbers, expected {least}")
        return found


class Rows:
    """The lines of a text, taken one after the other."""

    def __init__(self, text: str) -> None:
        lines = enumerate(text.splitlines(), start=1)
        self._rows = [Row(line, tuple(words.split())) for line, words in lines if words.strip()]
        self._at = 0
        self._last = max(1, len(text.splitlines()))

    def take(self, expected: str) -> Row:
        """The next line; where there is none, says what was expected."""
        if self._at >= len(self._rows):
            raise Unreadable(f"line {self._last}: the file ends here, expected {expected}")
        self._at += 1
        return self._rows[self._at - 1]

    def peek(self) -> Row | None:
        """The next line without taking it, or None."""
        return self._rows[self._at] if self._at < len(self._rows) else None


def read_number(word: str, line: int) -> int:
    """A whole number, with or without the square brackets that lags wear."""
    try:
        return int(word.strip("[]"))
    except ValueError:
        raise Unreadable(f"line {line}: '{word}' is not a whole number") from None


def check_amount(number: int, what: str, line: int, least: int = 0) -> int:
    """The number, where it is at least ``least``."""
    if number < least:
        raise Unreadable(f"line {line}: {what} is {number}, expected {least} or more")
    return number
