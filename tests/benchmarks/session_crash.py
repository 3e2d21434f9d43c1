"""Sessions killed at random moments, many more than the tests kill.

``python -m tests.benchmarks.session_crash [RUNS]`` (2,000 where none is given).
"""

from __future__ import annotations

import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.test_session_crash import check_run, make_template


def main(arguments: list[str]) -> None:
    """Ends with an AssertionError where a confirmed command is lost or a file does not open."""
    runs = int(arguments[0]) if arguments else 2_000
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(max_workers=4) as pool:
        template = make_template(Path(folder))
        for _ in pool.map(lambda seed: check_run(template, seed), range(1_000, 1_000 + runs)):
            pass
    print(f"{runs} runs killed, nothing confirmed was lost, {time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main(sys.argv[1:])
