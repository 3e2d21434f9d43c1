"""Long machine work in lots, so that none takes more than an evening holds.

The last lot keeps the step's id, so that whatever needs the whole work needs it; the lots before
it end in ``#1``, ``#2``… With the guard off, every lot that cannot follow at once has the guard put
back after it: no evening ends with the guard off. Imports ``shopstep.model``.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from shopstep.milling.drafts import GUARD_OFF
from shopstep.milling.times import PACES
from shopstep.model.operation import PLANE
from shopstep.model.step import Number, Step, StepKind
from shopstep.words import say

LOT = "#"
"""Stands before a lot's number in the ids of its kind and its step."""

Pair = tuple[StepKind, Step]


def divide_long(
    kinds: tuple[StepKind, ...], steps: tuple[Step, ...], longest_s: int
) -> tuple[tuple[StepKind, ...], tuple[Step, ...]]:
    """Steps and kinds with all that is too long in lots. ``longest_s``: an opening of the shop.

    A step alone takes at most half an opening, work with the guard off three quarters with the
    refit, if all of it does not fit into one.
    """
    known = {kind.id: kind for kind in kinds}
    made: list[Pair] = []
    for chain in _chains([(known[step.kind], step) for step in steps]):
        if len(chain) == 1:
            made += _divide(chain[0], longest_s // 2)
        elif sum(kind.duration_s for kind, _ in chain) <= longest_s:
            made += chain
        else:
            made += _Parted(longest_s * 3 // 4, chain[-1]).part(chain[:-1])
    return tuple(kind for kind, _ in made), tuple(step for _, step in made)


def _chains(pairs: list[Pair]) -> Iterable[list[Pair]]:
    """Steps that follow each other at once, in one list; in the order of their first."""
    chains: list[list[Pair]] = []
    by_last: dict[str, list[Pair]] = {}
    for pair in pairs:
        behind = pair[1].behind
        if behind is not None and behind in by_last:
            chain = by_last.pop(behind)
            chain.append(pair)
        else:
            chain = [pair]
            chains.append(chain)
        by_last[pair[1].id] = chain
    return chains


def lots_of(kind: StepKind, most_s: int) -> int:
    """How many lots of at most ``most_s`` seconds, each with its own setting of the machine."""
    pace = PACES.get(kind.stage)
    if pace is None or kind.duration_s <= most_s or not pace.piece_s:
        return 1
    share = max(1, (most_s - pace.setup_s) // pace.piece_s)
    return math.ceil(_pieces(kind) / share)


def _pieces(kind: StepKind) -> int:
    pace = PACES[kind.stage]
    return max(1, (kind.duration_s - pace.setup_s) // pace.piece_s)


def _lot(pair: Pair, number: int, count: int) -> Pair:
    """One lot; the last one under the step's own id. Needs stay those of the whole."""
    kind, step = pair
    pace, pieces = PACES[kind.stage], _pieces(kind)
    first, last = pieces * (number - 1) // count + 1, pieces * number // count
    end = "" if number == count else f"{LOT}{number}"
    seconds = pace.setup_s + pace.piece_s * (last - first + 1)
    one = "pass" if kind.stage == PLANE else "piece"
    told = replace(
        kind,
        id=f"{kind.id}{end}",
        title=say(
            "{kind_title}, lot {number} of {count}",
            kind_title=kind.title,
            number=number,
            count=count,
        ),
        numbers=(
            *kind.numbers,
            Number(f"from {one}", first),
            Number(f"to {one}", last),
        ),
        duration_s=seconds,
    )
    return told, replace(step, id=f"{step.id}{end}", kind=told.id, duration_s=seconds)


def _divide(pair: Pair, most_s: int) -> list[Pair]:
    """A step alone, in lots that follow each other in this order."""
    count = lots_of(pair[0], most_s)
    if count == 1:
        return [pair]
    lots = [_lot(pair, number, count) for number in range(1, count + 1)]
    for place in range(1, count):
        kind, step = lots[place]
        lots[place] = (kind, replace(step, needs=(*step.needs, lots[place - 1][1].id)))
    return lots


@dataclass(slots=True)
class _Parted:
    """Work with the guard off in several parts, each with the guard put back after it."""

    most_s: int
    refit: Pair
    made: list[Pair] = field(default_factory=list)
    seconds: int = 0
    refits: int = 0
    last: str | None = None
    """The step just before, while the guard is off."""
    after: tuple[str, ...] = ()
    """The refit that the next part needs."""

    def part(self, work: list[Pair]) -> list[Pair]:
        """All parts, the last one closed by the refit under its own id."""
        refit_s = self.refit[0].duration_s
        for pair in work:
            count = lots_of(pair[0], self.most_s - refit_s)
            before: str | None = None
            for number in range(1, count + 1):
                kind, step = pair if count == 1 else _lot(pair, number, count)
                if self.seconds and self.seconds + kind.duration_s + refit_s > self.most_s:
                    self._close(f"{LOT}{self.refits + 1}")
                needs = [need for need in step.needs if need != step.behind]
                needs += [*self.after, *([before] if before else [])]
                needs += [self.last] if self.last else []
                placed = replace(step, needs=tuple(dict.fromkeys(needs)), behind=self.last)
                self.made.append((kind, placed))
                self.last = before = placed.id
                self.seconds += kind.duration_s
        self._close("")
        return self.made

    def _close(self, end: str) -> None:
        """The guard goes back on; all that was done since it came off is done before."""
        kind, step = self.refit
        told = replace(kind, id=f"{kind.id}{end}")
        since = [s.id for k, s in self.made if k.stage in GUARD_OFF]
        placed = replace(
            step,
            id=f"{step.id}{end}",
            kind=told.id,
            needs=tuple(dict.fromkeys((*since, *self.after))),
            behind=self.last,
        )
        self.made.append((told, placed))
        self.after, self.last, self.seconds = (placed.id,), None, 0
        self.refits += 1
