"""Tabu search for job-shop-like problems: activities of a critical block change places.

Moves: any activity of a block to the block's beginning or end, and the swaps at both ends (N6
after Balas and Vazacopoulos 1998, which holds N5 after Nowicki and Smutnicki 1996). A search that
gains nothing any more starts again from between two of its best schedules (path relinking after
Peng, Lü and Cheng 2015, here by mixing starts, so that no cycle can arise).
Imports ``engine.machines``.
"""

from __future__ import annotations

import heapq
import random
import time
from collections.abc import Sequence

from shopstep.sequence.engine.machines import Orders, Shop

PATIENCE = 1000
"""Moves in a row without gain after which the search starts from somewhere else."""
ELITE = 8
"""So many of the best schedules are kept."""
MIX = 0.3, 0.7
"""Where between two of them a new start lies."""
TENURE = 5, 10
"""For how many moves an order that was undone may not come back (measured: longer is worse)."""

Move = tuple[int, int, list[int]]
"""Machine, index of the first activity moved, the activities there in their new order."""


class SwapSearch:
    """Keeps the best starts; every call of ``run`` goes on where the last one stopped."""

    def __init__(self, shop: Shop, starts: Sequence[int], seed: int) -> None:
        self._shop = shop
        self._chance = random.Random(seed)
        self._now = order_by_keys(shop, starts)
        self._tabu: dict[tuple[int, int], int] = {}
        self._move = 0
        self._idle = 0
        self._local = self._now.length
        """The best since the last restart."""
        self._local_heads = self._now.heads
        self._elite: list[tuple[int, list[int]]] = []
        """(Length, starts), the best first."""
        self.length = self._now.length
        self.starts = self._now.heads

    def run(self, moves: int, until: float | None, goal: int) -> None:
        """So many moves, up to ``until`` of the monotonic clock or a length of ``goal``."""
        for count in range(moves):
            if self.length <= goal:
                return
            if until is not None and count % 16 == 0 and time.monotonic() >= until:
                return
            self._step()

    def _step(self) -> None:
        self._move += 1
        self._idle += 1
        if self._idle > PATIENCE or not self._take_best_move():
            self._restart()
            return
        length = self._now.length
        if length < self._local:
            self._local, self._local_heads, self._idle = length, self._now.heads, 0
        if length < self.length:
            self.length, self.starts = length, self._now.heads

    def _take_best_move(self) -> bool:
        """Makes the most promising move that is not forbidden; False where there is none."""
        ranked = sorted(
            ((self._now.estimate(move[2]), self._chance.random(), move) for move in self._moves()),
            key=lambda entry: entry[:2],
        )
        allowed = [e for e in ranked if e[0] < self.length or not self._is_tabu(e[2])]
        if not allowed:
            self._chance.shuffle(ranked)
            allowed = ranked
        return any(self._make(move) for _, _, move in allowed)

    def _moves(self) -> list[Move]:
        moves: list[Move] = []
        for block in self._now.blocks(self._chance):
            machine = self._shop.machine_of[block[0]]
            first = self._now.rows[machine].index(block[0])
            last = len(block) - 1
            for at in range(last):
                if at == last - 1 or self._now.can_go_last(block[at], block[last]):
                    moves.append((machine, first + at, [*block[at + 1 :], block[at]]))
            for at in range(1 if last > 1 else 2, last + 1):
                if at == 1 or self._now.can_go_first(block[at], block[0]):
                    moves.append((machine, first, [block[at], *block[:at]]))
        return moves

    def _is_tabu(self, move: Move) -> bool:
        return any(self._tabu.get(pair, 0) > self._move for pair in self._new_orders(move)[0])

    def _new_orders(self, move: Move) -> tuple[list[tuple[int, int]], list[tuple[int, int]]]:
        """Pairs (first, second) that the move brings about, and those that it ends."""
        machine, first, segment = move
        old = self._now.rows[machine][first : first + len(segment)]
        if segment[0] == old[-1]:
            made = [(old[-1], number) for number in old[:-1]]
        else:
            made = [(number, old[0]) for number in old[1:]]
        return made, [(second, first) for first, second in made]

    def _make(self, move: Move) -> bool:
        machine, first, segment = move
        old = self._now.rows[machine][first : first + len(segment)]
        ended = self._new_orders(move)[1]
        self._now.reorder(machine, first, segment)
        if not self._now.measure():
            self._now.reorder(machine, first, old)
            self._now.measure()
            return False
        until = self._move + self._chance.randint(*TENURE)
        for pair in ended:
            self._tabu[pair] = until
        return True

    def _restart(self) -> None:
        """From chance until there is an elite; then from between two of it, which is acyclic."""
        self._keep()
        self._idle = 0
        self._tabu.clear()
        if len(self._elite) < ELITE:
            keys = [self._chance.random() for _ in self._shop.releases]
            self._now = order_by_keys(self._shop, keys)
        else:
            (_, one), (_, other) = self._chance.sample(self._elite, 2)
            share = self._chance.uniform(*MIX)
            between = [a + share * (b - a) for a, b in zip(one, other, strict=True)]
            self._now = order_by_keys(self._shop, between)
        self._local, self._local_heads = self._now.length, self._now.heads

    def _keep(self) -> None:
        """The best since the last restart joins the elite, where it is new and good enough."""
        entry = self._local, self._local_heads
        if entry not in self._elite:
            self._elite.append(entry)
            self._elite.sort(key=lambda entry: entry[0])
            del self._elite[ELITE:]


def order_by_keys(shop: Shop, keys: Sequence[float]) -> Orders:
    """Orders on the machines by rising key, each activity after those that must precede it."""
    open_needs = [len(arcs) for arcs in shop.before]
    ready = [(keys[i], i) for i, needs in enumerate(open_needs) if not needs]
    heapq.heapify(ready)
    rows: list[list[int]] = [[] for _ in range(shop.machines)]
    while ready:
        _, number = heapq.heappop(ready)
        if shop.machine_of[number] >= 0:
            rows[shop.machine_of[number]].append(number)
        for other, _ in shop.after[number]:
            open_needs[other] -= 1
            if not open_needs[other]:
                heapq.heappush(ready, (keys[other], other))
    orders = Orders(shop, rows)
    orders.measure()
    return orders
