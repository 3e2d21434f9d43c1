"""How a long session compares with a short one: opening, and one command.

``python -m tests.benchmarks.session_size [EVENTS]`` (10,000 where none is given).
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from shopstep.planner import make_plan
from shopstep.session.commands import TakeNote
from shopstep.session.events import BatchHeld, BatchResumed, Event
from shopstep.storage.clock import FixedClock
from shopstep.storage.session_file import SessionFile
from shopstep.workbench import Workbench
from tests.floor import BEGIN_S, floor_request
from tests.session_bench import first_events, moment_at, new_id


def make_session(folder: Path, events: int) -> Path:
    """Two floors with so many events, opened once as every session is."""
    path = folder / f"{events}.session"
    plan = make_plan(floor_request())
    first = first_events(plan, BEGIN_S)
    with SessionFile.create(
        path, floor_request(), plan, first, moment_at(BEGIN_S), "bench"
    ) as journal:
        version = len(first)
        while version < events:
            count = min(200, events - version)
            holds: tuple[Event, ...] = tuple(
                BatchHeld("supper") if n % 2 else BatchResumed() for n in range(count)
            )
            journal.append(version, holds, moment_at(BEGIN_S), "do", f"c{version}")
            version += count
        Workbench(journal, FixedClock(BEGIN_S), "do")
    return path


def best_s(act: Callable[[], object], runs: int = 15) -> float:
    """The least wall-clock seconds of some runs."""
    times = []
    for _ in range(runs):
        began = time.perf_counter()
        act()
        times.append(time.perf_counter() - began)
    return min(times)


def measure(path: Path) -> tuple[float, float]:
    """Seconds to open with a card, and for one command."""

    def open_it() -> None:
        with SessionFile.open(path) as journal:
            Workbench(journal, FixedClock(BEGIN_S), "do").card()

    opening = best_s(open_it)
    with SessionFile.open(path) as journal:
        bench = Workbench(journal, FixedClock(BEGIN_S), "do")
        command = best_s(lambda: bench.do(TakeNote(id=new_id() + path.stem, text="x")))
    return opening, command


def main(arguments: list[str]) -> None:
    """Prints both sessions and the ratios."""
    events = int(arguments[0]) if arguments else 10_000
    with tempfile.TemporaryDirectory() as folder:
        small, large = (measure(make_session(Path(folder), n)) for n in (10, events))
    print(f"{'':14} {10:>9} {events:>9} events")
    for name, one, other in zip(("open", "one command"), small, large, strict=True):
        ms = f"{one * 1000:>6.1f} ms {other * 1000:>6.1f} ms"
        print(f"{name:14} {ms}   {other / one:4.1f} ×")


if __name__ == "__main__":
    main(sys.argv[1:])
