"""Rules of who goes first, and what makes one schedule better than another.

Imports this room.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shopstep.model.naming import BUILD_MARK
from shopstep.model.plan import Prefer
from shopstep.model.step import Step
from shopstep.sequence.blocks import Block
from shopstep.sequence.daylight import is_dark
from shopstep.sequence.placing import Problem, Rule

BROKEN = 3
"""So many figures at the front of a score say what it breaks; 0 where it is right."""
Score = tuple[int, ...]
"""Figures of a schedule in the order in which they count; less is better, from the left."""


@dataclass(frozen=True, slots=True)
class Figures:
    """What a schedule is judged by."""

    evenings: int
    """Openings with work in them."""
    last: int
    """Number of the last opening."""
    setups: int
    """Changes of the kind of step."""
    walks: int
    """Changes between one machine, another and the bench."""
    end_s: int
    first_unit_s: int
    """When the first unit is complete."""
    last_work_s: int
    """Work in the last opening: the less, the nearer it is to being saved."""
    broken: tuple[int, ...] = (0, 0, 0)
    """Seconds over longest waits that are ahead, blocks outdoors in the dark, and how many longest
    waits that run are late; before everything else."""

    def pull(self, prefer: Prefer) -> Score:
        """As the score, but an evening that is nearly empty counts before setups."""
        lead, (evenings, last, *rest) = self._lead(prefer), self._usual()
        return (*self.broken, *lead, evenings, last, self.last_work_s, *rest)

    def score(self, prefer: Prefer) -> Score:
        """In the order that the keeper prefers.

        The last evening stands before the setups and the minute of the end after them: to be done
        ten minutes earlier on the same evening is not worth another setup.
        """
        return (*self.broken, *self._lead(prefer), *self._usual())

    def _usual(self) -> Score:
        return (self.evenings, self.last, self.setups, self.walks, self.end_s)

    def _lead(self, prefer: Prefer) -> Score:
        leads: dict[Prefer, Score] = {
            Prefer.EVENINGS: (),
            Prefer.FINISH: (self.last,),
            Prefer.SETUPS: (self.setups,),
            Prefer.FIRST_UNIT: (self.first_unit_s,),
        }
        return leads[prefer]


def make_rules(blocks: Sequence[Block]) -> tuple[Rule, ...]:
    """The rules that are tried, in this order; the first of equals is kept."""
    tails = _tails(blocks)
    kind_tails: dict[str, int] = {}
    for block, tail in zip(blocks, tails, strict=True):
        kind = block.steps[0].kind
        kind_tails[kind] = max(tail, kind_tails.get(kind, 0))

    def rule(
        name: str, key: Callable[[int], tuple[int, ...]], stays: bool, keeps_help: bool = False
    ) -> Rule:
        order = sorted(range(len(blocks)), key=key)
        ranks = [0] * len(blocks)
        for rank, number in enumerate(order):
            ranks[number] = rank
        return Rule(name, tuple(ranks), stays, keeps_help)

    def by_step(n: int) -> tuple[int, ...]:
        return (blocks[n].rank,)

    def by_unit(n: int) -> tuple[int, ...]:
        return blocks[n].unit, blocks[n].rank

    def by_tail(n: int) -> tuple[int, ...]:
        return -tails[n], blocks[n].rank

    def by_kind_tail(n: int) -> tuple[int, ...]:
        return -kind_tails[blocks[n].steps[0].kind], blocks[n].rank

    def build_first(build: str) -> Callable[[int], tuple[int, ...]]:
        return lambda n: (_build_of(blocks[n]) != build, -tails[n], blocks[n].rank)

    builds = sorted({_build_of(block) for block in blocks})
    by_build = [
        rule(f"{build or 'first build'} before all", build_first(build), stays=stays)
        for build in builds
        for stays in (False, True)
        if len(builds) > 1
    ]
    towards = _towards_help(blocks)

    def by_help(n: int) -> tuple[int, ...]:
        return n not in towards, -tails[n], blocks[n].rank

    for_helper = [
        rule("what the helper is for first", by_help, stays=stays, keeps_help=True)
        for stays in (False, True)
        if towards
    ]
    return (
        *for_helper,
        *by_build,
        rule("step after step", by_step, stays=False),
        rule("step after step, staying", by_step, stays=True),
        rule("longest wait first", by_tail, stays=False),
        rule("longest wait first, staying", by_tail, stays=True),
        rule("kind with the longest wait first, staying", by_kind_tail, stays=True),
        rule("unit after unit", by_unit, stays=False),
    )


def _build_of(block: Block) -> str:
    """The tag of the build that a block belongs to; empty for the first one, or the only one."""
    return block.steps[0].kind.partition(BUILD_MARK)[2].partition("~")[0]


def _towards_help(blocks: Sequence[Block]) -> set[int]:
    """The blocks that need a helper, and all that come before one of them."""
    towards = {number for number, block in enumerate(blocks) if block.helped}
    for number in range(len(blocks) - 1, -1, -1):
        if number in towards:
            towards.update(earlier for earlier, _ in blocks[number].lags)
    return towards


def _tails(blocks: Sequence[Block]) -> list[int]:
    """For each block the least seconds from its start to the end of all that follows it."""
    tails = [block.span_s for block in blocks]
    for number in range(len(blocks) - 1, -1, -1):
        for earlier, lag in blocks[number].lags:
            tails[earlier] = max(tails[earlier], lag + tails[number])
    return tails


def judge_starts(problem: Problem, starts: Sequence[int]) -> Figures:
    """The figures of a schedule."""
    order = sorted(range(len(starts)), key=lambda n: (starts[n], problem.blocks[n].rank))
    openings: set[int] = set()
    opening = 0
    end = problem.begin_s
    steps: list[Step] = []
    done: dict[int, int] = {}
    work: dict[int, int] = {}
    dark = 0
    for number in order:
        block = problem.blocks[number]
        opening = problem.hours.fit(starts[number], 0, opening)[1]
        openings.add(opening)
        dark += block.light is not None and is_dark(
            problem.hours.span(opening), starts[number], block.light
        )
        work[opening] = work.get(opening, 0) + block.span_s
        ends_s = starts[number] + block.span_s
        end = max(end, ends_s)
        done[block.unit] = max(ends_s, done.get(block.unit, 0))
        steps += block.steps
    done.pop(0, None)
    over_s, late = problem.limits.broken(starts) if problem.limits else (0, 0)
    return Figures(
        evenings=len(openings),
        last=opening,
        setups=sum(one.kind != other.kind for one, other in pairwise(steps)),
        walks=sum(one.resources != other.resources for one, other in pairwise(steps)),
        end_s=end,
        first_unit_s=min(done.values(), default=end),
        last_work_s=work.get(opening, 0),
        broken=(over_s, dark, late),
    )
