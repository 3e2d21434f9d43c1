"""Numbers in words. The expected words were written by hand from how rules are read aloud;
how fractions are read ("three quarters", "a half") is common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.present.spoken import (
    say_angle,
    say_decimal,
    say_inches,
    say_integer,
    say_length,
    say_mm,
    say_span,
    say_text,
    say_value,
)
from shopstep.units import SIXTY_FOURTH, Angle, Length

SIXTY_FOURTHS = """
one sixty-fourth | one thirty-second | three sixty-fourths | one sixteenth
five sixty-fourths | three thirty-seconds | seven sixty-fourths | one eighth
nine sixty-fourths | five thirty-seconds | eleven sixty-fourths | three sixteenths
thirteen sixty-fourths | seven thirty-seconds | fifteen sixty-fourths | one quarter
seventeen sixty-fourths | nine thirty-seconds | nineteen sixty-fourths | five sixteenths
twenty-one sixty-fourths | eleven thirty-seconds | twenty-three sixty-fourths | three eighths
twenty-five sixty-fourths | thirteen thirty-seconds | twenty-seven sixty-fourths | seven sixteenths
twenty-nine sixty-fourths | fifteen thirty-seconds | thirty-one sixty-fourths | half
thirty-three sixty-fourths | seventeen thirty-seconds | thirty-five sixty-fourths | nine sixteenths
thirty-seven sixty-fourths | nineteen thirty-seconds | thirty-nine sixty-fourths | five eighths
forty-one sixty-fourths | twenty-one thirty-seconds | forty-three sixty-fourths | eleven sixteenths
forty-five sixty-fourths | twenty-three thirty-seconds | forty-seven sixty-fourths | three quarters
forty-nine sixty-fourths | twenty-five thirty-seconds | fifty-one sixty-fourths | thirteen sixteenths
fifty-three sixty-fourths | twenty-seven thirty-seconds | fifty-five sixty-fourths | seven eighths
fifty-seven sixty-fourths | twenty-nine thirty-seconds | fifty-nine sixty-fourths | fifteen sixteenths
sixty-one sixty-fourths | thirty-one thirty-seconds | sixty-three sixty-fourths | one inch
"""  # noqa: E501 - sixteen rows of four, as on a rule
GOLDEN = [words.strip() for row in SIXTY_FOURTHS.strip().splitlines() for words in row.split("|")]


@pytest.mark.parametrize("marks", range(1, 65))
def test_each_mark_of_an_inch_is_said_as_it_is_read_from_a_rule(marks: int) -> None:
    words = GOLDEN[marks - 1]
    expected = {"half": "half an inch", "one inch": "one inch"}.get(words, f"{words} of an inch")
    assert say_inches(SIXTY_FOURTH.times(marks)) == expected


@pytest.mark.parametrize(
    ("inches", "words"),
    [
        ("99/8", "twelve and three eighths inches"),
        ("3/2", "one and a half inches"),
        ("5/4", "one and one quarter inches"),
        ("75/4", "eighteen and three quarters inches"),
        ("2", "two inches"),
        ("0", "zero inches"),
        ("-1/16", "minus one sixteenth of an inch"),
        ("-1", "minus one inch"),
    ],
)
def test_whole_inches_and_a_fraction_are_joined_by_and(inches: str, words: str) -> None:
    assert say_inches(Length.inches(inches)) == words


def test_a_length_just_below_an_inch_carries_to_the_inch() -> None:
    assert say_inches(Length.inches(Fraction(1999, 1000))) == "two inches"


@pytest.mark.parametrize(
    ("mm", "words"),
    [
        ("412.8", "four hundred twelve point eight millimetres"),
        ("1", "one millimetre"),
        ("0.4", "zero point four millimetres"),
        ("1200", "one thousand two hundred millimetres"),
        ("-3.5", "minus three point five millimetres"),
    ],
)
def test_millimetres_are_said_digit_by_digit_after_the_point(mm: str, words: str) -> None:
    assert say_mm(Length.mm(mm)) == words
    assert say_length(Length.mm(mm), "mm") == words


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0, "zero"),
        (13, "thirteen"),
        (20, "twenty"),
        (21, "twenty-one"),
        (100, "one hundred"),
        (305, "three hundred five"),
        (1_000, "one thousand"),
        (70_019, "seventy thousand nineteen"),
        (999_999, "nine hundred ninety-nine thousand nine hundred ninety-nine"),
        (-4, "minus four"),
    ],
)
def test_whole_numbers_are_said_in_words(value: int, words: str) -> None:
    assert say_integer(value) == words


def test_a_number_beyond_the_words_is_refused() -> None:
    with pytest.raises(ValueError, match="beyond"):
        say_integer(1_000_000)


@given(st.integers(0, 999_999), st.integers(0, 999_999))
def test_different_numbers_never_sound_the_same(one: int, other: int) -> None:
    assert (say_integer(one) == say_integer(other)) == (one == other)


@given(st.integers(-6400, 6400), st.integers(-6400, 6400))
def test_different_marks_never_sound_the_same(one: int, other: int) -> None:
    said = [say_inches(SIXTY_FOURTH.times(marks)) for marks in (one, other)]
    assert (said[0] == said[1]) == (one == other)


def test_angles_decimals_and_spans_are_said_in_words() -> None:
    assert say_angle(Angle.degrees("22.5")) == "twenty-two point five degrees"
    assert say_angle(Angle.degrees(1)) == "one degree"
    assert say_angle(Angle.degrees(-15)) == "minus fifteen degrees"
    assert say_decimal("7.05") == "seven point zero five"
    assert say_span(240) == "four minutes"
    assert say_span(5400) == "one hour thirty minutes"
    assert say_span(61) == "one minute one second"
    assert say_span(2 * 86400 + 3 * 3600 + 60) == "two days three hours"
    assert say_span(-5) == "no time"


def test_a_number_of_a_step_is_said_by_what_it_measures() -> None:
    assert say_value(4) == "four"
    assert say_value(Angle.degrees(15)) == "fifteen degrees"
    assert say_value(Length.inches("7/2")) == "three and a half inches"
    assert say_value(Length.mm("9.5"), "mm") == "nine point five millimetres"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Set the fence to 3 1/2 in.", "Set the fence to three and a half inches."),
        ("at least 12 in from the point", "at least twelve inches from the point"),
        ("Tilt 15° and cut 412.8 mm.",
         "Tilt fifteen degrees and cut four hundred twelve point eight millimetres."),
        ("Put 3 parts in a row.", "Put 3 parts in a row."),
        ("Put 2 in each end, 3 in a row.", "Put 2 in each end, 3 in a row."),
        ("Rip to 0.25 in", "Rip to zero point two five inches"),
        ("#6 × 1 1/4 in screw", "#6 × one and one quarter inches screw"),
        ("1/0 in", "1/0 in"),
    ],
)  # fmt: skip
def test_lengths_inside_a_sentence_become_words(text: str, said: str) -> None:
    assert say_text(text) == said
