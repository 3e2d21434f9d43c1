"""Plays a seeded bench on a session file until it is killed: ``run_bench PATH SEED``.

The first line names heavy libraries that were loaded (there must be none); after it, each line
is out before the next thing is done.
"""

from __future__ import annotations

import sys
from pathlib import Path

from shopstep.storage.clock import FixedClock
from shopstep.storage.session_file import SessionFile
from shopstep.workbench import Workbench
from tests.crash.drive import HEAVY, drive
from tests.sample_plan import BEGIN_S


def main(path: Path, seed: int) -> None:
    """Never returns."""
    clock = FixedClock(BEGIN_S)
    with SessionFile.open(path) as file:
        bench = Workbench(file, clock, "bench")
        bench.card()
        print("heavy", *(name for name in HEAVY if name in sys.modules), flush=True)
        for line in drive(bench, clock, seed):
            print(line, flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
