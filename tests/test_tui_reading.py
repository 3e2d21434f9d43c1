"""Reading a card to its end: nothing is cut, numbers stay whole, and Done comes after the words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.present.card import CardCaution, CardMode, CardNumber, StepCard
from shopstep.present.moments import TimerStage
from shopstep.session.commands import FinishStep, StartSpreading
from shopstep.tui.clocks import Alarm
from shopstep.tui.frame import Frame, View, arrange_frame
from shopstep.tui.lines import Block, fold
from shopstep.tui.reminders import remind
from tests.fake_bench import (
    CAUTION,
    CLAMP_TIMER,
    COMPLETE,
    GLUE,
    GLUE_TIMER,
    HELD,
    LONG_CAUTION,
    MEASURE,
    NOW_S,
    PAINT_TIMER,
    SAW_CAUTION,
    SIZES,
    STEP,
    TACK,
    WAITING,
    FakeBench,
    actions,
)
from tests.tui_pilot import sight_of

SMALL_SIZES = ((40, 15), (60, 20), (80, 24))
LONG_WORDS = " ".join(f"word{number}" for number in range(70))
OTHER_SAW = replace(SAW_CAUTION, id="other", signal="DANGER", hand="Both hands behind the fence.")
NOISE = CardCaution(
    id="noise",
    signal="CAUTION",
    harm="Noise dulls hearing for good.",
    avoid="Ears covered before the switch.",
    hand="Out of its glove: a glove can be drawn in.",
    done="See a doctor if the ringing stays.",
    source="invented",
    must_ack=False,
)
FULL = replace(
    TACK,
    numbers=(CardNumber("stop block", "5 15/32 in", ""), CardNumber("fence", "13 1/2 in", "")),
    sentence=f"Set the stop block to 5 15/32 in, then cut 2 × stiffener. {LONG_WORDS}",
    cautions=(SAW_CAUTION, OTHER_SAW, LONG_CAUTION, NOISE),
    checks=MEASURE.checks,
    timers=(CLAMP_TIMER, PAINT_TIMER),
    actions=actions("measure", "done", "back", "hold", "more"),
)


def frame_of(
    card: StepCard, size: tuple[int, int], page: int = 0, *, is_read: bool = False
) -> Frame:
    """One page of a card."""
    return arrange_frame(View(card, "", (), NOW_S, "UTC", *size, page, is_read))


def pages_of(card: StepCard, size: tuple[int, int]) -> list[Frame]:
    """All pages of a card."""
    first = frame_of(card, size)
    return [frame_of(card, size, page) for page in range(first.pages)]


def words_of(rows: Block) -> str:
    """All words in order with single spaces, wherever they are folded."""
    return " ".join(" ".join(row.text for row in rows).split())


def ids_of(frame: Frame) -> set[str]:
    """What is offered."""
    return {action.id for action in frame.offers.actions}


@pytest.mark.parametrize("size", [*SIZES, *SMALL_SIZES])
@pytest.mark.parametrize("card", [FULL, replace(FULL, timers=(GLUE_TIMER, CLAMP_TIMER)), STEP])
def test_every_word_of_a_step_is_read_before_it_can_be_finished(
    card: StepCard, size: tuple[int, int]
) -> None:
    frames = pages_of(card, size)
    for frame in frames[:-1]:
        assert ids_of(frame).isdisjoint({"done", "measure", "start", "accept"})
        assert frame.offers.actions[0].id == frame.first_focus == "next_page"
    assert "done" in ids_of(frames[-1])
    if size[0] < 100:  # larger screens may draw words in tall letters
        seen = " ".join(words_of(frame.body) for frame in frames)
        shown = set(seen.replace(":", " ").split())
        wanted = [*card.sentence.split(), *(remind(c) for c in card.cautions)]
        wanted += [check.text for check in card.checks]
        assert set(" ".join(wanted).replace(":", " ").split()) <= shown
        assert "…" not in seen


@pytest.mark.parametrize("size", SMALL_SIZES)
def test_read_on_stands_where_done_will_stand_and_says_how_far(size: tuple[int, int]) -> None:
    long = replace(FULL, sentence=f"{LONG_WORDS} {LONG_WORDS}", actions=STEP.actions)
    frames = pages_of(long, size)
    assert len(frames) > 1
    labels = [frame.places[0].label for frame in frames]
    assert labels[:-1] == [f"Read on {n}/{len(frames)}" for n in range(1, len(frames))]
    assert labels[-1] == "Done"
    assert {frame.places[0].x for frame in frames} == {frames[0].places[0].x}
    assert {frame.places[0].key for frame in frames} == {"1"}


@pytest.mark.parametrize("key", ["1", "d", "7", "n", "enter", "tap"])
async def test_done_is_done_only_after_the_last_page_was_seen(key: str) -> None:
    bench = FakeBench(replace(STEP, sentence=LONG_WORDS))
    async with sight_of(bench, (40, 15)) as sight:
        pages = sight.screen.frame.pages if sight.screen.frame else 0
        assert pages == 2
        if key == "tap":
            await sight.tap("next_page")
        else:
            await sight.press(key)
        assert bench.commands == []
        assert "word69" in sight.words()
        await sight.press("1")
    assert [type(command) for command in bench.commands] == [FinishStep]


async def test_the_clock_of_the_glue_does_not_start_before_the_words_are_read() -> None:
    card = replace(STEP, sentence=LONG_WORDS, actions=actions("start", "done", "back", "more"))
    bench = FakeBench(card)
    async with sight_of(bench, (40, 15)) as sight:
        await sight.press("s")
        assert bench.commands == []
        await sight.press("s")
    assert [type(command) for command in bench.commands] == [StartSpreading]


async def test_a_card_that_was_read_keeps_its_buttons_and_can_be_read_again() -> None:
    bench = FakeBench(replace(STEP, sentence=LONG_WORDS))
    async with sight_of(bench, (40, 15)) as sight:
        await sight.press("1")
        assert sight.buttons()["other_page"].place.label == "Page 1"
        await sight.press("n")
        assert "word0 " in sight.words()
        assert {"done", "other_page"} <= set(sight.buttons())
        await sight.tap("other_page")
        assert "word69" in sight.words()
        await sight.show(replace(bench.shown, version=9))
        assert "done" not in sight.buttons()


@pytest.mark.parametrize("width", range(24, 90))
def test_a_number_its_fraction_and_its_unit_stand_on_one_line(width: int) -> None:
    text = (
        "Stop block 5 15/32 in. Cut 2 × stiffener 13 1/2 in long, differ by ± 1/16 in at most, "
        "412.8 mm over all, 4 × #6 × 1 1/4 in screw, wait 3 h 20 min or 30 min."
    )
    rows = fold(text, width)
    assert " ".join(rows) == text
    for whole in ("5 15/32 in", "2 × stiffener", "13 1/2 in", "± 1/16 in", "412.8 mm", "30 min",
                  "4 × #6 × 1 1/4 in", "3 h 20 min"):  # fmt: skip
        assert any(whole in row for row in rows), (whole, rows)


def test_a_line_that_is_too_narrow_for_a_number_breaks_it_and_loses_nothing() -> None:
    assert fold("12 15/32 in", 6) == ["12", "15/32", "in"]


@pytest.mark.parametrize("size", SIZES)
def test_open_glue_is_drawn_larger_than_any_number(size: tuple[int, int]) -> None:
    card = replace(GLUE, numbers=FULL.numbers)
    frame = frame_of(card, size)
    assert frame.sheet.band_scale >= 1
    calm = frame_of(replace(card, timers=(CLAMP_TIMER,)), size)
    assert calm.sheet.band_scale == 0
    drawn = [row.text for row in frame.body if set("█▀▄") & set(row.text)]
    if frame.sheet.band_scale == 1:
        assert not drawn
    assert len(drawn) < len(frame.band) * 3


@pytest.mark.parametrize("size", SIZES)
def test_close_now_keeps_the_digits_of_the_clock_as_large_as_before(size: tuple[int, int]) -> None:
    nearly = replace(GLUE_TIMER, due_s=NOW_S + 20)
    card = replace(GLUE, timers=(nearly, CLAMP_TIMER))
    calm = frame_of(card, size)
    alarm = Alarm(nearly, TimerStage.NEARLY)
    loud = arrange_frame(View(card, "", (alarm,), NOW_S, "UTC", *size, is_read=True))
    assert loud.alarm
    assert loud.sheet.band_scale == calm.sheet.band_scale
    assert loud.places == calm.places


@pytest.mark.parametrize("size", SIZES)
def test_a_caution_over_open_glue_keeps_the_countdown_large(size: tuple[int, int]) -> None:
    card = replace(CAUTION, timers=(GLUE_TIMER, CLAMP_TIMER))
    for frame in pages_of(card, size):
        assert frame.sheet.band_scale >= 1 or size[1] < 16


@pytest.mark.parametrize("key", ["w", "m", "question_mark"])
async def test_the_pages_keep_counting_while_glue_is_open(key: str) -> None:
    bench = FakeBench(GLUE)
    async with sight_of(bench) as sight:
        await sight.press(key)
        assert "closes in 4:10" in sight.words()
        bench.time_s += 1
        sight.screen.tick()
        assert "closes in 4:09" in sight.words()
        await sight.press("2")
        assert sight.open_page() is None


async def test_no_countdown_stands_on_pages_without_open_glue() -> None:
    async with sight_of(FakeBench(replace(STEP, timers=(CLAMP_TIMER,)))) as sight:
        await sight.press("w")
        assert "clamps" not in sight.words()


def test_cautions_answered_before_stand_together_on_one_page_after_the_new_ones() -> None:
    known = replace(SAW_CAUTION, known=True)
    card = replace(CAUTION, cautions=(known, LONG_CAUTION, replace(NOISE, known=True)))
    new, old = pages_of(card, (80, 24))
    assert "avoid words" in words_of(new.body)
    assert "blade" not in words_of(new.body)
    shown = words_of(old.body)
    for text in (known.hand, known.avoid, NOISE.hand, NOISE.avoid, "WARNING", "CAUTION"):
        assert text.casefold() in shown.casefold()
    assert known.harm not in shown
    assert "ack" not in ids_of(new)
    assert "ready" in ids_of(old)


async def test_known_cautions_take_one_answer_at_its_own_place() -> None:
    known = tuple(replace(c, known=True) for c in (SAW_CAUTION, OTHER_SAW, NOISE))
    card = replace(CAUTION, version=8, cautions=known)
    bench = FakeBench(STEP)
    bench.react = lambda _: card
    async with sight_of(bench) as sight:
        at = sight.buttons()["done"].region
        for _ in range(3):
            sight.clock.pass_by(1)
            await sight.pilot.click(offset=(at.x + 2, at.y + 1))
        await sight.press("enter", "1", "d")
        assert len(bench.commands) == 1
        await sight.tap("ready")
        assert len(bench.commands) == 2


def test_a_reminder_makes_sense_by_itself() -> None:
    assert remind(NOISE) == NOISE.avoid
    assert remind(SAW_CAUTION) == SAW_CAUTION.hand
    held = replace(SAW_CAUTION, hand="Off the table until the plug is out.")
    assert remind(held) == "Other hand: off the table until the plug is out."
    assert remind(replace(SAW_CAUTION, hand="")) == SAW_CAUTION.avoid


def test_waiting_shows_the_wait_that_its_sentence_names() -> None:
    clamp = replace(CLAMP_TIMER, due_s=NOW_S + 600)
    frame = frame_of(replace(WAITING, timers=(clamp, PAINT_TIMER)), (80, 24))
    assert "paint, unit 3" in " ".join(row.text for row in frame.band[:4])
    assert "clamps, unit 2" in frame.band[4].text


def test_a_short_timer_says_what_it_counts() -> None:
    timer = replace(CLAMP_TIMER, name="stiffener glue, unit 1")
    shown = [
        frame_of(replace(STEP, timers=(timer,)), (width, 24)).band[0].text.strip()
        for width in (60, 46, 40)
    ]
    assert shown[0].startswith("stiffener glue, unit 1: clamps off in 30 min")
    assert shown[1].startswith("stiffener glue u1: clamps off in 30 min")
    assert shown[2] == "stiffener glue u1: off in 30 min"


def test_the_pencil_mark_says_what_it_is_or_is_not_there() -> None:
    assert "mark 2 L" in frame_of(STEP, (80, 24)).top[0].text
    narrow = frame_of(replace(STEP, mark="2 L, 2 R"), (40, 15)).top[0].text
    assert "2 L" not in narrow or "mark 2 L, 2 R" in narrow
    assert "2 L" not in frame_of(STEP, (30, 15)).top[0].text


@pytest.mark.parametrize("size", SIZES)
def test_a_finished_batch_names_its_record(size: tuple[int, int]) -> None:
    assert "log" in words_of(frame_of(COMPLETE, size).body).lower()
    assert "`shopstep log`" in words_of(frame_of(COMPLETE, (80, 24)).body)


async def test_hold_is_on_its_key_where_it_has_no_button() -> None:
    for size in SIZES:
        bench = FakeBench(FULL)
        bench.react = lambda _: replace(HELD, version=9)
        async with sight_of(bench, size) as sight:
            await sight.press("3")
            assert sight.screen.card.mode is CardMode.HELD
            await sight.press("3")
        assert [type(c).__name__ for c in bench.commands] == ["HoldBatch", "ResumeBatch"]
