"""Lengths, angles and spans: exact, as people write them, and refused in plain words."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.units import (
    Angle,
    Length,
    UnitError,
    describe_shade,
    format_angle,
    format_clock,
    format_inches,
    format_length,
    format_mark,
    format_mm,
    format_span,
    parse_angle,
    parse_duration,
    parse_length,
    round_to_mark,
    shown_mark,
    write_exact,
)

INCH_MARKS = [Length.inches(Fraction(1, n)) for n in (2, 4, 8, 16, 32, 64)]
MM_MARKS = [Length.mm("0.1"), Length.mm("0.5"), Length.mm(1), Length.mm(5)]
LENGTHS = st.integers(-(10**10), 10**10).map(Length)


def test_every_64th_up_to_100_inches_reads_back_as_it_was_written() -> None:
    for marks in range(0, 6401):
        length = Length(marks * 396_875)
        assert parse_length(format_inches(length)) == length


def test_the_inch_and_its_marks_are_exact() -> None:
    """1 in = 25.4 mm exactly: NIST SP 811, appendix B.8 (from memory)."""
    assert parse_length("1 in") == parse_length("25.4 mm") == Length(25_400_000)
    # fractions in mm as rounded in the usual conversion table (computed)
    table = {"1/64": "0.397", "1/32": "0.794", "1/16": "1.588", "3/8": "9.525", "7/8": "22.225"}
    for fraction, mm in table.items():
        assert abs(parse_length(f"{fraction} in").in_mm - float(mm)) <= 0.00051


@given(st.lists(st.integers(-6400, 6400), max_size=30))
def test_a_sum_of_parts_never_differs_from_its_whole(marks: list[int]) -> None:
    parts = [Length(m * 396_875) for m in marks]
    total = Length(0)
    for part in parts:
        total = total + part
    assert total == Length(sum(marks) * 396_875)


@given(st.integers(1, 6399), st.sampled_from([8, 16, 32, 64]))
def test_rounding_to_a_mark_carries_into_whole_inches(marks: int, finest: int) -> None:
    length = Length(marks * 396_875)
    shown = parse_length(format_inches(length, finest))
    assert abs(shown.nm - length.nm) * 2 * finest <= 25_400_000
    assert "1/1" not in format_inches(length, finest).split()


def test_a_hair_under_two_inches_is_shown_as_two_inches() -> None:
    assert format_inches(Length.inches("1.999")) == "2 in"


@pytest.mark.parametrize(
    ("text", "nm"),
    [
        ("14 3/8 in", 365_125_000),
        ("3/4in", 19_050_000),
        ('5½"', 139_700_000),
        ("6 ft 2 in", 1_879_600_000),
        ("6' 2 1/2\"", 1_892_300_000),
        ("412.8 mm", 412_800_000),
        ("41.28 cm", 412_800_000),
        (".5 in", 12_700_000),
        ("-3/8 in", -9_525_000),
        ("14-3/8 in", 365_125_000),
        ("2 inches", 50_800_000),
    ],
)
def test_lengths_are_read_as_people_write_them(text: str, nm: int) -> None:
    assert parse_length(text).nm == nm


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("15 3/8/2", "is no length"),
        ("16 1/2", "has no unit"),
        ("", "missing"),
        ("412,8 mm", "comma"),
        ("3/0 in", "divides by zero"),
        ("1e9 in", "is no length"),
        ("nan in", "is no length"),
        ("2 in 6 ft", "is no length"),
        ("5 inx", "is no length"),
        ("200 m", "longer than 100 m"),
        ("16 5/7 in", "no rule is divided by 7"),
        ("16 17/16 in", "more than a whole"),
        ("9" * 200, "too long"),
    ],
)
def test_what_is_no_length_is_refused_with_a_hint(text: str, hint: str) -> None:
    with pytest.raises(UnitError, match=hint):
        parse_length(text)


@given(st.text(max_size=40))
def test_any_text_is_a_length_or_a_sentence(text: str) -> None:
    said = "a length"
    try:
        parse_length(text)
    except UnitError as problem:
        said = str(problem)
    assert said


def test_a_bevel_of_equal_rise_and_run_is_45_degrees() -> None:
    assert Angle.from_rise(Length.inches("3/8"), Length.inches("3/8")) == parse_angle("45 deg")
    assert format_angle(Angle.degrees("22.5")) == "22.5°"
    assert abs(Angle.degrees(45).tangent() - 1) < Fraction(1, 10**9)


def test_90_degrees_has_no_tangent() -> None:
    with pytest.raises(UnitError, match="no tangent"):
        Angle.degrees(90).tangent()


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("30 min", 1800), ("24 h", 86400), ("1 h 30 min", 5400), ("7 days", 604800)],
)
def test_spans_are_read_as_people_write_them(text: str, seconds: int) -> None:
    assert parse_duration(text).s == seconds


@pytest.mark.parametrize("text", ["", "soon", "3 fortnights", "400 days"])
def test_what_is_no_span_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        parse_duration(text)


def test_spans_and_clocks_are_shown_shortly() -> None:
    assert format_span(5400) == "1 h 30 min"
    assert format_span(45) == "45 s"
    assert format_span(0) == "0 min"
    assert format_clock(250) == "4:10"
    assert format_clock(-75) == "-1:15"
    assert format_clock(3729) == "1:02:09"
    assert format_clock(2 * 86400 + 3 * 3600) == "2 d 03:00"


def test_millimetres_drop_trailing_zeros() -> None:
    assert format_mm(Length.mm("412.75")) == "412.8 mm"
    assert format_mm(Length.mm(25)) == "25 mm"


@given(st.integers(0, 10**11).map(Length))
def test_what_is_written_exactly_reads_back_to_the_nanometre(length: Length) -> None:
    assert parse_length(write_exact(length)) == length


def test_every_64th_up_to_100_inches_is_written_in_inches_and_reads_back() -> None:
    for marks in range(0, 6401):
        length = Length(marks * 396_875)
        text = write_exact(length)
        assert text.endswith(" in")
        assert parse_length(text) == length


@given(LENGTHS, st.sampled_from([("in", m) for m in INCH_MARKS] + [("mm", m) for m in MM_MARKS]))
def test_a_length_is_shown_on_the_nearest_mark_of_the_persons_rule(
    length: Length, rule: tuple[str, Length]
) -> None:
    unit, mark = rule
    shown = parse_length(format_mark(length, unit, mark))
    assert shown.nm % mark.nm == 0
    assert abs(shown - length).nm * 2 <= mark.nm
    assert shown == round_to_mark(length, mark)


@given(LENGTHS, st.sampled_from([("in", m) for m in INCH_MARKS] + [("mm", m) for m in MM_MARKS]))
def test_a_shade_is_told_exactly_where_more_than_a_128th_is_hidden(
    length: Length, rule: tuple[str, Length]
) -> None:
    unit, mark = rule
    hidden = length - parse_length(format_mark(length, unit, mark))
    told = describe_shade(length, unit, mark)
    assert bool(told) == (abs(hidden.nm) * 128 > 25_400_000 - 128)  # 1/128 in is no whole nm
    if told:
        assert told == ("a shade over" if hidden.nm > 0 else "a shade under")


@pytest.mark.parametrize(
    ("length", "unit", "mark", "shown", "shade"),
    [
        (Length.inches("15.359375"), "in", Length.inches("1/16"), "15 3/8 in", "a shade under"),
        (Length.inches("15.390625"), "in", Length.inches("1/16"), "15 3/8 in", "a shade over"),
        (Length.inches("15.375"), "in", Length.inches("1/16"), "15 3/8 in", ""),
        (Length.inches("15.99"), "in", Length.inches("1/16"), "16 in", "a shade under"),
        (Length.mm("390.3"), "mm", Length.mm(1), "390 mm", "a shade over"),
    ],
)
def test_a_length_between_two_marks_says_on_which_side_it_lies(
    length: Length, unit: str, mark: Length, shown: str, shade: str
) -> None:
    assert format_mark(length, unit, mark) == shown
    assert describe_shade(length, unit, mark) == shade


def test_at_a_64th_or_a_tenth_of_a_millimetre_nothing_is_left_to_say() -> None:
    for nm in range(0, 3_000_000, 7_001):
        for unit in ("in", "mm"):
            assert describe_shade(Length(nm), unit) == ""
            assert format_mark(Length(nm), unit) == format_length(Length(nm), unit)


def test_a_mark_of_the_other_unit_is_left_aside() -> None:
    assert shown_mark("in", Length.mm("0.5")) == Length.inches("1/64")
    assert shown_mark("mm", Length.inches("1/16")) == Length.mm("0.1")
    assert shown_mark("in", Length.mm("0.1")) == Length.inches("1/64")


@given(st.lists(st.integers(1, 10**9), min_size=1, max_size=20), st.sampled_from(INCH_MARKS))
def test_rounding_what_is_shown_never_touches_the_sum_of_the_parts(
    parts: list[int], mark: Length
) -> None:
    lengths = [Length(nm) for nm in parts]
    whole = Length(sum(parts))
    shown = [parse_length(format_mark(length, "in", mark)) for length in lengths]
    hidden = [length - text for length, text in zip(lengths, shown, strict=True)]
    total = Length(0)
    for text, rest in zip(shown, hidden, strict=True):
        total = total + text + rest
    assert total == whole
