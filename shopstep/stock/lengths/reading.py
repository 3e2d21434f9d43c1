"""Published instances in plain text, whatever of the usual forms they have.

One column: how many pieces, the bar, then each piece. Two columns: how many sizes, the bar, then
each size with how many of it. A library: how many instances, then for each its name, a line with
the bar, the number of pieces and the best known, and the pieces. Sizes with decimals are scaled to
whole numbers. Imports the problem of this room.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from shopstep.stock.lengths.problem import BadLengths, Lengths

MOST_PIECES = 50_000


class Unreadable(ValueError):
    """No instance: one plain sentence."""


@dataclass(frozen=True, slots=True)
class Instance:
    """One named problem."""

    name: str
    lengths: Lengths
    best_known: int | None = None


def read_instances(name: str, text: str) -> tuple[Instance, ...]:
    """All instances of a file; Unreadable where it holds none."""
    lines = [line.split() for line in text.splitlines() if line.strip()]
    if not lines:
        raise Unreadable("it is empty")
    if len(lines) > 1 and len(lines[0]) == 1 and not _is_number(lines[1][0]):
        return tuple(_read_library(lines))
    words = [word for line in lines for word in line]
    numbers = [_number(word) for word in words]
    if len(numbers) < 3:
        raise Unreadable("after the count and the bar there is no piece")
    count, bar, rest = numbers[0], numbers[1], numbers[2:]
    if count == len(rest):
        return (_make(name, bar, [(size, Fraction(1)) for size in rest], None),)
    if 2 * count == len(rest):
        pairs = list(zip(rest[::2], rest[1::2], strict=True))
        return (_make(name, bar, pairs, None),)
    raise Unreadable(
        f"it says {count} pieces or sizes, and {len(rest)} numbers follow; they should be {count} "
        f"or {2 * count}"
    )


def _read_library(lines: list[list[str]]) -> list[Instance]:
    words = [word for line in lines for word in line]
    wanted = _number(words[0])
    found: list[Instance] = []
    at = 1
    while at < len(words):
        if at + 4 > len(words):
            raise Unreadable(f"instance {len(found) + 1} has no bar")
        name, bar, count, best = words[at], *map(_number, words[at + 1 : at + 4])
        pieces = [_number(word) for word in words[at + 4 : at + 4 + int(count)]]
        if len(pieces) < count:
            raise Unreadable(f"{name} says {count} pieces and has {len(pieces)}")
        found.append(_make(name, bar, [(size, Fraction(1)) for size in pieces], int(best)))
        at += 4 + int(count)
    if len(found) != wanted:
        raise Unreadable(f"it says {wanted} instances and has {len(found)}")
    return found


def _is_number(word: str) -> bool:
    try:
        Fraction(word)
    except (ValueError, ZeroDivisionError):
        return False
    return True


def _number(word: str) -> Fraction:
    if not _is_number(word) or len(word) > 30:
        raise Unreadable(f"'{word[:30]}' is no number")
    return Fraction(word)


def _make(
    name: str, bar: Fraction, pairs: list[tuple[Fraction, Fraction]], best: int | None
) -> Instance:
    if any(count.denominator != 1 or count < 0 for _, count in pairs):
        raise Unreadable("a number of pieces is not whole")
    if sum(count for _, count in pairs) > MOST_PIECES:
        raise Unreadable(f"more than {MOST_PIECES:,} pieces")
    scale = lcm(bar.denominator, *(size.denominator for size, _ in pairs))
    sizes = [int(size * scale) for size, count in pairs for _ in range(int(count))]
    try:
        return Instance(name, Lengths.of(int(bar * scale), sizes), best)
    except BadLengths as problem:
        raise Unreadable(str(problem)) from None
