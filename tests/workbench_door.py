"""A workbench over a journal in memory, with a planner that is told what to give."""

from __future__ import annotations

from shopstep.session import commands as c
from shopstep.storage.clock import FixedClock
from shopstep.workbench import Accepted, Planner, Workbench
from tests.sample_plan import BEGIN_S
from tests.session_bench import (
    MemoryJournal,
)


def do(bench: Workbench, command: c.Command) -> Accepted:
    """Gives a command that must be accepted."""
    outcome = bench.do(command)
    assert isinstance(outcome, Accepted), outcome
    return outcome


def open_bench(
    journal: MemoryJournal, planner: Planner | None = None, face: str = "bench"
) -> tuple[Workbench, FixedClock]:
    """A workbench whose clock stands at the beginning."""
    clock = FixedClock(BEGIN_S)
    return Workbench(journal, clock, face, planner), clock
