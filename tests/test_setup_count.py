"""Setups of a batch beside those of cutting it unit by unit: counted again by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.desk import Wish
from shopstep.present.setup_count import setup_count_words, setups_unit_by_unit
from shopstep.wiring.desks import open_desk
from tests.floor import BEGIN_S


@pytest.mark.parametrize("units", [1, 3])
def test_unit_by_unit_every_setup_is_made_for_every_unit(units: int) -> None:
    plan = open_desk().plan(Wish("bird-box", units=units), BEGIN_S)
    alone = open_desk().plan(Wish("bird-box"), BEGIN_S)
    assert len(plan.setups) == len(alone.setups)
    assert setups_unit_by_unit(plan) == units * len(alone.setups)
    if units == 1:
        assert setup_count_words(plan) == f"{len(plan.setups)} setups, proved fewest."
        older = replace(plan, least_setups=0)
        assert setup_count_words(older) == f"{len(plan.setups)} setups."
        looser = replace(plan, least_setups=len(plan.setups) - 2)
        assert setup_count_words(looser).endswith("setups, at most 2 more than the fewest.")
    else:
        assert setup_count_words(plan).endswith(f"unit by unit would take {3 * len(alone.setups)}.")


def test_of_several_builds_each_has_its_own_units() -> None:
    desk = open_desk()
    plan = desk.plan(Wish("bird-box", also=(("hive-stand", 2),)), BEGIN_S)
    boxes = len(desk.plan(Wish("bird-box"), BEGIN_S).setups)
    stands = len(desk.plan(Wish("hive-stand"), BEGIN_S).setups)
    assert setups_unit_by_unit(plan) == boxes + 2 * stands
    assert len(plan.setups) <= boxes + stands
