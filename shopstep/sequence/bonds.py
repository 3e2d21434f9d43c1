"""What binds the steps to each other, by number: order, least waits, open times, fixed steps.

Imports ``shopstep.model`` and this room.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopstep.model.step import Hold, Step, Wait, WaitKind
from shopstep.sequence.checks import links
from shopstep.sequence.graph import reachable, turn_round

Span = tuple[int, int]
"""Start and end, seconds since 1970 UTC."""


@dataclass(frozen=True, slots=True)
class Bonds:
    """The steps of a plan and everything that orders them. Checked before: no unknown names."""

    steps: tuple[Step, ...]
    waits: tuple[Wait, ...]
    holds: tuple[Hold, ...]
    fixed: Mapping[str, Span]
    begin_s: int
    """Nobody is free before: the moment asked for, or the end of the last fixed step."""
    number: dict[str, int]
    """Step id → number."""
    after: list[set[int]]
    """For each step the steps that come after it, fixed ones too."""
    before: list[set[int]]
    lags: dict[tuple[int, int], int]
    """(Earlier, later) → least seconds from end to start; 0 where only the order matters."""
    limits: dict[tuple[int, int], int]
    """(Spread, close) → most seconds from start to end."""
    put_off: dict[tuple[int, int], int]
    """(Earlier, later) → most seconds from end to start."""

    def is_fixed(self, step: int) -> bool:
        """Whether the step has its times already."""
        return self.steps[step].id in self.fixed

    def earliest_s(self, step: int) -> int:
        """Not before this moment, by what is fixed."""
        moment = self.begin_s
        for earlier in self.before[step]:
            if self.is_fixed(earlier):
                end = self.fixed[self.steps[earlier].id][1]
                moment = max(moment, end + self.lags[earlier, step])
        return moment

    def deadlines(self) -> dict[int, int]:
        """Step → moment by which it must end, for glue that is spread already."""
        due: dict[int, int] = {}
        for (spread, close), most in self.limits.items():
            if self.is_fixed(spread) and not self.is_fixed(close):
                moment = self.fixed[self.steps[spread].id][0] + most
                due[close] = min(moment, due.get(close, moment))
        return due

    def following(self) -> list[tuple[int, int]]:
        """(Step, step that follows it at once)."""
        return [
            (self.number[step.behind], i)
            for i, step in enumerate(self.steps)
            if step.behind is not None
        ]

    def followed_at(self, step: int) -> tuple[int, ...]:
        """The end of the fixed step that this one has to follow at once, if there is one."""
        behind = self.steps[step].behind
        if behind is None or behind not in self.fixed:
            return ()
        return (self.fixed[behind][1],)

    def between(self, earlier: int, later: int) -> set[int]:
        """The steps on the way from one to the other, both among them."""
        return reachable(self.after, earlier) & reachable(self.before, later)


def bind_steps(
    steps: tuple[Step, ...],
    waits: tuple[Wait, ...],
    holds: tuple[Hold, ...],
    begin_s: int,
    fixed: Mapping[str, Span],
) -> Bonds:
    """All bonds of a checked problem; ids in ``fixed`` that are no step are passed over."""
    number = {step.id: i for i, step in enumerate(steps)}
    known = {name: span for name, span in fixed.items() if name in number}
    lags: dict[tuple[int, int], int] = {}
    limits: dict[tuple[int, int], int] = {}
    put_off: dict[tuple[int, int], int] = {}
    for earlier, later in links(steps, waits, holds):
        lags[number[earlier], number[later]] = 0
    for wait in waits:
        pair = number[wait.after], number[wait.before]
        if wait.kind is WaitKind.OPEN:
            limits[pair] = min(wait.seconds, limits.get(pair, wait.seconds))
        elif wait.kind is WaitKind.WITHIN:
            put_off[pair] = min(wait.seconds, put_off.get(pair, wait.seconds))
        else:
            lags[pair] = max(wait.seconds, lags[pair])
    after: list[set[int]] = [set() for _ in steps]
    for earlier_step, later_step in lags:
        after[earlier_step].add(later_step)
    return Bonds(
        steps=steps,
        waits=waits,
        holds=holds,
        fixed=known,
        begin_s=max([begin_s, *(end for _, end in known.values())]),
        number=number,
        after=after,
        before=turn_round(after),
        lags=lags,
        limits=limits,
        put_off=put_off,
    )
