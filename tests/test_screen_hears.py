"""The bench screen that listens: when it does, what it shows, and what it never does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.session import commands as c
from shopstep.tui.glyphs import tall
from shopstep.tui.hearing import LOOKED_S
from shopstep.tui.screens.asked_page import AskedPage
from shopstep.tui.widgets.bar import Bar
from shopstep.tui.widgets.painting import Rows
from shopstep.units import Length
from shopstep.voice.hear_cautions import open_cautions
from shopstep.voice.hear_news import (
    CHANGED,
    Grammar,
    Judged,
    Level,
    Order,
    Ready,
    Trouble,
    news_line,
    order_line,
    read_news,
    read_order,
)
from shopstep.voice.hear_policy import ASKED_S, UNDO_S, Heard
from shopstep.voice.listening import ARMED_S, MORE_S, PUSHED_S
from shopstep.voice.vocabulary import ACK
from tests.fake_bench import CAUTION, GLUE, HELD, MEASURE, SIZES, STEP, FakeBench
from tests.fake_ears import QUIET, FakeEars, sight_that_hears, tell
from tests.heard_screen import kinds, line
from tests.test_speaking import FakeSpeech
from tests.test_tui_layouts import assert_fits_a_glove

NEXT = replace(STEP, version=8, step_id="u1/fit/dry", headline="Dry fit")
STARTS = replace(GLUE, actions=(replace(STEP.actions[0], id="start"), *STEP.actions))


# When it listens


async def test_a_press_opens_and_the_end_of_speech_closes() -> None:
    ears, bench = FakeEars(), FakeBench(STEP)
    bench.react = lambda _: NEXT
    async with sight_that_hears(bench, ears) as sight:
        assert not ears.listens()
        assert "push: t or tap here" in line(sight)
        await sight.press("t")
        assert ears.listens()
        assert f"LISTENING {PUSHED_S:.0f} s" in line(sight)
        grammar = ears.orders[-1].grammar
        assert grammar is not None
        assert "done" in grammar.actions
        assert "yes" not in grammar.actions
        await tell(sight, ears, ears.judged("done"))
        assert not ears.listens()
        assert "heard: mark it done; to undo: go back one step" in line(sight)
    assert kinds(bench) == ["FinishStep"]
    assert (bench.commands[0].step, bench.commands[0].seen) == (STEP.step_id, STEP.version)


async def test_a_second_press_is_the_end_of_what_was_said() -> None:
    ears = FakeEars()
    async with sight_that_hears(FakeBench(STEP), ears) as sight:
        await sight.press("t", "t")
        assert ears.orders[-1] == Order(None, is_cut=True)
        assert [order.grammar is not None for order in ears.orders] == [True, False]


async def test_nobody_speaks_and_it_shuts_but_who_began_is_heard_out() -> None:
    ears = FakeEars()
    async with sight_that_hears(FakeBench(STEP), ears) as sight:
        await sight.press("t")
        await tell(sight, ears, replace(QUIET, in_speech=True))
        sight.clock.pass_by(PUSHED_S + 0.5)
        await tell(sight, ears)
        assert ears.listens()
        sight.clock.pass_by(MORE_S)
        await tell(sight, ears)
        assert not ears.listens()
        assert "nobody was heard" in line(sight)


async def test_armed_listens_after_a_card_is_shown_and_push_does_not() -> None:
    for way in ("push", "armed"):
        ears, bench = FakeEars(), FakeBench(STEP)
        async with sight_that_hears(bench, ears, way) as sight:
            assert ears.listens() == (way == "armed")
            sight.clock.pass_by(ARMED_S + 0.1)
            await tell(sight, ears)
            assert not ears.listens()
            await sight.show(NEXT)
            await tell(sight, ears)
            assert ears.listens() == (way == "armed")


async def test_open_it_says_that_it_always_listens_and_a_press_stops_it() -> None:
    ears, bench = FakeEars(), FakeBench(STEP)
    bench.react = lambda _: NEXT
    async with sight_that_hears(bench, ears, "open") as sight:
        assert ears.listens()
        assert "open: ALWAYS LISTENING" in line(sight)
        sight.clock.pass_by(3600)
        await tell(sight, ears, ears.judged("done"))
        assert ears.listens()
        assert "open: ALWAYS" in line(sight)
        assert "heard: mark it done" in line(sight)
        await tell(sight, ears, replace(QUIET, in_speech=True))
        await sight.press("t")
        assert ears.orders[-1] == Order(None)
        assert "open: stopped" in line(sight)
        await sight.press("t")
        assert ears.listens()
    assert kinds(bench) == ["FinishStep"]


async def test_open_it_hears_nobody_while_the_card_is_said() -> None:
    ears, speech = FakeEars(), FakeSpeech(is_talking=True)
    async with sight_that_hears(FakeBench(STEP), ears, "open", speech=speech) as sight:
        assert not ears.listens()
        assert "speaks, not listening" in line(sight)
        speech.is_talking = False
        await tell(sight, ears)
        assert ears.listens()


async def test_it_never_listens_while_it_speaks_and_a_press_ends_its_words() -> None:
    ears, speech = FakeEars(), FakeSpeech(is_talking=True)
    async with sight_that_hears(FakeBench(STEP), ears, "armed", speech=speech) as sight:
        assert not ears.listens()
        assert "speaks, not listening" in line(sight)
        speech.is_talking = False
        await tell(sight, ears)
        assert ears.listens()
        speech.is_talking = True
        await tell(sight, ears)
        assert not ears.listens()
        speech.is_talking = False
        await sight.press("t")
        assert speech.said[-1] == ((), 0.9)
        assert ears.listens()


async def test_a_tap_on_the_line_and_a_row_of_more_are_the_key() -> None:
    ears = FakeEars()
    async with sight_that_hears(FakeBench(STEP), ears) as sight:
        sight.clock.pass_by(1)
        await sight.pilot.click("#ear")
        assert ears.listens()
        await sight.press("t", "m")
        await sight.tap("do talk")
        await tell(sight, ears)
        assert ears.listens()


# What it does


async def test_what_is_read_back_stands_large_and_waits_for_its_phrase() -> None:
    ears, bench = FakeEars(), FakeBench(MEASURE)
    async with sight_that_hears(bench, ears, "armed") as sight:
        value = Length.inches("1/32")
        await tell(sight, ears, ears.judged("measure", "the reading is …", value))
        page = sight.open_page()
        assert isinstance(page, AskedPage)
        assert "say: yes do that now; or: no leave it alone" in sight.words()
        assert bench.commands == []
        assert ears.listens()
        await tell(sight, ears, ears.judged("yes"))
        assert sight.open_page() is None
    assert [type(command) for command in bench.commands] == [c.TakeMeasure]
    assert isinstance(bench.commands[0], c.TakeMeasure)
    assert bench.commands[0].value == value


@pytest.mark.parametrize("size", SIZES)
async def test_a_number_that_was_heard_stands_in_tall_figures(size: tuple[int, int]) -> None:
    ears = FakeEars()
    async with sight_that_hears(FakeBench(MEASURE), ears, "armed", size) as sight:
        await tell(sight, ears, ears.judged("measure", "the reading is …", Length.inches("1/32")))
        assert isinstance(sight.open_page(), AskedPage)
        rows = [row.text for row in sight.app.screen.query_one("#words", Rows).rows]
        assert any(shows_tall_in(tall("1/32 in", scale), rows) for scale in (1, 2))


def shows_tall_in(drawn: list[str], rows: list[str]) -> bool:
    """Whether the tall letters stand in the rows, one under the other."""
    pieces = [piece.rstrip() for piece in drawn]
    return any(
        all(piece in row for piece, row in zip(pieces, rows[at:], strict=False))
        for at in range(len(rows) - len(pieces) + 1)
    )


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("choice", ["yes", "back_to_step"])
async def test_a_question_is_answered_by_a_tap_too(choice: str, size: tuple[int, int]) -> None:
    ears, bench = FakeEars(), FakeBench(STARTS)
    async with sight_that_hears(bench, ears, "armed", size) as sight:
        await tell(sight, ears, ears.judged("start"))
        assert_fits_a_glove(sight, size)
        assert sight.focused == "back_to_step"
        await sight.tap(choice)
        await sight.pilot.pause()
        assert sight.open_page() is None
    assert kinds(bench) == (["StartSpreading"] if choice == "yes" else [])


async def test_the_question_has_a_key_to_talk_and_silence_means_no() -> None:
    ears, bench = FakeEars(), FakeBench(STARTS)
    async with sight_that_hears(bench, ears) as sight:
        await sight.press("t")
        await tell(sight, ears, ears.judged("start"))
        assert not ears.listens()
        await sight.press("t")
        assert ears.listens()
        sight.clock.pass_by(ASKED_S + 1)
        await tell(sight, ears)
        assert sight.open_page() is None
        assert "left as it is" in line(sight)
        await sight.press("t")
        await tell(sight, ears, ears.judged("yes"))
    assert bench.commands == []


async def test_back_within_ten_seconds_undoes_what_voice_did() -> None:
    ears, bench = FakeEars(), FakeBench(STEP)
    held = replace(HELD, version=8)
    bench.react = lambda command: held if isinstance(command, c.HoldBatch) else STEP
    async with sight_that_hears(bench, ears, "armed") as sight:
        await tell(sight, ears, ears.judged("hold"))
        sight.clock.pass_by(UNDO_S - 5)
        await tell(sight, ears, ears.judged("back"))
    assert kinds(bench) == ["HoldBatch", "ResumeBatch"]


async def test_a_caution_is_answered_by_its_whole_sentence_and_by_nothing_else() -> None:
    ears, bench = FakeEars(), FakeBench(CAUTION)
    bench.react = lambda _: replace(STEP, version=8)
    (sentence,) = open_cautions(CAUTION).values()
    async with sight_that_hears(bench, ears, "armed", (120, 40)) as sight:
        grammar = ears.orders[-1].grammar
        assert grammar is not None
        assert grammar.cautions == (sentence,)
        assert "done" not in grammar.actions
        assert sentence in sight.screen.query_one("#ear", Bar).rows[1].text
        await tell(sight, ears, ears.judged(ACK, "understood"))
        assert bench.commands == []
        assert "no caution of this card" in sight.words()
        await tell(sight, ears, ears.judged(ACK, sentence))
        assert "to undo" not in line(sight)
        assert sentence not in sight.screen.query_one("#ear", Bar).rows[1].text
    assert kinds(bench) == ["AcknowledgeCaution"]


async def test_what_was_said_about_a_card_that_is_gone_does_nothing() -> None:
    ears, bench = FakeEars(), FakeBench(STEP)
    async with sight_that_hears(bench, ears) as sight:
        await sight.press("t")
        late = ears.judged("done")
        await sight.show(NEXT)
        await tell(sight, ears, late)
        assert CHANGED in line(sight) or "card changed" in line(sight)
    assert bench.commands == []


async def test_a_refused_phrase_does_nothing_and_says_why() -> None:
    ears, bench = FakeEars(), FakeBench(STEP)
    async with sight_that_hears(bench, ears, size=(120, 40)) as sight:
        await sight.press("t")
        why = "Not sure enough: one of the words was another."
        await tell(sight, ears, Judged(1, "mark it done", None, why))
        assert f"not taken: {why[:-1]} (nearest: mark it done)" in line(sight)
        assert not ears.listens()
    assert bench.commands == []


async def test_a_session_that_refuses_says_so_as_after_a_tap() -> None:
    ears, bench = FakeEars(), FakeBench(STEP)
    bench.react = lambda _: c.Refusal("The glue is not closed yet.", "needs_open")
    async with sight_that_hears(bench, ears, "armed") as sight:
        await tell(sight, ears, ears.judged("done"))
        assert "The glue is not closed yet." in sight.words()
        assert "to undo" not in line(sight)


async def test_a_disk_that_fails_is_told_and_nothing_counts_as_done() -> None:
    ears, bench = FakeEars(), FakeBench(STEP)

    def fail(_: c.Command) -> c.Refusal:
        raise OSError("disk full")

    bench.react = fail
    async with sight_that_hears(bench, ears, "armed") as sight:
        await tell(sight, ears, ears.judged("done"))
        assert "not saved" in sight.words()
        grammar = ears.orders[-1].grammar
        assert grammar is not None


@pytest.mark.parametrize(
    ("look", "words"),
    [
        ("why", "scrap shows the kerf"),
        ("number", "fence 12 3/8 in"),
        ("more", "1. Take:"),
    ],
)
async def test_what_is_asked_by_voice_is_shown_and_goes_by_itself(look: str, words: str) -> None:
    ears, bench = FakeEars(), FakeBench(STEP)
    async with sight_that_hears(bench, ears, "armed") as sight:
        await tell(sight, ears, ears.judged(look))
        assert words in sight.words()
        sight.clock.pass_by(LOOKED_S + 1)
        await tell(sight, ears)
        assert sight.open_page() is None
    assert bench.commands == []


async def test_again_and_slower_speak_where_there_is_a_voice() -> None:
    ears, speech = FakeEars(), FakeSpeech()
    async with sight_that_hears(FakeBench(STEP), ears, "armed", speech=speech) as sight:
        before = len(speech.said)
        await tell(sight, ears, ears.judged("again"))
        await tell(sight, ears, ears.judged("slower"))
        assert [pace for _, pace in speech.said[before:]] == [0.9, 0.7]


def test_what_screen_and_ear_tell_each_other_comes_back_whole() -> None:
    heard = Heard("measure", "the reading is one", Length.inches(1))
    for news in (
        Ready((("done", "mark it done"),), True), Level(-40.5, True, False),
        Judged(3, "mark it done", None, "No."), Judged(3, "x", heard, ""), Trouble("Gone."),
    ):  # fmt: skip
        assert read_news(news_line(news)) == news
    for order in (Order(), Order(Grammar(2, ("done",), ("keep clear of it",)), is_cut=True)):
        assert read_order(order_line(order)) == order
    with pytest.raises(ValueError, match="no news"):
        read_news('{"kind": "gossip"}')
