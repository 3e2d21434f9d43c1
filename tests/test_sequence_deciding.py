"""What the engine decides inside a block, against every order and a grid of moments."""

from __future__ import annotations

import random
from itertools import pairwise, product

import pytest

from shopstep.model.step import Step
from shopstep.sequence.deciding import decide_inside
from shopstep.sequence.layout import Inside, lay_inside


def _step(number: int, seconds: int) -> Step:
    return Step(f"s{number}", "k", 1, (), seconds, 0, 0, ())


def _keeps(inside: Inside, starts: tuple[int, ...]) -> bool:
    """All rules of a block, written down anew."""
    ends = [start + step.duration_s for start, step in zip(starts, inside.steps, strict=True)]
    spans = sorted(zip(starts, ends, strict=True))
    if any(one[1] > other[0] for one, other in pairwise(spans)):
        return False
    for number in range(len(starts)):
        if any(starts[number] < ends[e] + least for e, least in inside.lags[number].items()):
            return False
        if any(ends[number] > starts[e] + most for e, most in inside.limits[number].items()):
            return False
        follows = inside.behind[number]
        wait = inside.lags[number].get(follows, 0) if follows is not None else 0
        if follows is not None and starts[number] != ends[follows] + wait:
            return False
        if ends[number] > inside.deadlines.get(number, ends[number]):
            return False
    return True


def _shortest(inside: Inside, until: int) -> int | None:
    """Of all starts on the grid of whole seconds."""
    lengths = [
        max(start + step.duration_s for start, step in zip(starts, inside.steps, strict=True))
        for starts in product(range(until), repeat=len(inside.steps))
        if _keeps(inside, starts)
    ]
    return min(lengths, default=None)


def _random_inside(seed: int) -> Inside:
    dice = random.Random(seed)
    count = dice.randint(2, 4)
    steps = tuple(_step(n, dice.randint(1, 3)) for n in range(count))
    lags: list[dict[int, int]] = [{} for _ in steps]
    limits: list[dict[int, int]] = [{} for _ in steps]
    behind: list[int | None] = [None for _ in steps]
    for later in range(1, count):
        for earlier in range(later):
            if dice.random() < 0.4:
                lags[later][earlier] = dice.choice([0, 0, 1, 3])
            if dice.random() < 0.3:
                limits[later][earlier] = dice.randint(3, 7)
        if dice.random() < 0.15:
            behind[later] = dice.randrange(later)
    deadlines = {dice.randrange(count): dice.randint(4, 9)} if dice.random() < 0.3 else {}
    return Inside(steps, tuple(lags), tuple(limits), tuple(behind), deadlines)


@pytest.mark.parametrize("seed", range(150))
def test_it_finds_a_block_wherever_there_is_one_and_the_shortest(seed: int) -> None:
    inside = _random_inside(seed)
    least = _shortest(inside, 14)
    found = decide_inside(inside)
    if found is None:
        assert least is None
        if not any(follows is not None for follows in inside.behind):
            assert lay_inside(inside) is None
        return
    assert min(found) == 0
    assert _keeps(inside, found)
    assert max(s + step.duration_s for s, step in zip(found, inside.steps, strict=True)) == least


def test_glue_is_spread_later_where_the_joint_waits_for_something_else() -> None:
    """The jig's paint dries an hour, the glue is open five minutes: hands wait, glue does not."""
    steps = (_step(0, 60), _step(1, 60), _step(2, 60))
    inside = Inside(steps, ({}, {}, {0: 3600, 1: 0}), ({}, {}, {1: 300}), (None,) * 3, {})
    assert lay_inside(inside) is None
    found = decide_inside(inside)
    assert found is not None
    assert _keeps(inside, found)
    assert found[1] >= 3600 - 300 + 120
