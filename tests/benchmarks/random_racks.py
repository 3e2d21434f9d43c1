"""Six floors from forty mixed offcuts, on many racks: every first layout checked, and timed.

``python -m tests.benchmarks.random_racks [RACKS]`` (500 where none is given).
"""

from __future__ import annotations

import sys
import time

from tests.random_racks import lay_floors


def main(arguments: list[str]) -> None:
    """Ends with an AssertionError where a layout cannot be cut or is not safe."""
    if "--help" in arguments:
        print(__doc__)
        return
    racks = int(arguments[0]) if arguments else 500
    proved = over = total = 0
    slowest = 0.0
    for seed in range(racks):
        began = time.process_time()
        plan = lay_floors(seed)
        slowest = max(slowest, time.process_time() - began)
        total += len(plan.least)
        proved += sum(least.is_proved for least in plan.least)
        unproved = [least for least in plan.least if not least.is_proved]
        over += sum(least.bought - least.least for least in unproved if least.material != "cloth")
        if unproved:
            print(f"rack {seed}: {unproved}")
    print(
        f"{racks} racks: all layouts can be cut and are safe; slowest {slowest:.2f} s of the"
        f" processor with its checks; {proved} of {total} materials proved least,"
        f" {over} boards and sheets over the bounds in all"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
