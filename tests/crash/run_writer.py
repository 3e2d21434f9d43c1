"""Writes notes into a session that others write into too: ``run_writer PATH NAME COUNT``."""

from __future__ import annotations

import sys
from pathlib import Path

from shopstep.session.commands import Refusal, TakeNote
from shopstep.storage.clock import SystemClock
from shopstep.storage.session_file import SessionFile
from shopstep.workbench import Workbench


def main(path: Path, name: str, count: int) -> None:
    """Prints each refusal; there must be none."""
    with SessionFile.open(path) as file:
        bench = Workbench(file, SystemClock("UTC"), name)
        for number in range(count):
            outcome = bench.do(TakeNote(id=f"{name}-{number}", text=f"{name} {number}"))
            if isinstance(outcome, Refusal):
                print(outcome.text, flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]))
