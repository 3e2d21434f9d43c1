"""Ticks over session and rack killed at random moments, many more than the tests kill.

``python -m tests.benchmarks.rack_crash [RUNS [planed]]`` (200 where none is given; ``planed``: at
the planer instead of the rough cut).
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.test_rack_crash import PLANED, ROUGH, check_run, make_template


def main(arguments: list[str]) -> None:
    """Ends with an AssertionError where a run left session and rack apart."""
    if "--help" in arguments:
        print(__doc__)
        return
    runs = int(arguments[0]) if arguments else 200
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(max_workers=4) as pool:
        os.environ["XDG_DATA_HOME"] = folder
        template = make_template(Path(folder), PLANED if "planed" in arguments else ROUGH)
        took = list(pool.map(lambda seed: check_run(template, seed), range(1_000, 1_000 + runs)))
    print(
        f"{runs} runs killed, {sum(took)} with the tick and {runs - sum(took)} without it;"
        f" session and rack agreed in all, {time.monotonic() - began:.0f} s"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
