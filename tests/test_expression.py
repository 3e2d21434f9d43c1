"""The arithmetic of build files: right answers, and refusals with the column."""

from __future__ import annotations

import operator
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.design.expression import ExpressionError, Value, parse_expression
from shopstep.units import Angle, Length, parse_length

NAMES: dict[str, Value] = {
    "board": Length.inches("3/4"),
    "box": Length.inches("65/4"),
    "side": "short",
    "short": "short",
    "long": "long",
    "tilt": Angle.degrees(15),
    "three": Fraction(3),
    "panel.width": Length.inches(15),
}


def work_out(text: str) -> Value:
    """The value with the names above."""

    def lookup(name: str) -> Value:
        if name not in NAMES:
            raise ExpressionError(f"'{name}' is not known")
        return NAMES[name]

    return parse_expression(text).value(lookup)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("14 3/8 in + 2*board", "15 7/8 in"),
        ("box - 2*board", "14 3/4 in"),
        ("if side is short then box else board", "16 1/4 in"),
        ("if side is not short then box else board", "3/4 in"),
        ("board/2 + 3/4 in", "1 1/8 in"),
        ("up_to(board + 1/64 in, 1/16 in)", "13/16 in"),
        ("down_to(board - 1/64 in, 1/16 in)", "11/16 in"),
        ("min(board, 1 in, 2 mm)", "2 mm"),
        ("max(board, panel.width)", "15 in"),
        ("diagonal(3 in, 4 in)", "5 in"),
        ("6 ft 2 in - 1 in", "73 in"),
        ("-(board - 1 in)", "1/4 in"),
        ("(box / board) * 3 in", "65 in"),
        ("if board > 1 in or not side is long then 1 in else 2 in", "1 in"),
        ("2 × board ÷ 3", "1/2 in"),
        ("floor((box - 3 in) / 1 in) * 1 in", "13 in"),
    ],
)
def test_sizes_come_out_right(text: str, wanted: str) -> None:
    assert work_out(text) == parse_length(wanted)


def test_a_right_angle_of_tan_is_the_textbook_one() -> None:
    """tan 15° = 2 − √3, textbook trigonometry (from memory)."""
    got = work_out("tan(tilt) * 1 in")
    assert isinstance(got, Length)
    assert abs(got.nm - 25_400_000 * (2 - 3**0.5)) < 1


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("board + tilt", "a length and an angle cannot be put together"),
        ("board * board", "a length times a length is no size"),
        ("board / (1 - 1)", "divided by zero"),
        ("12 3/4", "with its unit"),
        ("board board", "column 7"),
        ("board +", "ends too early"),
        ("((", "ends too early"),
        ("3 ** 2", "not expected"),
        ("nonsense(2)", "known are ceil, diagonal"),
        ("bord", "not known"),
        ("min(board, 2)", "cannot take"),
        ("if board then 1 in else 2 in", "a condition is needed"),
        ("if board is tilt then 1 in else 2 in", "cannot be compared"),
        ("if side > short then 1 in else 2 in", "no more or less"),
        ("tan(90 deg)", "no tangent"),
        ("__import__('os')", "has no meaning"),
        ("board.__class__.__name__", "not expected|has no meaning"),
        ("", "missing"),
        ("1/0 in", "divides by zero"),
        ("(" * 10_000, "at most 300"),
        ("(" * 200, "nested too deeply"),
        ("up_to(board, 0 in)", "cannot take"),
    ],
)
def test_what_makes_no_sense_is_refused_in_words(text: str, hint: str) -> None:
    with pytest.raises(ExpressionError, match=hint):
        work_out(text)


@given(st.text(alphabet="board()+-*/ 123in.<>=,ftmdeg", max_size=60))
def test_any_text_is_a_value_or_a_sentence(text: str) -> None:
    said = "a value"
    try:
        work_out(text)
    except ExpressionError as problem:
        said = str(problem)
    assert said


SIZES = st.integers(1, 640).map(lambda n: (f"{n}/64 in", Length(n * 396_875)))
SIGNS = st.sampled_from([("+", operator.add), ("-", operator.sub)])


@given(SIZES, st.lists(st.tuples(SIGNS, SIZES), max_size=8))
def test_sums_agree_with_plain_integer_arithmetic(first, rest) -> None:  # type: ignore[no-untyped-def]
    text, wanted = first[0], first[1].nm
    for (sign, apply), (term, value) in rest:
        text += f" {sign} {term}"
        wanted = apply(wanted, value.nm)
    assert work_out(text) == Length(wanted)
