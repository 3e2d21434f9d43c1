"""The small arithmetic of build files: lengths, angles, numbers and choices, dimension checked.

``14 3/8 in + 2*board``, ``if side is short then box_width else box_length``. Parsed by a grammar;
an expression is data and can run nothing. Imports ``model`` and ``units``; lark loads late.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any, Protocol

from shopstep.design.expression_words import say_no_sum, say_unexpected
from shopstep.units import Angle, Length, UnitError, parse_angle, parse_length
from shopstep.words import say

Value = Length | Angle | Fraction | bool | str
Lookup = Callable[[str], Value]

LONGEST = 300
LARGEST_NUMBER = 10**24
"""For numerators and denominators; the tangent of an angle is a fraction of many digits."""
DEEPEST = 24

GRAMMAR = r"""
?start: choice
?choice: "if" test "then" choice "else" choice -> when
       | test
?test: conj | test "or" conj -> either
?conj: rel | conj "and" rel -> both
?rel: sum | sum "is" sum -> same | sum "is" "not" sum -> differs
    | sum "<=" sum -> le | sum "<" sum -> lt | sum ">=" sum -> ge | sum ">" sum -> gt
    | "not" rel -> negate
?sum: product | sum "+" product -> add | sum "-" product -> sub
?product: unary | product ("*"|"×") unary -> mul | product ("/"|"÷") unary -> div
?unary: ("-"|"−") unary -> neg | atom
?atom: LENGTH -> length | ANGLE -> angle | NUMBER -> number | NAME -> name
     | NAME "(" choice ("," choice)* ")" -> call | "(" choice ")"
LENGTH.4: /@N\s*(?:ft|in|mm|cm|m)(?![A-Za-z_])(?:\s+@N\s*in(?![A-Za-z_]))?/
ANGLE.4: /\d+(?:\.\d+)?\s*(?:deg\b|°)/
NUMBER.2: /\d+(?:\.\d+)?/
NAME: /[A-Za-z_][A-Za-z0-9_]*(?:\.[A-Za-z_][A-Za-z0-9_]*)?/
%import common.WS
%ignore WS
""".replace("@N", r"(?:\d+\s+\d+\/\d+|\d+\/\d+|\d+(?:\.\d+)?|\.\d+)")


class ExpressionError(ValueError):
    """An expression that cannot be read or worked out: a plain sentence, the column if known."""

    def __init__(self, text: str, column: int = 0) -> None:
        super().__init__(
            say("{text} (column {column})", text=text, column=column) if column else text
        )


class Node(Protocol):
    """What the parser hands over: a token or a tree."""

    data: str
    children: list[Any]


@dataclass(frozen=True, slots=True)
class Expression:
    """A parsed expression: ask it for its names, or for its value."""

    text: str
    tree: Any

    def names(self) -> frozenset[str]:
        """Every name that the expression refers to, dotted ones whole."""
        return frozenset(_names(self.tree))

    def value(self, lookup: Lookup) -> Value:
        """Work it out; ``lookup`` gives the value of a name. ExpressionError on a misfit."""
        return _work_out(self.tree, lookup)


@cache
def _parser() -> Any:
    from lark import Lark

    return Lark(GRAMMAR, parser="lalr", maybe_placeholders=False, propagate_positions=True)


@dataclass(frozen=True, slots=True)
class _Leaf:
    """A literal or a name that needs no parser."""

    data: str
    children: tuple[Any, ...]


_PLAIN_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*(?:\.[A-Za-z_][A-Za-z0-9_]*)?")
RESERVED = frozenset({"if", "then", "else", "and", "or", "not", "is"})
"""Words that cannot be names."""


@cache
def parse_expression(text: str) -> Expression:
    """The expression in a text; ExpressionError says what is wrong and at which column."""
    plain = text.strip()
    if not plain:
        raise ExpressionError(say("a size is missing; write a length such as 3/4 in, or a name"))
    if len(plain) > LONGEST:
        raise ExpressionError(
            say("an expression has at most {longest} characters; name its parts", longest=LONGEST)
        )
    if _PLAIN_NAME.fullmatch(plain) and plain not in RESERVED:
        return Expression(text, _Leaf("name", (plain,)))
    try:
        return Expression(text, _Leaf("literal", (parse_length(plain),)))
    except UnitError:
        return Expression(text, _parse(plain))


def _parse(text: str) -> Any:
    depth = 0
    for column, ch in enumerate(text, 1):
        depth += (ch == "(") - (ch == ")")
        if depth > DEEPEST:
            raise ExpressionError(say("brackets nested too deeply"), column)
    from lark.exceptions import UnexpectedCharacters, UnexpectedInput

    try:
        return _parser().parse(text)
    except UnexpectedCharacters as problem:
        raise ExpressionError(
            say(
                "'{text}' has no meaning in '{text_2}'", text=text[problem.column - 1], text_2=text
            ),
            problem.column,
        ) from None
    except UnexpectedInput as problem:
        raise ExpressionError(*say_unexpected(text, problem)) from None


def _names(tree: Any) -> list[str]:
    if tree.data == "name":
        return [str(tree.children[0])]
    if tree.data in ("length", "angle", "number", "literal"):
        return []
    start = 1 if tree.data == "call" else 0
    return [name for child in tree.children[start:] for name in _names(child)]


def kind_of(value: Value) -> str:
    """The kind of a value in words: a length, an angle, a number, a condition or a choice."""
    if isinstance(value, Length):
        return say("a length")
    if isinstance(value, Angle):
        return say("an angle")
    if isinstance(value, bool):
        return say("a condition")
    return say("a number") if isinstance(value, Fraction) else say("a choice")


def _work_out(tree: Any, lookup: Lookup) -> Value:
    value = _NODES[tree.data](tree, lookup)
    if isinstance(value, Fraction) and (
        abs(value.numerator) > LARGEST_NUMBER or value.denominator > LARGEST_NUMBER
    ):
        raise ExpressionError(say("a number this large, or this fine, is no size"), _column(tree))
    return value


def _arguments(tree: Any, lookup: Lookup) -> list[Value]:
    return [_work_out(child, lookup) for child in tree.children]


def _literal_text(tree: Any, _: Lookup) -> Value:
    text = str(tree.children[0])
    try:
        if tree.data == "length":
            return parse_length(text)
        return parse_angle(text) if tree.data == "angle" else Fraction(text)
    except UnitError as problem:
        raise ExpressionError(str(problem)) from None


def _add(tree: Any, lookup: Lookup) -> Value:
    left, right = _arguments(tree, lookup)
    sign = 1 if tree.data == "add" else -1
    word = say("and") if sign == 1 else say("less")
    if isinstance(left, Length) and isinstance(right, Length):
        return Length(left.nm + sign * right.nm)
    if isinstance(left, Angle) and isinstance(right, Angle):
        return Angle(left.microdeg + sign * right.microdeg)
    if isinstance(left, Fraction) and isinstance(right, Fraction):
        return left + sign * right
    bare = {type(left), type(right)} == {Length, Fraction}
    raise ExpressionError(say_no_sum(kind_of(left), word, kind_of(right), bare), _column(tree))


def _column(tree: Any) -> int:
    return getattr(getattr(tree, "meta", None), "column", 0) or 0


def _mul(tree: Any, lookup: Lookup) -> Value:
    left, right = _arguments(tree, lookup)
    if isinstance(left, Fraction) and isinstance(right, (Length, Angle, Fraction)):
        left, right = right, left
    if isinstance(right, Fraction):
        if isinstance(left, Length):
            return left.times(right)
        if isinstance(left, Angle):
            return Angle(round(left.microdeg * right))
        if isinstance(left, Fraction):
            return left * right
    raise ExpressionError(
        say(
            "{kind_of} times {kind_of_2} is no size",
            kind_of=kind_of(left),
            kind_of_2=kind_of(right),
        ),
        _column(tree),
    )


def _div(tree: Any, lookup: Lookup) -> Value:
    left, right = _arguments(tree, lookup)
    if isinstance(right, (Length, Fraction)) and right == type(right)(0):
        raise ExpressionError(say("divided by zero"), _column(tree))
    if isinstance(left, Length) and isinstance(right, Length):
        return left.ratio(right)
    if isinstance(right, Fraction):
        if isinstance(left, Length):
            return left.over(right)
        if isinstance(left, Angle):
            return Angle(round(left.microdeg / right))
        if isinstance(left, Fraction):
            return left / right
    raise ExpressionError(
        say(
            "{kind_of} divided by {kind_of_2} is no size",
            kind_of=kind_of(left),
            kind_of_2=kind_of(right),
        ),
        _column(tree),
    )


def _neg(tree: Any, lookup: Lookup) -> Value:
    (value,) = _arguments(tree, lookup)
    if isinstance(value, Length):
        return -value
    if isinstance(value, Angle):
        return Angle(-value.microdeg)
    if isinstance(value, Fraction):
        return -value
    raise ExpressionError(say("{kind_of} has no minus", kind_of=kind_of(value)), _column(tree))


def _when(tree: Any, lookup: Lookup) -> Value:
    test, then, other = tree.children
    return _work_out(then if _truth(test, lookup) else other, lookup)


def _truth(tree: Any, lookup: Lookup) -> bool:
    value = _work_out(tree, lookup)
    if not isinstance(value, bool):
        raise ExpressionError(
            say("a condition is needed here, not {kind_of}", kind_of=kind_of(value)), _column(tree)
        )
    return value


def _compare(tree: Any, lookup: Lookup) -> Value:
    left, right = _arguments(tree, lookup)
    if type(left) is not type(right):
        raise ExpressionError(
            say(
                "{kind_of} cannot be compared with {kind_of_2}",
                kind_of=kind_of(left),
                kind_of_2=kind_of(right),
            ),
            _column(tree),
        )
    if tree.data in ("same", "differs"):
        return (left == right) is (tree.data == "same")
    if isinstance(left, (str, bool)):
        raise ExpressionError(
            say("{kind_of} has no more or less", kind_of=kind_of(left)), _column(tree)
        )
    order: Any = right
    tests: dict[str, bool] = {
        "le": left <= order,
        "lt": left < order,
        "ge": left >= order,
        "gt": left > order,
    }
    return tests[str(tree.data)]


def _call(tree: Any, lookup: Lookup) -> Value:
    name = str(tree.children[0])
    function = _FUNCTIONS.get(name)
    if function is None:
        known = ", ".join(sorted(_FUNCTIONS))
        raise ExpressionError(
            say("there is no '{name}(…)'; known are {known}", name=name, known=known), _column(tree)
        )
    values = [_work_out(child, lookup) for child in tree.children[1:]]
    try:
        return function(*values)
    except (TypeError, AttributeError, UnitError, ZeroDivisionError) as problem:
        said = str(problem) if isinstance(problem, UnitError) else _misfit(name, values)
        raise ExpressionError(said, _column(tree)) from None


def _misfit(name: str, values: list[Value]) -> str:
    return say(
        "{name}(…) cannot take {values}",
        name=name,
        values=", ".join(kind_of(v) for v in values) or say("nothing"),
    )


def _extreme(pick: Callable[..., Any]) -> Callable[..., Value]:
    def choose(*values: Value) -> Value:
        if len({type(v) for v in values}) != 1 or isinstance(values[0], (str, bool)):
            raise TypeError
        chosen: Value = pick(values)
        return chosen

    return choose


def _to_mark(rounding: Callable[[Fraction], int]) -> Callable[[Length, Length], Value]:
    def to_mark(length: Length, mark: Length) -> Value:
        return mark.times(rounding(length.ratio(mark)))

    return to_mark


def _whole(rounding: Callable[[Fraction], int]) -> Callable[[Fraction], Value]:
    def whole(number: Fraction) -> Value:
        if not isinstance(number, Fraction):
            raise TypeError
        return Fraction(rounding(number))

    return whole


def _hypot(a: Length, b: Length) -> Value:
    return Length(math.isqrt(a.nm * a.nm + b.nm * b.nm))


def _tangent(angle: Angle) -> Value:
    return angle.tangent()


_FUNCTIONS: dict[str, Callable[..., Value]] = {
    "min": _extreme(min),
    "max": _extreme(max),
    "up_to": _to_mark(math.ceil),
    "down_to": _to_mark(math.floor),
    "near": _to_mark(round),
    "floor": _whole(math.floor),
    "ceil": _whole(math.ceil),
    "round": _whole(round),
    "tan": _tangent,
    "diagonal": _hypot,
}

_NODES: dict[str, Callable[[Any, Lookup], Value]] = {
    "literal": lambda tree, _: tree.children[0],
    "name": lambda tree, lookup: lookup(str(tree.children[0])),
    "length": _literal_text,
    "angle": _literal_text,
    "number": _literal_text,
    "add": _add,
    "sub": _add,
    "mul": _mul,
    "div": _div,
    "neg": _neg,
    "when": _when,
    "both": lambda t, lk: _truth(t.children[0], lk) and _truth(t.children[1], lk),
    "either": lambda t, lk: _truth(t.children[0], lk) or _truth(t.children[1], lk),
    "negate": lambda t, lk: not _truth(t.children[0], lk),
    "same": _compare,
    "differs": _compare,
    "le": _compare,
    "lt": _compare,
    "ge": _compare,
    "gt": _compare,
    "call": _call,
}
