"""The bench screen for one tablet, on the standard streams of a process that the server started."""

from __future__ import annotations

import os
import sys
import threading
import time

from shopstep.cli.output import say_problem
from shopstep.tui import run_bench
from shopstep.wiring.benches import open_session
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.languages import speak_as_chosen
from shopstep.wiring.problems import Problem
from shopstep.wiring.screens import make_pictures, put_offcut

LOOK_S = 1.0


def end_with_server() -> None:
    """Ends this process when the server that started it is gone; all is on disk at any time."""
    server = os.getppid()

    def watch() -> None:
        while os.getppid() == server:
            time.sleep(LOOK_S)
        os._exit(0)

    threading.Thread(target=watch, daemon=True, name="server").start()


def main(path: str) -> int:
    """Show a session's bench until the person leaves; gives the exit code."""
    speak_as_chosen()
    try:
        opened = open_session(path, make_clock(None), "tablet")
    except Problem as problem:
        say_problem(problem)
        return int(problem.code)
    put = put_offcut(opened.bench.plan.display)
    return run_bench(opened.bench, pictures=make_pictures(), put_offcut=put)


if __name__ == "__main__":
    end_with_server()
    sys.exit(main(sys.argv[1]))
