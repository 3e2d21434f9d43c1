"""The fewest bars: good at once, then proofs and better ways until the time is over.

Imports the other modules of this room only.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from itertools import count
from random import Random

from shopstep.stock.lengths.bounds import least_bars
from shopstep.stock.lengths.completing import OutOfTime, complete_in
from shopstep.stock.lengths.filling import best_fit, first_fit, fullest_first, pieces_of
from shopstep.stock.lengths.patterns import Relaxation, relax
from shopstep.stock.lengths.problem import Bars, Lengths, Packing

SHAKEN = 12
"""So many shaken fillings are tried before anything is proved."""
MOST_TO_COMPLETE = 400
"""More pieces than this are not completed bar by bar: the way down is too deep."""
Clock = Callable[[], bool]


def pack_lengths(lengths: Lengths, limit_s: float = 2.0, seed: int = 0) -> Packing:
    """The fewest bars that are found within the limit, and how few are possible at least."""
    ends = time.monotonic() + limit_s
    return _pack(lengths, seed, lambda: time.monotonic() >= ends)


def pack_with(lengths: Lengths, work: int, seed: int = 0) -> Packing:
    """As ``pack_lengths``, limited by work instead of time: the same on every machine."""
    looks = count()
    return _pack(lengths, seed, lambda: next(looks) >= work)


def _pack(lengths: Lengths, seed: int, is_late: Clock) -> Packing:
    best = _at_once(lengths)
    bound = least_bars(lengths)
    if len(best) > bound:
        best, bound = _improve(lengths, best, bound, seed, is_late)
    return Packing(tuple(tuple(sorted(bar, reverse=True)) for bar in best), bound)


def _at_once(lengths: Lengths) -> Bars:
    pieces = pieces_of(lengths)
    return min(
        first_fit(pieces, lengths.capacity),
        best_fit(pieces, lengths.capacity),
        fullest_first(lengths),
        key=len,
    )


def _improve(
    lengths: Lengths, best: Bars, bound: int, seed: int, is_late: Clock
) -> tuple[Bars, int]:
    best = _shake(lengths, best, bound, seed, is_late)
    if len(best) > bound and not is_late():
        relaxed = relax(lengths, is_late)
        if relaxed is not None:
            bound = max(bound, relaxed.bound)
            best = min(best, _rounded(lengths, relaxed), key=len)
    while len(best) > bound and lengths.count <= MOST_TO_COMPLETE:
        try:
            found = complete_in(lengths, bound, is_late)
        except (OutOfTime, RecursionError):
            break
        if found is not None:
            return found, bound
        bound += 1
    while len(best) > bound and not is_late():
        seed += 1
        best = _shake(lengths, best, bound, seed, is_late)
    return best, bound


def _shake(lengths: Lengths, best: Bars, bound: int, seed: int, is_late: Clock) -> Bars:
    chance = Random(seed)
    for _ in range(SHAKEN):
        if len(best) <= bound or is_late():
            break
        best = min(best, fullest_first(lengths, chance), key=len)
    return best


def _rounded(lengths: Lengths, relaxed: Relaxation) -> Bars:
    """Patterns as often as they are whole in the relaxation; the rest filled anew."""
    left = list(lengths.demands)
    bars: Bars = []
    for pattern, amount in sorted(relaxed.patterns, key=lambda used: -used[1]):
        for _ in range(int(amount + 1e-6)):
            counts = [min(want, have) for want, have in zip(pattern, left, strict=True)]
            left = [have - count for have, count in zip(left, counts, strict=True)]
            bars.append([s for s, n in zip(lengths.sizes, counts, strict=True) for _ in range(n)])
    bars = [bar for bar in bars if bar]
    rest = [s for s, n in zip(lengths.sizes, left, strict=True) for _ in range(n)]
    if not rest:
        return bars
    last = Lengths.of(lengths.capacity, rest)
    return [*bars, *min(_at_once(last), fullest_first(last, Random(0)), key=len)]
