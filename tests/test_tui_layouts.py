"""Every screen from 40 by 15 to 200 by 60: nothing off it, nothing touching, all for a glove."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import pytest

from shopstep.present.card import StepCard
from shopstep.tui.screen_size import FINGER_MM, TABLET
from shopstep.tui.widgets.painting import Rows
from tests.fake_bench import ALL_CARDS, GAP, GLUE, MEASURE, STEP, FakeBench, FakePictures
from tests.tui_pilot import Sight, sight_of

STEPWISE = [*product((40, 59, 80, 120, 160, 200), (15, 16, 24, 40, 60))]
PAGES: dict[str, tuple[StepCard, str]] = {
    "list": (STEP, "m"),
    "list over glue": (GLUE, "m"),
    "help": (STEP, "question_mark"),
    "why": (STEP, "w"),
    "measure": (MEASURE, "e"),
    "gap": (GAP, "e"),
    "picture": (STEP, "p"),
    "picture over glue": (GLUE, "p"),
}
"""Pages by name: over which card, and the key that opens them."""


def assert_fits_a_glove(sight: Sight, size: tuple[int, int]) -> None:
    """All buttons inside the screen, apart, and 20 mm both ways on a 10-inch tablet."""
    screen = sight.app.screen
    regions = {name: button.region for name, button in sight.buttons().items()}
    assert regions
    for name, region in regions.items():
        assert screen.region.contains_region(region), (name, size)
        assert region.width * TABLET.width_mm / size[0] >= FINGER_MM, (name, size)
        assert region.height * TABLET.height_mm / size[1] >= FINGER_MM, (name, size)
    for one, other in combinations(regions.values(), 2):
        assert not one.grow((1, 1, 1, 1)).overlaps(other), size
    for part in (widget for widget in screen.query(Rows) if widget.display):
        assert screen.region.contains_region(part.region), (part.id, size)
        assert len(part.rows) <= part.region.height, (part.id, size)
        assert all(row.width <= size[0] for row in part.rows), (part.id, size)


@pytest.mark.parametrize("is_far", [False, True])
async def test_every_card_fits_a_glove_in_both_views(is_far: bool) -> None:
    async with sight_of(FakeBench(STEP), is_far=is_far, pictures=FakePictures()) as sight:
        for size in STEPWISE:
            await sight.pilot.resize_terminal(*size)
            for number, card in enumerate(ALL_CARDS.values(), start=100):
                await sight.show(replace(card, version=number))
                assert_fits_a_glove(sight, size)
            await sight.show(replace(ALL_CARDS["caution"], version=99))
            await sight.press("u")
            assert_fits_a_glove(sight, size)


@pytest.mark.parametrize("name", PAGES)
async def test_every_page_over_the_bench_fits_a_glove(name: str) -> None:
    card, key = PAGES[name]
    async with sight_of(FakeBench(card), pictures=FakePictures()) as sight:
        await sight.press(key)
        assert sight.open_page() is not None
        for size in STEPWISE:
            await sight.pilot.resize_terminal(*size)
            await sight.pilot.pause()
            assert_fits_a_glove(sight, size)
