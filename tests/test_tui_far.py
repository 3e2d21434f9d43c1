"""Distance view: what is read from two steps away, computed in millimetres."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from shopstep.present.card import CardMode, StepCard
from shopstep.tui.frame import Frame, View, arrange_frame
from shopstep.tui.glyphs import tall, tall_length
from shopstep.tui.screen_size import LAPTOP, READABLE_MM, TABLET, Glass, capital_mm
from tests.fake_bench import ALL_CARDS, CLAMP_TIMER, GLUE, NOW_S, STEP, FakeBench
from tests.floor import floor_plan
from tests.test_tui_frame import shows_tall, text_of, words_of
from tests.tui_pilot import sight_of

STEPWISE = [*product((40, 59, 80, 120, 200), (15, 16, 24, 40, 60))]
TIMED = replace(STEP, timers=(CLAMP_TIMER,))


def far_of(card: StepCard, size: tuple[int, int], page: int = 0) -> Frame:
    """The frame in distance view."""
    return arrange_frame(View(card, "", (), NOW_S, "UTC", *size, page, is_far=True))


def all_pages(card: StepCard, size: tuple[int, int]) -> list[Frame]:
    """Every page of a card in distance view."""
    first = far_of(card, size)
    return [far_of(card, size, page) for page in range(first.pages)]


def tall_scale(text: str, frame: Frame) -> int:
    """The scale in which a number stands on the page; 0 where it is not tall."""
    bare = text.rpartition(" ")[0] or text
    scales = [s for s in (8, 6, 4, 2, 1) for t in (text, bare) if _shows(t, s, frame)]
    return max(scales, default=0)


def _shows(text: str, scale: int, frame: Frame) -> bool:
    return shows_tall(tall_length(text, scale), frame.body)


@pytest.mark.parametrize(
    ("glass", "size"),
    [(TABLET, (59, 16)), (TABLET, (40, 15)), (LAPTOP, (80, 24)), (LAPTOP, (120, 40))],
)
def test_the_number_and_the_timer_are_read_at_two_metres(
    glass: Glass, size: tuple[int, int]
) -> None:
    # 20 minutes of arc at 2 m are 11.6 mm: 2000 mm × tan(20/60°)
    frame = far_of(TIMED, size)
    assert capital_mm(glass, size[1], tall_scale("12 3/8 in", frame)) >= READABLE_MM
    assert frame.sheet.band_scale >= 1
    assert shows_tall(tall("30 min", frame.sheet.band_scale), frame.band)
    assert capital_mm(glass, size[1], frame.sheet.band_scale) >= READABLE_MM
    glue = far_of(GLUE, size)
    assert capital_mm(glass, size[1], glue.sheet.band_scale) >= READABLE_MM


def test_a_capital_is_as_high_as_its_cells() -> None:
    # 10-inch tablet at font 36: 16 rows on 136.4 mm, 3.5 rows a capital
    assert capital_mm(TABLET, 16, 1) == pytest.approx(136.4 / 16 * 3.5, abs=0.01)
    assert capital_mm(LAPTOP, 24, 2) == pytest.approx(174.4 / 24 * 7, abs=0.01)


@pytest.mark.parametrize("size", STEPWISE)
def test_every_number_of_a_step_is_tall_on_some_page(size: tuple[int, int]) -> None:
    for card in (STEP, TIMED):
        pages = all_pages(card, size)
        for number in card.numbers:
            assert any(tall_scale(number.text, page) for page in pages), number


@pytest.mark.parametrize("size", STEPWISE)
@pytest.mark.parametrize("name", ALL_CARDS)
def test_nothing_is_cut_in_either_view(name: str, size: tuple[int, int]) -> None:
    for is_far in (False, True):
        page, pages = 0, 1
        while page < pages:
            frame = arrange_frame(
                View(ALL_CARDS[name], "", (), NOW_S, "UTC", *size, page, is_far=is_far)
            )
            pages = frame.pages
            assert len(frame.body) <= frame.body_height
            parts = (frame.top, frame.body, frame.band, frame.notice)
            assert (
                sum(map(len, (frame.top, frame.band))) + frame.body_height + frame.foot == size[1]
            )
            assert all(row.width <= size[0] for rows in parts for row in rows)
            for place in frame.places:
                assert 0 <= place.x <= place.x + place.width <= size[0]
                assert place.y + place.height <= frame.foot
            page += 1


@pytest.mark.parametrize("size", [(40, 15), (59, 16), (80, 24), (120, 40)])
def test_no_word_of_a_step_is_lost_in_distance_view(size: tuple[int, int]) -> None:
    for card in (c for c in ALL_CARDS.values() if c.mode is CardMode.STEP):
        shown = " ".join(word for page in all_pages(card, size) for word in words_of(page.body))
        assert card.sentence in shown
        for check in card.checks:
            assert check.text.split()[-1] in shown
        for caution in card.cautions:
            assert caution.signal in shown


def test_what_finishes_a_step_waits_for_its_words() -> None:
    frames = all_pages(STEP, (59, 16))
    assert len(frames) > 1
    assert [f.offers.actions[0].id for f in frames[:-1]] == ["next_page"] * (len(frames) - 1)
    assert frames[-1].offers.actions[0].id == "done"


def test_the_verb_is_larger_from_afar_than_from_near() -> None:
    near = arrange_frame(View(GLUE, "", (), NOW_S, "UTC", 59, 16))
    assert not shows_tall(tall("CLOSE"), near.body)
    assert shows_tall(tall("CLOSE"), far_of(GLUE, (59, 16)).body)


def test_all_steps_of_a_floor_can_be_read_from_afar_on_a_tablet() -> None:
    for kind in floor_plan().kinds:
        card = replace(STEP, headline=kind.title, numbers=(), sentence=kind.title)
        verb = kind.title.split()[0]
        body = far_of(card, (59, 16)).body
        assert any(shows_tall(tall(verb, scale), body) for scale in (1, 2, 4)), kind.title


async def test_a_key_a_tap_and_more_change_the_view() -> None:
    bench = FakeBench(STEP)
    async with sight_of(bench, (59, 16)) as sight:
        seen = [sight.screen.is_far]
        await sight.press("v")
        seen.append(sight.screen.is_far)
        sight.clock.pass_by(1)
        await sight.pilot.click("#body")
        seen.append(sight.screen.is_far)
        await sight.press("m")
        await sight.tap("do view")
        seen.append(sight.screen.is_far)
    assert seen == [False, True, False, True]
    assert bench.commands == []


async def test_a_tap_on_a_caution_changes_nothing() -> None:
    async with sight_of(FakeBench(ALL_CARDS["caution"]), (59, 16)) as sight:
        sight.clock.pass_by(1)
        await sight.pilot.click("#body")
        assert not sight.screen.is_far
        assert "ready" in sight.buttons()


async def test_the_view_asked_for_is_the_first_one() -> None:
    async with sight_of(FakeBench(STEP), (59, 16), is_far=True) as sight:
        assert sight.screen.is_far
        assert text_of(sight.screen.query_one("#body").rows)  # type: ignore[attr-defined]
