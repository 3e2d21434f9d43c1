"""What keeps a hand whole: pictures, words that change their order, gloves off, the first line."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.model.step import MACHINES
from shopstep.present.hand_pictures import AWAY, BOTH, CLEAR, OFF, PICTURES, PUSH
from shopstep.present.lines import MANUAL_FIRST
from shopstep.safety.table import ROWS
from shopstep.tui.app import BenchApp
from shopstep.tui.frame import View, arrange_frame
from shopstep.tui.glyphs import to_blocks
from shopstep.tui.hand_pictures import WIDTH, hand_picture
from shopstep.tui.reminders import remind, say_hand, vary_words
from tests.fake_bench import CAUTION, NOW_S, STEP, TACK, FakeBench, StillClock
from tests.test_tui_frame import shows_tall, words_of

NAILING = replace(
    CAUTION.cautions[0],
    id="brad_nailer",
    hand="At least 12 in from the point; never left or right of the nailer.",
)


WITHOUT = {"saw_noise_dust"}
"""Its line for the hand is to have no glove on: no place of a hand shows that."""


@pytest.mark.parametrize("picture", [AWAY, OFF, CLEAR, PUSH, BOTH])
def test_a_picture_is_as_wide_as_the_others(picture: tuple[str, ...]) -> None:
    assert {len(row) for row in picture} == {WIDTH}
    assert len(picture) % 2 == 0
    assert set("".join(picture)) == {"#", "."}


def test_every_caution_that_speaks_of_a_hand_has_its_picture() -> None:
    for row in ROWS:
        if row.caution.hand and row.caution.id not in WITHOUT:
            assert hand_picture(row.caution.id)
    assert hand_picture("saw_rip_narrow") == to_blocks(PUSH)
    assert hand_picture("brad_nailer") == to_blocks(AWAY)
    assert hand_picture("brad_nailer_short") == to_blocks(OFF)
    assert hand_picture("saw_guard_off") == hand_picture("saw_short") == to_blocks(CLEAR)
    known = [row.caution.id for row in ROWS]
    assert all(any(each.startswith(name) for each in known) for name in PICTURES)


@pytest.mark.parametrize("size", [(59, 24), (80, 24), (120, 40), (200, 60)])
def test_the_card_shows_where_the_other_hand_goes(size: tuple[int, int]) -> None:
    card = replace(CAUTION, cautions=(NAILING,))
    first = arrange_frame(View(card, "", (), NOW_S, "UTC", *size))
    pages = [arrange_frame(View(card, "", (), NOW_S, "UTC", *size, n)) for n in range(first.pages)]
    drawn = [hand_picture("brad_nailer", scale) for scale in (1, 2)]
    assert any(shows_tall(picture, page.body) for picture in drawn for page in pages)


def test_a_reminder_begins_with_other_words_each_time_and_loses_none() -> None:
    text = say_hand(NAILING.hand)
    turns = [vary_words(text, turn) for turn in range(4)]
    assert len(set(turns)) == 2
    assert turns[0] != turns[1]
    wanted = sorted(text.lower().replace(";", "").replace(".", "").split())
    for turn in turns:
        assert sorted(turn.lower().replace(";", "").replace(".", "").split()) == wanted
    assert vary_words("Both hands on the plane.", 3) == "Both hands on the plane."


def test_the_step_itself_varies_its_reminder_from_nailing_to_nailing() -> None:
    shown = set()
    for done in (4, 5):
        card = replace(TACK, cautions=(NAILING,), done_count=done)
        body = arrange_frame(View(card, "", (), NOW_S, "UTC", 80, 24)).body
        shown.add(" ".join(words_of(body)))
        assert vary_words(remind(NAILING), done) in " ".join(words_of(body))
    assert len(shown) == 2


def test_cautions_of_rotating_machines_say_gloves_off() -> None:
    # OSHA 3157 (1999), from memory: no gloves at machines that turn
    for tool in (*MACHINES, "drill_driver"):
        words = [
            f"{row.caution.avoid} {row.caution.hand}".lower() for row in ROWS if row.tool == tool
        ]
        assert any("glove" in each for each in words), tool


async def test_a_session_begins_with_what_comes_before_this_program() -> None:
    bench, clock = FakeBench(STEP), StillClock()
    app = BenchApp(bench, monotonic=clock, greets=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert app.hand.notice == MANUAL_FIRST
        clock.pass_by(1)
        await pilot.press("d")
        assert app.hand.notice == ""
