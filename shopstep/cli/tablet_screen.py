"""The bench screen for one tablet, on the standard streams of a process that the server started."""

from __future__ import annotations

import sys

from shopstep.cli.output import say_problem
from shopstep.tui import run_bench
from shopstep.wiring.benches import open_session
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.problems import Problem


def main(path: str) -> int:
    """Show a session's bench until the person leaves; gives the exit code."""
    try:
        opened = open_session(path, make_clock(None), "tablet")
    except Problem as problem:
        say_problem(problem)
        return int(problem.code)
    return run_bench(opened.bench)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
