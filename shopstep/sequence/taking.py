"""Clamps and drying places: which orders of blocks never run out of them.

One person does one block after the other, so what is taken depends on the order alone. Imports
this room's blocks.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopstep.sequence.blocks import Block, Take

_MOST_STATES = 3_000
"""States that are looked at before no order counts as possible."""

Levels = tuple[int, ...]
"""How much of each resource is taken."""


def take(takes: Sequence[Take], levels: Levels, capacity: Levels) -> Levels | None:
    """The levels after a block, or None where it would take more than there is."""
    now = list(levels)
    for resource, amount in takes:
        now[resource] += amount
        if amount > 0 and now[resource] > capacity[resource]:
            return None
    return tuple(now)


def is_harmless(takes: Sequence[Take]) -> bool:
    """Whether a block never holds more of anything than before it: it can go at any time."""
    now: dict[int, int] = {}
    for resource, amount in takes:
        now[resource] = now.get(resource, 0) + amount
        if now[resource] > 0:
            return False
    return True


def levels_at_begin(blocks: Sequence[Block], resources: int) -> Levels:
    """What is taken already: given back by some block, but taken by none."""
    levels = [0] * resources
    for block in blocks:
        for resource, amount in block.takes:
            levels[resource] -= amount
    return tuple(max(level, 0) for level in levels)


def find_safe_order(blocks: Sequence[Block], capacity: Levels) -> list[int] | None:
    """Some order of all blocks that never runs out of anything, or None where none was found.

    Blocks that only give back go as soon as they can, since that never does harm; the search is
    over the others, unit after unit first.
    """
    search = _OrderSearch(blocks, capacity)
    return search.run()


class _OrderSearch:
    """Depth first over the sets of blocks done, without recursion."""

    def __init__(self, blocks: Sequence[Block], capacity: Levels) -> None:
        self.blocks = blocks
        self.capacity = capacity
        self.followers: list[list[int]] = [[] for _ in blocks]
        for number, block in enumerate(blocks):
            for earlier, _ in block.lags:
                self.followers[earlier].append(number)
        self.harmless = [is_harmless(block.takes) for block in blocks]
        self.waiting = [len(block.lags) for block in blocks]
        self.levels = levels_at_begin(blocks, len(capacity))
        self.order: list[int] = []
        self.free: tuple[set[int], set[int]] = (set(), set())
        """Free blocks: those that take something, and the harmless ones."""
        for number, count in enumerate(self.waiting):
            if not count:
                self._free_like(number).add(number)
        self.mask = 0
        """Bit n is set where block n is done."""
        self.failed: set[int] = set()

    def run(self) -> list[int] | None:
        """The order, or None."""
        choices: list[tuple[int, list[int]]] = []
        """For each choice made: how many blocks were done before it, and what else there was."""
        for _ in range(_MOST_STATES):
            self._do_harmless()
            if len(self.order) == len(self.blocks):
                return self.order
            options = [] if self.mask in self.failed else self._options()
            choices.append((len(self.order), options))
            while choices and not choices[-1][1]:
                self._undo_to(choices.pop()[0])
                self.failed.add(self.mask)
                if choices:
                    self._undo_to(choices[-1][0])
            if not choices:
                return None
            self._do(choices[-1][1].pop())
        return None

    def _options(self) -> list[int]:
        """Blocks that may take something now; the last is the best."""
        fitting = [
            n
            for n in self.free[0]
            if take(self.blocks[n].takes, self.levels, self.capacity) is not None
        ]
        return sorted(fitting, key=lambda n: (self.blocks[n].unit, self.blocks[n].rank))[::-1]

    def _do_harmless(self) -> None:
        while self.free[1]:
            self._do(next(iter(self.free[1])))

    def _free_like(self, number: int) -> set[int]:
        return self.free[self.harmless[number]]

    def _do(self, number: int) -> None:
        levels = list(self.levels)
        for resource, amount in self.blocks[number].takes:
            levels[resource] += amount
        self.levels = tuple(levels)
        self.order.append(number)
        self.mask ^= 1 << number
        self._free_like(number).remove(number)
        for follower in self.followers[number]:
            self.waiting[follower] -= 1
            if not self.waiting[follower]:
                self._free_like(follower).add(follower)

    def _undo_to(self, done: int) -> None:
        while len(self.order) > done:
            number = self.order.pop()
            self.mask ^= 1 << number
            levels = list(self.levels)
            for resource, amount in self.blocks[number].takes:
                levels[resource] -= amount
            self.levels = tuple(levels)
            for follower in self.followers[number]:
                if not self.waiting[follower]:
                    self._free_like(follower).remove(follower)
                self.waiting[follower] += 1
            self._free_like(number).add(number)


class SafeOrder:
    """Remembers one order that works, so that no choice can run into a dead end."""

    def __init__(self, blocks: Sequence[Block], order: Sequence[int], capacity: Levels) -> None:
        self._blocks = blocks
        self._capacity = capacity
        self._left = [number for number in order if blocks[number].takes]
        self._harmless = [is_harmless(block.takes) for block in blocks]
        self.levels = levels_at_begin(blocks, len(capacity))

    def allows(self, number: int) -> bool:
        """Whether the block may go next and all that is left still can be done after it."""
        if self._harmless[number]:
            return True
        levels = take(self._blocks[number].takes, self.levels, self._capacity)
        for later in self._left:
            if levels is None:
                return False
            if later != number:
                levels = take(self._blocks[later].takes, levels, self._capacity)
        return levels is not None

    def go(self, number: int) -> None:
        """The block goes next."""
        takes = self._blocks[number].takes
        if takes:
            levels = list(self.levels)
            for resource, amount in takes:
                levels[resource] += amount
            self.levels = tuple(levels)
            self._left.remove(number)
