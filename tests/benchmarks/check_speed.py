"""How long ``shopstep check`` takes beside importing its two libraries, by CPU time.

``python -m tests.benchmarks.check_speed [RUNS]``: the best of several whole processes each, for a
build that was never checked before and for one that was.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile

BASE = [sys.executable, "-c", "import pydantic, ruamel.yaml"]
CHECK = [sys.executable, "-m", "shopstep", "check", "screened-floor"]


def cpu_s(command: list[str], environment: dict[str, str], runs: int) -> float:
    """The least CPU seconds of a command over some runs."""
    return min(_once(command, environment) for _ in range(runs))


def _once(command: list[str], environment: dict[str, str]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, env=environment, stdout=subprocess.DEVNULL, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main(arguments: list[str]) -> None:
    """Prints the two ratios."""
    runs = int(arguments[0]) if arguments else 10
    with tempfile.TemporaryDirectory() as folder:
        environment = os.environ | {"XDG_CACHE_HOME": folder}
        base = cpu_s(BASE, environment, runs)
        first = cpu_s(CHECK, environment | {"SHOPSTEP_NO_CACHE": "1"}, runs)
        cpu_s(CHECK, environment, 1)
        again = cpu_s(CHECK, environment, runs)
    print(f"import pydantic, ruamel.yaml   {base * 1000:6.0f} ms   1.0 ×")
    print(f"check, worked out              {first * 1000:6.0f} ms  {first / base:4.1f} ×")
    print(f"check, as worked out before    {again * 1000:6.0f} ms  {again / base:4.1f} ×")


if __name__ == "__main__":
    main(sys.argv[1:])
