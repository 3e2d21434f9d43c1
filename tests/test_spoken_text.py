"""Whole sentences in words. The expected words were written by hand; how clock times, days and
screws are read aloud is common practice, no source.
"""

from __future__ import annotations

import re

import pytest

from shopstep.present.card import CardTimer
from shopstep.present.said import card_sentences, number_sentences, timer_sentences
from shopstep.present.spoken_text import say_clock, say_day, say_ordinal, say_words
from shopstep.units import SIXTY_FOURTH, Length, format_length
from tests.every_card import every_card, shelf_plan
from tests.shelf_builds import BUILDS
from tests.test_present_spoken import GOLDEN

WORDS_ALONE = re.compile(r"[A-Za-z .,;:!?'’\"-]+")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("glue, unit 2: closes in 4:10", "glue, unit two: closes in four minutes ten seconds"),
        ("CLOSE NOW, 0:50 left", "close now, fifty seconds left"),
        ("TOO LATE, over by 1:02:09", "too late, over by one hour two minutes"),
        ("closes in 1:02:09", "closes in one hour two minutes"),
        ("2 d 03:00", "two days three hours"),
        (
            "in 3 h 57 min (at 21:57)",
            "in three hours fifty-seven minutes, at twenty-one fifty-seven",
        ),
        ("after 1 min, 1 h or 1 day", "after one minute, one hour or one day"),
        ("tomorrow 8:05", "tomorrow eight oh five"),
        ("from 8:00 to 18:00", "from eight o’clock to eighteen hundred"),
        ("Sunday 0:00", "Sunday midnight"),
        (
            "begin by Sat 24 Jan 18:08 (16 days 8 min left)",
            "begin by Saturday the twenty-fourth of January eighteen oh eight, sixteen days"
            " eight minutes left",
        ),
        ("3 May 8:05", "the third of May eight oh five"),
        ("Wed 26 Nov 2025", "Wednesday the twenty-sixth of November two thousand twenty-five"),
        ("2026-01-15", "the fifteenth of January two thousand twenty-six"),
        ("At 9 °C and 70 %", "At nine degrees Celsius and seventy percent"),
        ("-5 °C, 1 °C", "minus five degrees Celsius, one degree Celsius"),
        ("41 °F", "forty-one degrees Fahrenheit"),
        ("tilt the blade 4.8° more", "tilt the blade four point eight degrees more"),
        ("1/2 in ± 1/64 in", "half an inch plus or minus one sixty-fourth of an inch"),
        ("− 3/16 in", "minus three sixteenths of an inch"),
        ("1/8-1/4 in", "one eighth to one quarter of an inch"),
        ("8-1/4 in", "eight and one quarter inches"),
        ("3 1/2 × 20 in", "three and one half by twenty inches"),
        ("9.5 to 12 mm", "nine point five to twelve millimetres"),
        ("11 × #8 × 2 in exterior screw", "eleven number eight by two inches exterior screw"),
        ("2 × 18-gauge × 1 1/2 in brad", "two eighteen gauge by one and a half inches brad"),
        ("36 × 1/4 in crown", "thirty-six of one quarter of an inch crown"),
        ("Crosscut: 4 × side strip.", "Crosscut: four of side strip."),
        ("pencil mark 1 L, 2 R", "pencil mark one left, two right"),
        ("Are 2 marked L and 2 R?", "Are two marked L and two R?"),
        ("a 3/8 in one, put 2 in each end", "a three eighths of an inch one, put two in each end"),
        ("about 10 lb, 40 kg", "about ten pounds, forty kilograms"),
        ("Glasses Z87+. Done (now).", "Glasses Z eighty-seven plus. Done, now."),
        ("12345678, inside_length", "one two three four five six seven eight, inside length"),
        ("99:99 and 1/7", "ninety-nine: ninety-nine and one over seven"),
        ("Nothing → to say…", "Nothing to to say."),
    ],
)  # fmt: skip
def test_a_sentence_is_said_as_people_say_it(text: str, said: str) -> None:
    assert say_words(text) == said
    assert say_words(said) == said  # words stay words


@pytest.mark.parametrize("marks", range(1, 65))
def test_each_mark_of_a_rule_is_said_the_same_in_a_sentence(marks: int) -> None:
    words = {"half": "half an inch", "one inch": "one inch"}.get(
        GOLDEN[marks - 1], f"{GOLDEN[marks - 1]} of an inch"
    )
    text = format_length(SIXTY_FOURTH.times(marks), "in")
    assert say_words(f"Fence at {text}.") == f"Fence at {words}."


def test_every_tenth_of_a_millimetre_is_said_by_its_own_words() -> None:
    said = [say_words(format_length(Length.mm(f"{n / 10}"), "mm")) for n in range(1, 2001)]
    assert len(set(said)) == 2000
    assert said[4127 - 3000] == "one hundred twelve point eight millimetres"


def test_every_minute_of_a_day_and_every_day_of_a_year_has_words_of_its_own() -> None:
    clocks = {say_words(f"{hour}:{minute:02d}") for hour in range(24) for minute in range(60)}
    assert len(clocks) == 24 * 60
    assert {say_clock(8, 5), say_clock(13, 0), say_clock(0, 7)} == {
        "eight oh five", "thirteen hundred", "zero oh seven",
    }  # fmt: skip
    assert len({say_day(day, month) for day in range(1, 32) for month in range(1, 13)}) == 372
    wanted = "first second third fourth fifth eighth ninth eleventh twelfth twentieth thirty-first"
    assert [say_ordinal(n) for n in (1, 2, 3, 4, 5, 8, 9, 11, 12, 20, 31)] == wanted.split()


@pytest.mark.parametrize("display", ["in", "mm"])
@pytest.mark.parametrize("build", BUILDS)
def test_all_that_the_cards_of_the_shelf_say_is_words(build: str, display: str) -> None:
    plan = shelf_plan(build, display)
    heard = 0
    for card in every_card(plan):
        sentences = [*card_sentences(card), *number_sentences(card)]
        for timer in card.timers:
            sentences += timer_sentences(timer, timer.due_s - 50, plan.zone)
        assert sentences
        for sentence in sentences:
            assert WORDS_ALONE.fullmatch(sentence), sentence
            assert sentence.endswith((".", "?", "!"))
            assert say_words(sentence) == sentence
        for number in card.numbers:
            twice = [s for s in number_sentences(card) if number.spoken.lower() in s.lower()]
            assert len(twice) >= 2 or card.mode.value == "caution", number
            heard += 1
    assert heard > 20


def test_an_alarm_says_first_what_is_to_be_done() -> None:
    timer = CardTimer("left glue, unit 2", "open", 1000, 1300, True, "u2/glue/close")
    assert timer_sentences(timer, 1250, "UTC") == (
        "Close now.", "Left glue, unit two.", "Left glue.", "Fifty seconds left.",
    )  # fmt: skip
    assert timer_sentences(timer, 1365, "UTC")[0] == "Too late."
    cure = CardTimer("floor: ends", "clamp", 1000, 1300, False, "u2/glue/next")
    assert timer_sentences(cure, 1300, "UTC") == (
        "Ready.", "Floor: ends.", "The clamps may come off.",
    )  # fmt: skip
