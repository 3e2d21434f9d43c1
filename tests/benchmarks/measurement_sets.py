"""10,000 random measurement sets for each shipped build: right by hand, or refused by name.

``python -m tests.benchmarks.measurement_sets [SETS] [BUILD…]``
"""

from __future__ import annotations

import random
import sys
from collections import Counter

from tests.random_sets import draw_set, judge_set
from tests.shelf_builds import BUILDS


def main(arguments: list[str]) -> None:
    """Prints one line for each build; a wrong part ends it with an AssertionError."""
    sets = int(arguments[0]) if arguments else 10_000
    print(f"{'build':<16} {'sets':>7} {'right':>7} {'refused':>8}  for")
    for build in arguments[1:] or BUILDS:
        dice = random.Random(f"{build} 2")
        count = Counter(judge_set(build, draw_set(build, dice)) for _ in range(sets))
        right = count.pop("", 0)
        share = (sets - right) / sets
        print(f"{build:<16} {sets:>7} {right:>7} {share:>8.1%}  {', '.join(sorted(count))}")


if __name__ == "__main__":
    main(sys.argv[1:])
