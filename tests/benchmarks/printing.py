"""Printing all sheets of a build: seconds and memory, each in a process of its own.

    python -m tests.benchmarks.printing [UNITS ...]

Beside it the same command without paper (``plan``), so that both are judged in one run.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

SHOPSTEP = (sys.executable, "-m", "shopstep")


def main() -> int:
    """Prints a row for each batch."""
    units = [int(word) for word in sys.argv[1:]] or [1, 2, 12]
    print("units   plan s  print s   pages' MB   most memory MB")
    for number in units:
        with tempfile.TemporaryDirectory() as folder:
            pdf = Path(folder) / "all.pdf"
            batch = ("screened-floor", "--units", str(number))
            plan_s = seconds((*SHOPSTEP, "plan", *batch))
            print_s = seconds((*SHOPSTEP, "print", *batch, "--to", str(pdf)))
            most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
            size = pdf.stat().st_size / 1e6
        print(f"{number:5}  {plan_s:7.2f}  {print_s:7.2f}   {size:9.2f}   {most:14.0f}")
    return 0


def seconds(command: tuple[str, ...]) -> float:
    """How long a command takes; CalledProcessError where it fails."""
    began = perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return perf_counter() - began


if __name__ == "__main__":
    sys.exit(main())
