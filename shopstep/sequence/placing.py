"""Serial generation: block after block gets its time, by a rule that says who goes first.

Imports this room.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopstep.sequence.blocks import Block
from shopstep.sequence.hours import Hours
from shopstep.sequence.putting_off import Limits, Releases, keep_limits
from shopstep.sequence.queues import Line, Queues
from shopstep.sequence.taking import Levels, SafeOrder

Option = tuple[int, bool, int, int]
"""Start, whether the setup changes, rank, block: the least goes next."""

_NO_LIMITS = Limits()
_FIRST = -(10**9)
"""Rank of what open glue waits for, or what follows a done step at once."""


@dataclass(frozen=True, slots=True)
class Problem:
    """Blocks, and all that limits their times."""

    blocks: tuple[Block, ...]
    capacity: Levels
    hours: Hours
    begin_s: int
    safe_order: tuple[int, ...]
    """An order that never runs out of clamps or drying places."""
    limits: Limits = _NO_LIMITS


@dataclass(frozen=True, slots=True)
class Rule:
    """Who goes first among blocks that could start at the same moment."""

    name: str
    ranks: tuple[int, ...]
    """For each block; the lowest goes first."""
    stays: bool
    """Go on with the kind of step at hand before the rank is asked."""
    keeps_help: bool = False
    """Begin nothing in whose time the helper would come and go in vain."""


def place_blocks(problem: Problem, rule: Rule) -> tuple[int, ...]:
    """Start of every block, seconds since 1970 UTC.

    At each moment the block that can start earliest goes next; among equals the rule decides.
    A block that would leave no way to finish (all clamps taken) has to stand back.
    """
    return _Placing(problem, rule, {}).run()


def repair_blocks(problem: Problem, rule: Rule, starts: tuple[int, ...]) -> tuple[int, ...]:
    """The same where these starts of the rule break a longest wait, as far as it can be kept.

    Its earlier block is put off, or its later one goes first.
    """

    def lay(ranks: Sequence[int], releases: Releases) -> tuple[int, ...]:
        stays = rule.stays and ranks is rule.ranks
        return _Placing(problem, Rule(rule.name, tuple(ranks), stays), releases).run()

    return keep_limits(problem.blocks, problem.limits, rule.ranks, starts, lay)


class _Placing:
    """One run of the generation."""

    def __init__(self, problem: Problem, rule: Rule, releases: Releases) -> None:
        self.problem = problem
        self.blocks = problem.blocks
        self.rule = rule
        self.starts = [-1] * len(self.blocks)
        self.earliest = [block.earliest_s for block in self.blocks]
        for number, moment in releases.items():
            self.earliest[number] = max(moment, self.earliest[number])
        self.unmet = [len(block.lags) for block in self.blocks]
        self.followers: list[list[tuple[int, int]]] = [[] for _ in self.blocks]
        for number, block in enumerate(self.blocks):
            for earlier, lag in block.lags:
                self.followers[earlier].append((number, lag))
        self.urgent = _urgent_blocks(self.blocks)
        self.taking = SafeOrder(self.blocks, problem.safe_order, problem.capacity)
        self.now = problem.begin_s
        self.opening = 0
        self.kind = ""
        self.queues = Queues(self.blocks)
        for number, count in enumerate(self.unmet):
            if not count:
                self._free(number)

    def run(self) -> tuple[int, ...]:
        """Places all blocks."""
        while self.queues.free:
            start, number = self._choose_urgent() or self._choose()
            self._put(number, start)
        return tuple(self.starts)

    def _choose_urgent(self) -> tuple[int, int] | None:
        """What open glue or a done step still waits for: at once, closing time or not."""
        if not self.urgent:
            return None
        ready = [n for n in self.queues.free if n in self.urgent and self.taking.allows(n)]
        if not ready:
            return None
        number = min(ready, key=lambda n: (self.urgent[n], self.blocks[n].rank))
        start = max(self.now, self.earliest[number])
        return (start, number) if start <= self.urgent[number] else None

    def _choose(self) -> tuple[int, int]:
        """The block to go next, and when: the best head of a line, else the best of all."""
        heads = [(line, head) for line in self.queues.lines if (head := line.head(self.now))]
        options = [self._option(line, *head) for line, head in heads]
        best = self._best(options)
        if best is not None and self.rule.keeps_help:
            best = self._keep_help(best, options)
        if best is None:
            everyone = [(line, entry) for line, _ in heads for entry in line.waiting()]
            best = self._best(self._option(line, *entry) for line, entry in everyone)
        if best is None:
            raise AssertionError("the safe order always leaves one block that may go")
        return best

    def _best(self, options: Iterable[Option]) -> tuple[int, int] | None:
        """Start and number of the first option that leaves a way to finish."""
        for start, _, _, number in sorted(options):
            if self.taking.allows(number):
                return start, number
        return None

    def _keep_help(self, best: tuple[int, int], options: Iterable[Option]) -> tuple[int, int]:
        """The best that does not put the next step for two off to another opening."""
        helped = [option for option in options if self.blocks[option[3]].helped]
        due = self._best(helped)
        if due is None or due == best:
            return best
        block, opening = self.blocks[due[1]], self._opening_at(due[0])
        for start, _, _, number in sorted(options):
            if number == due[1] or not self.taking.allows(number):
                continue
            free_s = max(due[0], start + self.blocks[number].span_s)
            hours = self.problem.hours
            again = hours.fit(
                free_s, block.span_s, opening, block.machine, block.light, block.helped
            )
            if again[1] == opening:
                return start, number
        return due

    def _opening_at(self, start_s: int) -> int:
        return self.problem.hours.fit(start_s, 0, self.opening)[1]

    def _option(self, line: Line, earliest_s: int, rank: int, number: int) -> Option:
        earliest = max(self.now, earliest_s)
        start, _ = self.problem.hours.fit(
            earliest, line.span_s, self.opening, line.machine, line.light, line.helped
        )
        changes = self.rule.stays and line.kind != self.kind and rank != _FIRST
        return start, changes, rank, number

    def _put(self, number: int, start: int) -> None:
        block = self.blocks[number]
        self.starts[number] = start
        self.taking.go(number)
        self.now = max(self.now, start + block.span_s)
        self.opening = self.problem.hours.fit(self.now, 0, self.opening)[1]
        self.kind = block.steps[-1].kind
        self.queues.remove(number)
        for follower, lag in self.followers[number]:
            self.earliest[follower] = max(self.earliest[follower], start + lag)
            self.unmet[follower] -= 1
            if not self.unmet[follower]:
                self._free(follower)

    def _free(self, number: int) -> None:
        rank = _FIRST if number in self.urgent else self.rule.ranks[number]
        self.queues.add(number, self.earliest[number], rank)


def _urgent_blocks(blocks: Sequence[Block]) -> dict[int, int]:
    """Latest starts of the blocks that something done waits for, and of all that they need.

    Blocks stand after those that they need, so one pass from the back finds them all.
    """
    latest = {n: block.latest_s for n, block in enumerate(blocks) if block.latest_s is not None}
    for number in range(len(blocks) - 1, -1, -1):
        if number in latest:
            for earlier, lag in blocks[number].lags:
                moment = latest[number] - lag
                latest[earlier] = min(moment, latest.get(earlier, moment))
    return latest
