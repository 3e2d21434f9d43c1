"""What a build of the shelf looks like, on its page of the start screen."""

from __future__ import annotations

import asyncio

import pytest

from shopstep.tui.screens.page import BACK
from shopstep.tui.step_picture import LOOK_S
from tests.fake_bench import SIZES
from tests.start_pilot import FakeDoor, starting
from tests.test_tui_start import assert_whole, rows_of


@pytest.mark.parametrize("size", SIZES)
async def test_a_build_has_its_picture_once_it_is_drawn_where_its_words_leave_room(
    size: tuple[int, int],
) -> None:
    async with starting(FakeDoor(), size) as sight:
        await sight.tap("new")
        await sight.tap("floor")
        before = [row.text.rstrip() for row in rows_of(sight)]
        places = {name: button.region for name, button in sight.buttons().items()}
        assert "⣿" not in "".join(before)
        sight.door.drawn = "⣿"
        await asyncio.sleep(LOOK_S * 3)
        await sight.settle()
        after = [row.text for row in rows_of(sight)]
        assert all(new.startswith(old) for old, new in zip(before, after, strict=False) if old)
        assert {name: button.region for name, button in sight.buttons().items()} == places
        assert ("⣿" in "".join(after)) == (size[0] > 80)
        assert_whole(sight)
        await sight.tap("picture")
        await asyncio.sleep(LOOK_S * 3)
        await sight.settle()
        assert "⣿" in sight.words() or size == (40, 15)
        await sight.tap(BACK)
        assert "A floor with a screen." in sight.words()


async def test_a_build_without_a_picture_is_told_in_words_alone() -> None:
    async with starting(FakeDoor(drawn="⣿"), (120, 40)) as sight:
        await sight.tap("new")
        await sight.tap("stand")
        await asyncio.sleep(LOOK_S * 3)
        await sight.settle()
        assert "⣿" not in sight.words()
        assert "A stand for two hives." in sight.words()
