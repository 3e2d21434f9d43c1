"""Every shipped build proved at random measurements: ``python -m tests.benchmarks.proofs [SETS]``.

Prints for each build how many sets were proved, how many a named fit refused, and the time of one
proof; stops at the first finding.
"""

from __future__ import annotations

import random
import sys
import time

from shopstep.model.plan import Level
from shopstep.planner.proving import prove_design
from tests.random_sets import draw_set, is_named, resolve_set
from tests.shelf_builds import BUILDS


def prove_sets(build: str, count: int, seed: int = 1) -> tuple[int, int, float]:
    """Sets proved, sets refused, and seconds of processor time for one proof."""
    dice = random.Random(seed)
    proved = refused = 0
    spent = 0.0
    for _ in range(count):
        given = draw_set(build, dice)
        design = resolve_set(build, given)
        stops = [finding for finding in design.findings if finding.level is Level.STOP]
        if stops:
            assert all(is_named(finding) for finding in stops), (build, given, stops)
            refused += 1
            continue
        begun = time.process_time()
        findings = prove_design(design, measured=False).findings
        spent += time.process_time() - begun
        assert findings == (), (build, given, [finding.sentence for finding in findings])
        proved += 1
    return proved, refused, spent / max(proved, 1)


def main() -> None:
    """One line for each build."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    for build in BUILDS:
        proved, refused, each_s = prove_sets(build, count)
        print(f"{build}: {proved} proved, {refused} refused, {each_s * 1000:.1f} ms", flush=True)


if __name__ == "__main__":
    main()
