"""Keys that do something on a page of large keys stand on the button that they press."""

from __future__ import annotations

from itertools import product

import pytest

from shopstep.present.air import Air
from shopstep.tui.measure_keys import (
    DELETE,
    DELETE_KEY,
    FINER,
    FRACTION,
    TURN_KEY,
    WHOLE,
    place_keys,
)
from shopstep.tui.places import least_width

SIZES = ((40, 15), (60, 20), (80, 24), (120, 40), (200, 60))


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_stroke_goes_round_all_sets_of_keys_and_is_shown(width: int, height: int) -> None:
    keys, seen = WHOLE, []
    for _ in range(4):
        places = place_keys("in", keys, width, height, height - 5)
        turns = [place.action for place in places if place.key == TURN_KEY]
        assert len(turns) == 1
        (keys,) = turns
        seen.append(keys)
    assert WHOLE in seen
    assert FRACTION in seen
    assert (FINER in seen) == (width < 72)


@pytest.mark.parametrize(("unit", "size"), list(product(("in", "mm"), SIZES)))
def test_backspace_is_shown_in_whole_words(unit: str, size: tuple[int, int]) -> None:
    places = place_keys(unit, WHOLE, *size, size[1] - 5)
    (delete,) = (place for place in places if place.action == DELETE)
    assert delete.key == DELETE_KEY
    assert least_width(delete.label, delete.key, delete.height) <= delete.width


def test_the_air_has_both_scales_side_by_side() -> None:
    assert Air(18, 70, "as last time").both == "18 °C, 64 °F, 70 %"
