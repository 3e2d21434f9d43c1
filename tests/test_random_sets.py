"""Random measurements for every shipped build: right by hand, or refused by name.

The benchmark ``tests/benchmarks/measurement_sets.py`` does the same 10,000 times for each build.
"""

from __future__ import annotations

import random

import pytest

from tests.arithmetic import WANTED
from tests.random_sets import draw_set, judge_set
from tests.shelf_builds import BUILDS

SETS = 300
REFUSED_AT_MOST = 0.05


def test_every_shipped_build_has_its_arithmetic() -> None:
    assert sorted(WANTED) == BUILDS


@pytest.mark.parametrize("build", BUILDS)
def test_a_random_set_is_right_by_hand_or_refused_by_name(build: str) -> None:
    dice = random.Random(f"{build} 1")
    refused = [judge_set(build, draw_set(build, dice)) for _ in range(SETS)]
    assert sum(1 for rule in refused if rule) <= SETS * REFUSED_AT_MOST
