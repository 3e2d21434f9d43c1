"""The door of the engine: one problem in, the best schedule and a bound out, at any moment.

Search goes in rounds: orders are disturbed and built again, blocks on single machines change
places, cases are decided one way and the other, and a prover outside may be asked; whoever finds
a better schedule hands it to the others. Imports the engine's other modules.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import Protocol

from shopstep.sequence.engine.bounds import bound_length
from shopstep.sequence.engine.exact import ExactSearch
from shopstep.sequence.engine.improving import Improver
from shopstep.sequence.engine.machines import Shop, make_shop
from shopstep.sequence.engine.network import Contradiction, Network, make_network
from shopstep.sequence.engine.outcome import Answer, Limits, Outcome
from shopstep.sequence.engine.problem import Problem, check_problem
from shopstep.sequence.engine.repairing import is_feasible, repair_starts
from shopstep.sequence.engine.swaps import SwapSearch

EXACT_SIZE = 130
"""Largest count of activities for which all longest paths are kept, and cases decided."""
TRIES, MOVES, CASE_WORK = 30, 100, 24_000
"""Orders, swaps and cases (so much work, at the square of the activities each) of one round."""
ENOUGH_WORK, RARELY = 4_000_000, 8
"""After so much work on cases only every eighth round decides any where proofs are unlikely: in
shops, and above ``SMALL``. Swaps and new orders gain more there."""
SMALL = 60
ASK_AFTER_S = 0.25
"""A prover is asked only what the search alone has not settled by then: most are by then."""
LONG_S = 3600.0
"""What a prover gets where the search is limited by rounds alone."""
TEN_SECONDS = Limits(seconds=10.0)


class Prover(Protocol):
    """Someone outside who may settle a problem while the search goes on."""

    def ask(self, problem: Problem, starts: Sequence[int] | None, seconds: float) -> None:
        """Begins to look for a schedule at least as short as ``starts``; returns at once."""

    def answer(self) -> Answer | None:
        """What was found, once; None while there is nothing."""


def solve_problem(
    problem: Problem,
    limits: Limits = TEN_SECONDS,
    seed: int = 0,
    starts: Sequence[int] | None = None,
    prover: Prover | None = None,
) -> Outcome:
    """The shortest schedule that was found within the limits, the best first.

    ``starts`` is a schedule to begin from (any order; what it breaks is repaired, so it may come
    from another problem with the same activities); the outcome is never longer than a repaired
    one. Without a prover the same seed and ``limits.rounds`` give the same outcome everywhere.
    Raises ``BadProblem`` where the problem contradicts its own shape.
    """
    check_problem(problem)
    if not problem.activities:
        return Outcome((), 0, 0)
    try:
        network = make_network(problem)
    except Contradiction as why:
        return Outcome(None, None, 0, infeasible=True, reason=str(why))
    return _Search(network, limits, seed, starts, prover).run()


class _Search:
    """The state of one ``solve_problem``."""

    def __init__(
        self,
        network: Network,
        limits: Limits,
        seed: int,
        starts: Sequence[int] | None,
        prover: Prover | None,
    ) -> None:
        begun = time.monotonic()
        self._ask_at = begun + ASK_AFTER_S if prover is not None else None
        self._network = network
        self._limits = limits
        self._until = None if limits.seconds is None else begun + limits.seconds
        self._seed = seed
        self._prover = prover
        self._improver = Improver(network, seed)
        self._swaps: SwapSearch | None = None
        self._shop: Shop | None = None
        self._exact: ExactSearch | None = None
        self._bound = bound_length(network)
        self._rounds = 0
        self._infeasible = False
        repaired = repair_starts(network, starts) if starts is not None else None
        if repaired is not None:
            self._improver.offer(repaired)

    def run(self) -> Outcome:
        """Rounds until something is proved or a limit is reached."""
        if not self._is_over():
            self._improver.run(TRIES, self._until, self._bound)
            self._rounds += 1
        if not self._is_over():
            self._shop = make_shop(self._network)
            if self._network.size <= EXACT_SIZE:
                self._exact = ExactSearch(self._network)
        while not self._is_over():
            self._round()
            self._rounds += 1
        best = self._improver
        starts = tuple(best.starts) if best.starts is not None and not self._infeasible else None
        return Outcome(
            starts,
            best.length if starts is not None else None,
            0 if self._infeasible else self._bound,
            self._infeasible,
            "Every order of the activities breaks a lag." if self._infeasible else "",
            self._rounds,
        )

    def _is_over(self) -> bool:
        length, limits = self._improver.length, self._limits
        return (
            self._infeasible
            or (length is not None and length <= self._bound)
            or (limits.rounds is not None and self._rounds >= limits.rounds)
            or (self._until is not None and time.monotonic() >= self._until)
        )

    def _round(self) -> None:
        if self._shop is not None and self._improver.starts is not None:
            self._swap(self._shop, self._improver.starts)
        else:
            self._improver.run(TRIES, self._until, self._bound)
        self._decide_cases()
        self._ask()
        self._hear()

    def _swap(self, shop: Shop, starts: Sequence[int]) -> None:
        if self._swaps is None:
            self._swaps = SwapSearch(shop, starts, self._seed)
        self._swaps.run(MOVES, self._until, self._bound)
        self._improver.offer(self._swaps.starts)

    def _decide_cases(self) -> None:
        """Some cases; when none is left, the best schedule is proved, or that there is none."""
        exact = self._exact
        size = self._network.size
        if exact is None or (self._rounds % RARELY and self._is_unlikely(exact, size)):
            return
        cases = max(5, CASE_WORK // size**2)
        length = exact.run(self._improver.length, cases, self._until)
        if length is not None and exact.starts is not None:
            self._improver.offer(exact.starts)
        if exact.is_done:
            self._exact = None
            if self._improver.length is None:
                self._infeasible = True
            else:
                self._bound = self._improver.length

    def _is_unlikely(self, exact: ExactSearch, size: int) -> bool:
        """Whether enough was decided to doubt that deciding more will prove anything soon."""
        return exact.cases * size**2 > ENOUGH_WORK and (self._swaps is not None or size > SMALL)

    def _ask(self) -> None:
        now = time.monotonic()
        if self._prover is not None and self._ask_at is not None and now >= self._ask_at:
            self._ask_at = None
            left = LONG_S if self._until is None else self._until - now
            self._prover.ask(self._network.problem, self._improver.starts, left)

    def _hear(self) -> None:
        """Takes a prover's word for proofs, but not for schedules: these are looked at."""
        answer = self._prover.answer() if self._prover is not None else None
        if answer is None:
            return
        best = self._improver
        if answer.starts is not None and is_feasible(self._network, answer.starts):
            best.offer(answer.starts)
        if best.length is None:
            self._infeasible = answer.infeasible
        elif answer.bound <= best.length:
            self._bound = max(self._bound, answer.bound)
