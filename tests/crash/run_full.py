"""Writes into a session until the disk is full: ``run_full PATH BYTES``.

The limit on the size of files stands for the disk. Prints each version that is confirmed, then the
sentence that a person reads.
"""

from __future__ import annotations

import resource
import signal
import sys
from pathlib import Path

from shopstep.session.commands import TakeNote
from shopstep.storage.clock import FixedClock
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.session_file import SessionFile
from shopstep.workbench import Workbench
from tests.sample_plan import BEGIN_S


def main(path: Path, room: int) -> None:
    """Ends when nothing more can be written."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    with SessionFile.open(path) as file:
        bench = Workbench(file, FixedClock(BEGIN_S), "bench")
        limit = path.stat().st_size + room
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
        for number in range(10_000):
            try:
                bench.do(TakeNote(id=f"n{number}", text="x" * 3000))
            except SessionFileError as problem:
                print(problem.text, flush=True)
                return
            print(bench.state.version, flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
