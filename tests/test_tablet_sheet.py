"""The card as the page gets it: words of the other faces, buttons, and what leads on."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from shopstep.present.card import CardMode, StepCard
from shopstep.present.lines import MANUAL_FIRST
from shopstep.present.moments import timer_words
from shopstep.tablet.asking import Asked
from shopstep.tablet.bench_thread import BenchThread
from shopstep.tablet.sheet import clocks_of, sheet_of
from tests.fake_bench import CAUTION, COMPLETE, GLUE, OUTSIDE, STEP, WAITING, FakeBench


def sheet(card: StepCard) -> dict[str, Any]:
    """The sheet of a card as a page reads it."""
    made: dict[str, Any] = json.loads(json.dumps(sheet_of(FakeBench(card), card)))
    return made


def test_a_step_has_its_words_and_what_leads_on_is_marked() -> None:
    made = sheet(STEP)
    assert (made["step"], made["version"]) == (STEP.step_id, STEP.version)
    assert (made["headline"], made["sentence"]) == (STEP.headline, STEP.sentence)
    assert made["numbers"] == [[n.label, n.text, n.spoken] for n in STEP.numbers]
    first = made["actions"][0]
    assert first[0] in ("done", "measure")
    assert first[2:] == [True, True], "it waits until all was read, and it is lit"
    assert [row[3] for row in made["actions"][1:]] == [False] * (len(made["actions"]) - 1)


def test_on_a_caution_nothing_is_lit_and_all_its_words_are_there() -> None:
    made = sheet(CAUTION)
    assert CAUTION.mode is CardMode.CAUTION
    assert not any(row[3] for row in made["actions"])
    assert made["manual"] == MANUAL_FIRST
    words = json.dumps(made["cautions"], ensure_ascii=False)
    for caution in CAUTION.cautions:
        for text in (caution.signal, caution.harm, caution.avoid, caution.hand, caution.done):
            assert json.dumps(text, ensure_ascii=False)[1:-1] in words


class BetterOnce(FakeBench):
    """Finds a better plan once; like the real one, its card tells it only then."""

    def better(self) -> StepCard | None:
        """The card under it."""
        notice = "" if self.told else "The plan is better by an evening now."
        self.told = True
        return replace(STEP, notice=notice) if notice else None

    told = False


async def test_a_plan_that_got_better_is_told_until_something_is_done() -> None:
    bench = BetterOnce(STEP)
    thread = BenchThread(lambda: bench)
    await thread.open()
    for _ in range(2):
        told = json.loads((await thread.look()).sheet)["notice"]
        assert told.startswith("The plan is better by an evening now.")
    asked = Asked("0" * 32, "do hold", STEP.step_id, STEP.version)
    assert (await thread.answer(asked))["ok"]
    assert "better" not in json.loads((await thread.look()).sheet)["notice"]
    thread.close()


def test_while_one_waits_back_is_no_way_on() -> None:
    assert not any(row[3] for row in sheet(WAITING)["actions"])
    assert not any(row[3] for row in sheet(COMPLETE)["actions"])


def test_every_page_that_a_row_asks_for_is_there() -> None:
    for card in (STEP, CAUTION, GLUE, WAITING, COMPLETE):
        menus = sheet(card)["menus"]
        for menu in menus.values():
            assert menu["title"]
            for choice, label in menu["rows"]:
                assert label
                verb, _, name = choice.partition(" ")
                assert verb in ("do", "take", "say", "ask", "open", "back_to_step"), choice
                assert verb != "ask" or name in menus


def test_what_lies_outside_is_asked_about_once_more_and_nothing_else_is() -> None:
    rows = sheet(OUTSIDE)["menus"]["keep"]["rows"]
    assert rows == [
        ["", "Measured: 1/8 in."],
        ["", "Planned: 0 in ± 1/16 in."],
        ["", "What was checked: difference of the diagonals."],
        ["keep it", "Keep it"],
    ]
    assert "keep" not in sheet(STEP)["menus"]


def test_clocks_are_told_in_the_words_of_every_face_what_presses_first() -> None:
    now_s = GLUE.timers[0].started_s + 60
    told = clocks_of(GLUE, now_s, "UTC")
    assert [f"{t['name']}: {t['words']}" for t in told["timers"]] == [
        timer_words(timer, now_s, "UTC")
        for timer in sorted(GLUE.timers, key=lambda t: (not t.is_most, t.due_s <= now_s, t.due_s))
    ]
    assert told["timers"][0]["most"]
