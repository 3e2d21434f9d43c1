"""Longest waits: how long a step may be put off after another one; kept while blocks are placed.

A limit runs over nights, so it binds no block together. Where an order breaks it, the earlier block
is put off, and what lies between goes first. Imports this room's blocks and bonds.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from shopstep.model.plan import Finding, Level, Where
from shopstep.model.step import Step, Wait, WaitKind
from shopstep.sequence.blocks import Block
from shopstep.sequence.bonds import Bonds
from shopstep.sequence.hours import Hours
from shopstep.units import format_span
from shopstep.words import say

_ROUNDS = 16
"""How often the earlier blocks are put off before another order is tried."""

Releases = Mapping[int, int]
"""Block → moment before which it is not placed."""
Lay = Callable[[Sequence[int], Releases], tuple[int, ...]]
"""Ranks and releases → starts of all blocks."""


@dataclass(frozen=True, slots=True)
class Limit:
    """One longest wait between two blocks, or from something done to a block."""

    earlier: int | None
    """None where the earlier step is done."""
    later: int
    most_s: int
    """From the start of the earlier block to the start of the later; else the latest moment."""

    def over_s(self, starts: Sequence[int]) -> int:
        """Seconds by which the later block comes too late."""
        begin_s = 0 if self.earlier is None else starts[self.earlier]
        return max(0, starts[self.later] - begin_s - self.most_s)


@dataclass(frozen=True, slots=True)
class Limits:
    """All longest waits of a problem."""

    ahead: tuple[Limit, ...] = ()
    """Both blocks are still to be placed: these are kept, or there is no plan."""
    running: tuple[Limit, ...] = ()
    """The earlier step is done; kept where it can be, else said."""
    tight: dict[int, int] = field(default_factory=dict, compare=False)
    """Filled when first asked for: blocks on the way to a later one, with the least span."""

    def __bool__(self) -> bool:
        return bool(self.ahead or self.running)

    def broken(self, starts: Sequence[int]) -> tuple[int, int]:
        """Seconds over of what is ahead, and how many of those that run come too late."""
        over = sum(limit.over_s(starts) for limit in self.ahead)
        return over, sum(limit.over_s(starts) > 0 for limit in self.running)


def find_limits(bonds: Bonds, blocks: Sequence[Block], hours: Hours) -> Limits:
    """The limits between blocks; one that is past or lies inside a block binds nothing.

    Work outdoors that only some days can hold has to begin while there are such days.
    """
    place = {
        step.id: (number, offset)
        for number, block in enumerate(blocks)
        for step, offset in zip(block.steps, block.offsets, strict=True)
    }
    ahead: dict[tuple[int, int], int] = {}
    running: dict[int, int] = {}
    for number, each in enumerate(blocks):
        last_s = hours.last_light_s(each.span_s, each.machine, each.light)
        if last_s is not None:
            running[number] = last_s
    for (one, other), most_s in bonds.put_off.items():
        earlier, later = bonds.steps[one], bonds.steps[other]
        if later.id not in place:
            continue
        block, offset = place[later.id]
        if earlier.id in bonds.fixed:
            moment = bonds.fixed[earlier.id][1] + most_s - offset
            if moment >= bonds.begin_s:
                running[block] = min(moment, running.get(block, moment))
            continue
        before, begins = place[earlier.id]
        if before != block:
            span_s = begins + earlier.duration_s + most_s - offset
            ahead[before, block] = min(span_s, ahead.get((before, block), span_s))
    return Limits(
        tuple(Limit(one, other, most_s) for (one, other), most_s in ahead.items()),
        tuple(Limit(None, block, moment) for block, moment in running.items()),
    )


def keep_limits(
    blocks: Sequence[Block],
    limits: Limits,
    ranks: Sequence[int],
    first: tuple[int, ...],
    lay: Lay,
) -> tuple[int, ...]:
    """The starts of an order in which the limits are kept, as far as that is found.

    ``first``: the starts that the ranks give by themselves.
    """
    best = first
    between = _between_first(blocks, limits, ranks)
    for wanted, stand_back in ((ranks, _put_off), (between, _put_off), (between, _hold_back)):
        releases: dict[int, int] = {}
        starts = first if wanted is ranks else lay(wanted, releases)
        for _ in range(_ROUNDS):
            best = min(best, starts, key=limits.broken)
            late = [limit for limit in limits.ahead if limit.over_s(starts)]
            if not late or not stand_back(blocks, releases, late, starts):
                break
            starts = lay(wanted, releases)
        if limits.broken(best) == (0, 0):
            break
    return best


def _put_off(
    blocks: Sequence[Block],
    releases: dict[int, int],
    late: Sequence[Limit],
    starts: Sequence[int],
) -> bool:
    """The earlier blocks of limits that are broken come as much later as these are over."""
    del blocks
    moments = [(n.earlier, starts[n.later] - n.most_s) for n in late if n.earlier is not None]
    return _release(releases, moments)


def _hold_back(
    blocks: Sequence[Block],
    releases: dict[int, int],
    late: Sequence[Limit],
    starts: Sequence[int],
) -> bool:
    """What runs when a later block could begin waits until then, so that hands are free for it."""
    moments: list[tuple[int, int]] = []
    for limit in late:
        later = blocks[limit.later]
        ready_s = max([later.earliest_s, *(starts[n] + lag for n, lag in later.lags)])
        moments += [
            (number, ready_s)
            for number, block in enumerate(blocks)
            if starts[number] < starts[limit.later] and starts[number] + block.span_s > ready_s
        ]
    return _release(releases, moments)


def _release(releases: dict[int, int], moments: Sequence[tuple[int, int]]) -> bool:
    """Blocks come not before these moments; whether that is new for any."""
    new = [(block, moment) for block, moment in moments if moment > releases.get(block, 0)]
    for block, moment in new:
        releases[block] = max(moment, releases.get(block, moment))
    return bool(new)


def _between_first(
    blocks: Sequence[Block], limits: Limits, ranks: Sequence[int]
) -> tuple[int, ...]:
    """Ranks in which all that stands on the way to a later block goes first, the tightest before.

    What a running limit waits for goes before all. Limits are for beginnings, so of two as tight
    the longer goes last: the largest delay is least in the order of limit and length together
    (J. R. Jackson 1955, for due dates; from memory).
    """
    if not limits.tight:
        limits.tight.update(_on_the_way(blocks, limits))
    tight = limits.tight
    hot = sorted(tight, key=lambda n: (tight[n] + blocks[n].span_s, ranks[n]))
    first = {number: place - len(hot) for place, number in enumerate(hot)}
    return tuple(first.get(n, rank) for n, rank in enumerate(ranks))


def _on_the_way(blocks: Sequence[Block], limits: Limits) -> dict[int, int]:
    needed = [[earlier for earlier, _ in block.lags] for block in blocks]
    followers: list[list[int]] = [[] for _ in blocks]
    for number, before in enumerate(needed):
        for earlier in before:
            followers[earlier].append(number)
    tight: dict[int, int] = {}
    for limit in (*limits.running, *limits.ahead):
        way = _reached(limit.later, needed)
        if limit.earlier is not None:
            way = (way & _reached(limit.earlier, followers)) - {limit.earlier}
        span_s = 0 if limit.earlier is None else limit.most_s
        for number in way:
            tight[number] = min(span_s, tight.get(number, span_s))
    return tight


def _reached(start: int, edges: Sequence[Sequence[int]]) -> set[int]:
    found, ahead = {start}, [start]
    while ahead:
        fresh = [n for n in edges[ahead.pop()] if n not in found]
        found.update(fresh)
        ahead += fresh
    return found


def least_between(steps: Sequence[Step], waits: Sequence[Wait], limit: Wait) -> int:
    """The least seconds from the end of the earlier step to the start of the later, by any chain.

    Work and least waits alone; hands and hours are left out. 0 where nothing stands between.
    """
    into: dict[str, list[tuple[str, int]]] = {step.id: [] for step in steps}
    for step in steps:
        into[step.id] += [(need, 0) for need in step.needs if need in into]
    for wait in waits:
        if wait.is_least:
            into[wait.before].append((wait.after, wait.seconds))
    length = {step.id: step.duration_s for step in steps}
    known: dict[str, int | None] = {limit.after: 0}
    ahead = [limit.before]
    while ahead:
        at = ahead[-1]
        unknown = [one for one, _ in into[at] if one not in known]
        if at in known or not unknown:
            ahead.pop()
            if at not in known:
                found = [
                    far + lag + (length[one] if one != limit.after else 0)
                    for one, lag in into[at]
                    if (far := known[one]) is not None
                ]
                known[at] = max(found, default=None)
        else:
            ahead += unknown
    return known[limit.before] or 0


def too_late(
    steps: Sequence[Step], waits: Sequence[Wait], fixed: Mapping[str, tuple[int, int]]
) -> list[tuple[int, Wait]]:
    """Every longest wait that these times break, with the seconds over; not what is all done."""
    begins = {step.id: step.start_s for step in steps}
    ends = {step.id: step.end_s for step in steps}
    return [
        (over, wait)
        for wait in waits
        if wait.kind is WaitKind.WITHIN and wait.before not in fixed
        for over in [begins[wait.before] - ends[wait.after] - wait.seconds]
        if over > 0
    ]


def cannot_keep(
    steps: Sequence[Step], waits: Sequence[Wait], late: Sequence[tuple[int, Wait]]
) -> Finding:
    """A STOP that names the limit, what breaks it, and what would loosen it."""
    over_s, wait = max(late, key=lambda each: each[0])
    most = format_span(wait.seconds)
    least_s = least_between(steps, waits, wait)
    if least_s > wait.seconds:
        text = say(
            "'{before}' has to begin within {most} after '{after}', and what stands "
            "between them takes at least {least}.",
            before=wait.before,
            most=most,
            after=wait.after,
            least=format_span(least_s),
        )
        remedy = say("Allow more time there, or let what is between come before the first of them.")
        return Finding(Level.STOP, "put_off", text, Where(name=wait.before), remedy)
    text = say(
        "No order of the steps was found in which '{before}' begins within {most} after "
        "'{after}'; the nearest comes {over} too late.",
        before=wait.before,
        most=most,
        after=wait.after,
        over=format_span(over_s),
    )
    remedy = say("Allow more time there, make fewer units at a time, or open the shop more often.")
    return Finding(Level.STOP, "put_off", text, Where(name=wait.before), remedy)


def say_late(over_s: int, wait: Wait) -> Finding:
    """A WARN for a step that comes too late in a batch that is under way."""
    text = say(
        "'{before}' begins {over} later than the {seconds} after '{after}' that are good for it.",
        before=wait.before,
        over=format_span(over_s),
        seconds=format_span(wait.seconds),
        after=wait.after,
    )
    return Finding(Level.WARN, "put_off_late", text, Where(name=wait.before), wait.late)
