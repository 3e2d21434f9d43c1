"""Writes notes into a session that others write into too: ``run_writer PATH NAME COUNT [SECONDS]``.

With seconds it stops after so long, and says how many notes it stored.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from shopstep.session.commands import Refusal, TakeNote
from shopstep.storage.clock import FixedClock
from shopstep.storage.session_file import SessionFile
from shopstep.workbench import Workbench
from tests.sample_plan import BEGIN_S


def main(path: Path, name: str, count: int, seconds: float | None = None) -> None:
    """Prints each refusal; there must be none."""
    with SessionFile.open(path) as file:
        bench = Workbench(file, FixedClock(BEGIN_S + 60), name)
        ends = None if seconds is None else time.monotonic() + seconds
        for number in range(count):
            if ends is not None and time.monotonic() > ends:
                print(f"stored {number}", flush=True)
                return
            outcome = bench.do(TakeNote(id=f"{name}-{number}", text=f"{name} {number}"))
            if isinstance(outcome, Refusal):
                print(outcome.text, flush=True)


if __name__ == "__main__":
    limit = float(sys.argv[4]) if len(sys.argv) > 4 else None
    main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), limit)
