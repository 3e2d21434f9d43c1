"""What stands on the screen at which size: numbers, cautions and buttons always do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.present.card import CardCaution, CardMode, StepCard
from shopstep.present.moments import TimerStage
from shopstep.tui.clocks import Alarm
from shopstep.tui.frame import Frame, View, arrange_frame
from shopstep.tui.glyphs import tall, tall_length
from shopstep.tui.lines import Block
from shopstep.tui.top_line import top_rows
from tests.fake_bench import (
    ALL_CARDS,
    CAUTION,
    GLUE,
    GLUE_TIMER,
    LONG_CAUTION,
    NOW_S,
    SAW_CAUTION,
    SIZES,
    STEP,
    TACK,
    WAITING,
)

ALL_SIZES = (*SIZES, (28, 9), (37, 26), (48, 34), (80, 14), (100, 30), (300, 90))
"""The sizes promised, and some that nobody promised."""
LONG_NOTICE = "The paint of unit 2 is dry enough at 14:20. Until then fit the tray, or hold. " * 2


def frame_of(card: StepCard, size: tuple[int, int], page: int = 0, notice: str = "") -> Frame:
    """The frame without an alarm."""
    return arrange_frame(View(card, notice, (), NOW_S, "UTC", *size, page))


def text_of(rows: Block) -> str:
    """The rows as text, without what is blank at their ends."""
    return "\n".join(row.text.rstrip() for row in rows)


def words_of(rows: Block) -> list[str]:
    """All words, wherever they are folded; nothing of what is drawn."""
    return [word for word in text_of(rows).split() if not set(word) <= set("█▀▄")]


def shows_tall(drawn: list[str], rows: Block) -> bool:
    """Whether a drawing stands somewhere in the rows, at one column."""
    texts = [row.text for row in rows]
    first = drawn[0].rstrip()
    for y, text in enumerate(texts[: len(texts) - len(drawn) + 1]):
        x = text.find(first)
        while x >= 0:
            below = texts[y : y + len(drawn)]
            if all(
                row[x : x + len(part.rstrip())] == part.rstrip()
                for row, part in zip(below, drawn, strict=True)
            ):
                return True
            x = text.find(first, x + 1)
    return False


@pytest.mark.parametrize("size", ALL_SIZES)
@pytest.mark.parametrize("name", ALL_CARDS)
def test_all_parts_together_fill_the_screen_exactly(name: str, size: tuple[int, int]) -> None:
    for notice in ("", LONG_NOTICE):
        frame = frame_of(ALL_CARDS[name], size, notice=notice)
        parts = (frame.top, frame.alarm, frame.band, frame.notice)
        taken = sum(len(rows) for rows in parts) + frame.foot
        if size[1] >= 14:
            assert taken + frame.body_height == size[1]
        assert len(frame.body) <= max(1, frame.body_height)
        assert len(frame.band) == frame.sheet.band_rows
        for rows in (*parts, frame.body):
            assert all(row.width <= size[0] for row in rows)


@pytest.mark.parametrize("size", ALL_SIZES)
@pytest.mark.parametrize("notice", ["", LONG_NOTICE])
def test_the_numbers_never_go(size: tuple[int, int], notice: str) -> None:
    body = frame_of(STEP, size, notice=notice).body
    for number in STEP.numbers:
        drawings = [
            drawn
            for text in (number.text, number.text.removesuffix(" in"))
            for drawn in (tall_length(text, scale) for scale in (1, 2, 4))
        ]
        is_drawn = any(shows_tall(drawn, body) for drawn in drawings)
        assert is_drawn or number.text in text_of(body), number


@pytest.mark.parametrize("size", SIZES)
def test_the_numbers_are_in_tall_glyphs_on_every_promised_size(size: tuple[int, int]) -> None:
    body = frame_of(STEP, size).body
    wanted = ("12 3/8 in", "12 3/8")
    assert any(shows_tall(tall_length(t, s), body) for t in wanted for s in (1, 2, 4))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("caution", [SAW_CAUTION, LONG_CAUTION])
def test_every_word_of_a_caution_can_be_read_before_its_answer(
    size: tuple[int, int], caution: CardCaution
) -> None:
    card = replace(CAUTION, cautions=(caution,))
    rows: Block = ()
    page = 0
    while True:
        frame = frame_of(card, size, page)
        rows += frame.body
        page += 1
        if any(action.id == "ready" for action in frame.offers.actions):
            break
        assert page < 9
    shown = " ".join(words_of(rows))
    for text in (card.cautions[0].harm, card.cautions[0].avoid, card.cautions[0].done):
        assert is_readable(text, shown, rows)
    assert is_readable(card.cautions[0].hand, shown, rows)
    assert "The tool's manual, local rules and trained people come first." in shown


def is_readable(text: str, shown: str, rows: Block) -> bool:
    """Whether the text stands there in running text, or all of its words in tall letters."""
    return text in shown or all(shows_tall(tall(word), rows) for word in text.split())


@pytest.mark.parametrize("size", ALL_SIZES)
def test_an_answered_caution_leaves_its_signal_word_on_the_step(size: tuple[int, int]) -> None:
    assert "WARNING" in text_of(frame_of(TACK, size, notice=LONG_NOTICE[:70]).body)


def test_where_the_other_hand_goes_stays_on_the_step_where_it_fits() -> None:
    shown = " ".join(words_of(frame_of(TACK, (80, 24)).body))
    assert SAW_CAUTION.hand in shown
    assert SAW_CAUTION.harm not in shown


def test_a_caution_that_asks_for_no_answer_is_read_on_the_step_itself() -> None:
    open_words = replace(TACK, cautions=(replace(SAW_CAUTION, must_ack=False),))
    shown = " ".join(words_of(frame_of(open_words, (80, 24)).body))
    for text in (SAW_CAUTION.harm, SAW_CAUTION.avoid, SAW_CAUTION.hand):
        assert text in shown


def test_several_cautions_are_read_one_after_the_other() -> None:
    card = replace(CAUTION, cautions=(SAW_CAUTION, LONG_CAUTION))
    first, second = frame_of(card, (80, 24), 0), frame_of(card, (80, 24), 1)
    assert "blade" in text_of(first.body)
    assert "blade" not in text_of(second.body)
    assert next(a.id for a in first.offers.actions) == "next_page"
    assert next(a.id for a in second.offers.actions) == "ready"


def test_notice_has_no_alert_sign_and_the_others_have() -> None:
    # ANSI Z535.4: NOTICE stands without the safety-alert sign (from memory)
    for signal in ("DANGER", "WARNING", "CAUTION", "NOTICE"):
        card = replace(CAUTION, cautions=(replace(SAW_CAUTION, signal=signal),))
        for size in SIZES:
            shown = text_of(frame_of(card, size).body)
            has_sign = "/!\\" in shown or "▄█▄" in shown.splitlines()[1]
            assert has_sign == (signal != "NOTICE"), (signal, size)


@pytest.mark.parametrize("size", SIZES)
def test_the_nearest_glue_is_the_largest_clock(size: tuple[int, int]) -> None:
    frame = frame_of(GLUE, size)
    assert any(shows_tall(tall("4:10", scale), frame.band) for scale in (1, 2, 4))
    assert "clamps, unit 2" in text_of(frame.band)


@pytest.mark.parametrize("size", ALL_SIZES)
def test_an_alarm_is_as_wide_as_the_screen_and_moves_no_button(size: tuple[int, int]) -> None:
    alarm = Alarm(replace(GLUE_TIMER, due_s=NOW_S + 5), TimerStage.NEARLY)
    calm = frame_of(GLUE, size)
    loud = arrange_frame(View(GLUE, "", (alarm,), NOW_S, "UTC", *size))
    assert loud.alarm
    assert "close now" in text_of(loud.alarm).lower()
    assert loud.places == calm.places
    assert all(row.fill == loud.alarm[0].fill for row in loud.alarm if row.spans)


def test_waiting_shows_how_long_in_tall_letters() -> None:
    frame = frame_of(WAITING, (80, 24))
    assert shows_tall(tall("3 h 20 min"), frame.band)
    assert frame.first_focus == ""


def test_a_mode_without_a_step_says_so_across_the_screen() -> None:
    words = {CardMode.HELD: "On hold", CardMode.WAITING: "Waiting", CardMode.COMPLETE: "Complete"}
    for card in ALL_CARDS.values():
        for size in SIZES:
            shown = frame_of(card, size).body
            if card.mode in words:
                word = words[card.mode]
                assert shows_tall(tall(word), shown) or word.upper() in text_of(shown)


def test_the_same_size_always_gives_the_same_screen() -> None:
    assert frame_of(STEP, (80, 24)) == frame_of(STEP, (80, 24))


def test_the_screen_of_eighty_by_twenty_four_looks_as_it_was_laid_out() -> None:
    assert text_of(frame_of(STEP, (80, 24)).body) == GOLDEN_80.strip("\n")


GOLDEN_80 = """
  █▀▀▄ ▀█▀ █▀▀▄    ▀▀█▀▀ █  █ █▀▀▀    █▀▀▄ ▄▀▀▄ ▀█▀ █    ▄▀▀▀
  █▄▄▀  █  █▄▄▀      █   █▄▄█ █▄▄     █▄▄▀ █▄▄█  █  █    ▀▄▄
  █ ▀▄  █  █         █   █  █ █       █ ▀▄ █  █  █  █       █
  ▀  ▀ ▀▀▀ ▀         ▀   ▀  ▀ ▀▀▀▀    ▀  ▀ ▀  ▀ ▀▀▀ ▀▀▀▀ ▀▀▀

                         ▀▀▀█
      ██      ████        ▄█                   ██    ██
    ████    ██    ██     ▄  █                  ██    ██
      ██          ██      ▀▀                   ██    ██
      ██        ██      ▀▀▀▀▀▀    ▀█▀ █▄ █     ████████
      ██      ██         ▄▀▀▄      █  █▀▄█           ██
      ██    ██           ▀▄▄▀      █  █ ▀█           ██
    ██████  ████████     █  █     ▀▀▀ ▀  ▀           ██
                          ▀▀
  fence                                        pieces

  Rip four rails; cut one in scrap first and measure it before the others.

  then  Dry fit, unit 1
"""


@pytest.mark.parametrize("width", [30, 40, 80])
def test_a_long_unit_never_pushes_the_clock_off_the_screen(width: int) -> None:
    card = replace(STEP, unit="unit 12, Insulated inner cover with a well 2 of 14")
    (line,) = top_rows(card, "18:24", width, 15, 1)
    text = "".join(span.text for span in line.spans)
    assert len(text) <= width
    assert text.rstrip().endswith("18:24")
    assert text.lstrip().startswith("unit 12,")
