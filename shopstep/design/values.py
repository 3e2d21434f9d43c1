"""All named values of a build, worked out on demand: who depends on whom is found by asking.

A name that is asked for while it is being worked out is a cycle, and is reported with its whole
ring. Imports ``model`` and ``units`` and this room's expressions.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from shopstep.design.expression import RESERVED, ExpressionError, Value, kind_of, parse_expression
from shopstep.design.nearest import did_you_mean
from shopstep.design.yaml_source import Path, Source
from shopstep.model.plan import BuildFileError
from shopstep.units import LONGEST_NM, Angle, Length
from shopstep.words import figure, say

_BARE = re.compile(r"[\d ./]+")
"""A number without a unit, as people write lengths."""


@dataclass(slots=True)
class Values:
    """Names and how to get at them. ``define`` first, then ``length`` and its kin."""

    source: Source
    fixed: Mapping[str, Length] = field(default_factory=dict)
    """Names whose value was read off the work: it stands in place of what the build says."""
    _recipes: dict[str, tuple[Callable[[], Value], Path]] = field(default_factory=dict)
    _known: dict[str, Value] = field(default_factory=dict)
    _asking: list[str] = field(default_factory=list)
    _texts: dict[str, str] = field(default_factory=dict)

    def define(self, name: str, recipe: Callable[[], Value], path: Path) -> None:
        """Name a value; a second value of the same name is an error of the build file."""
        if name in RESERVED:
            raise BuildFileError(
                say("'{name}' is a word of its own in expressions; name it otherwise", name=name),
                self.source.where(path, name),
            )
        if name in self._recipes:
            _, first = self._recipes[name]
            raise BuildFileError(
                say(
                    "the name '{name}' is used twice (first in line {line})",
                    name=name,
                    line=self.source.line(first),
                ),
                self.source.where(path, name),
            )
        self._recipes[name] = (recipe, path)

    def define_text(self, name: str, text: str, path: Path) -> None:
        """Name the value of an expression that stands in the file at ``path``."""
        self.define(name, lambda: self.work_out(text, path), path)
        self._texts[name] = text

    def has(self, name: str) -> bool:
        """Whether a value has this name."""
        return name in self._recipes

    def lookup(self, name: str) -> Value:
        """The value of a name; ExpressionError where there is none, or where it is a cycle."""
        if name in self._known:
            return self._known[name]
        if name not in self._recipes:
            raise ExpressionError(
                say(
                    "'{name}' is not known{did_you_mean}",
                    name=name,
                    did_you_mean=did_you_mean(name, self._recipes),
                )
            )
        recipe, path = self._recipes[name]
        if name in self._asking:
            ring = [*self._asking[self._asking.index(name) :], name]
            raise BuildFileError(
                say(
                    "these sizes go round in a circle: {ring}; give one of them a size",
                    ring=" → ".join(ring),
                ),
                self.source.where(path, name),
            )
        self._asking.append(name)
        try:
            value = self.fixed[name] if name in self.fixed else recipe()
        finally:
            self._asking.pop()
        self._known[name] = value
        return value

    def work_out(self, text: str, path: Path) -> Value:
        """The value of an expression; BuildFileError names the line it stands in."""
        try:
            return parse_expression(text).value(self.lookup)
        except (ExpressionError, RecursionError) as problem:
            said = say("too deeply nested") if isinstance(problem, RecursionError) else str(problem)
            raise BuildFileError(
                f"{_label(path)}: {said}", self.source.where(path, str(path[-1]))
            ) from None

    def length(self, text: str, path: Path) -> Length:
        """The expression as a length."""
        value = self.work_out(text, path)
        if not isinstance(value, Length):
            raise self._misfit(text, path, say("a length"), value)
        if abs(value.nm) > LONGEST_NM:
            raise self._refuse(text, path, say("comes out longer than 100 m; check its units"))
        return value

    def distance(self, text: str, path: Path) -> Length:
        """The expression as a length of zero or more."""
        value = self.length(text, path)
        if value.nm < 0:
            raise self._refuse(
                text,
                path,
                say(
                    "comes out as {in_inches} in; it must be 0 or more",
                    in_inches=figure(value.in_inches, "g"),
                ),
            )
        return value

    def size(self, text: str, path: Path) -> Length:
        """The expression as a length of more than zero."""
        value = self.length(text, path)
        if value.nm <= 0:
            raise self._refuse(
                text,
                path,
                say(
                    "comes out as {in_inches} in; it must be more than 0",
                    in_inches=figure(value.in_inches, "g"),
                ),
            )
        return value

    def _refuse(self, text: str, path: Path, said: str) -> BuildFileError:
        """The complaint where the value is written: a name is followed to what it stands for."""
        while text in self._recipes:
            path = self._recipes[text][1]
            text = self._texts.get(text, "")
        return BuildFileError(f"{_label(path)} {said}", self.source.where(path, str(path[-1])))

    def number(self, text: str, path: Path) -> Length | Angle | int:
        """The expression as what a card can show: a length, an angle or a count."""
        value = self.work_out(text, path)
        if isinstance(value, (Length, Angle)):
            return value
        if isinstance(value, (bool, str)) or value.denominator != 1:
            raise self._misfit(text, path, say("a length, an angle or a whole number"), value)
        return int(value)

    def count(self, text: str, path: Path) -> int:
        """The expression as a whole number from 0 to 10,000."""
        value = self.number(text, path)
        if not isinstance(value, int):
            raise self._misfit(text, path, say("a whole number"), value)
        if not 0 <= value <= 10_000:
            raise BuildFileError(
                say(
                    "{label} is {value}; 0 to 10,000 is possible",
                    label=_label(path),
                    value=figure(value, ","),
                ),
                self.source.where(path, str(path[-1])),
            )
        return value

    def _misfit(self, text: str, path: Path, wanted: str, value: Value | int) -> BuildFileError:
        kind = value if isinstance(value, bool) or not isinstance(value, int) else Fraction(value)
        found = kind_of(kind)
        hint = ""
        if isinstance(kind, Fraction) and wanted.startswith(say("a length")):
            while text in self._texts:
                text = self._texts[text]
            hint = say("; write its unit, for example {with_unit}", with_unit=_with_unit(text))
        return BuildFileError(
            say(
                "{label} must be {wanted}, and is {found}{hint}",
                label=_label(path),
                wanted=wanted,
                found=found,
                hint=hint,
            ),
            self.source.where(path, str(path[-1])),
        )


def _with_unit(text: str) -> str:
    """What was meant, most likely: the number as it was written, in inches."""
    return f"{text.strip()} in" if _BARE.fullmatch(text.strip()) else "12 in"


def _label(path: Path) -> str:
    return "'" + ".".join(str(step) for step in path) + "'"
