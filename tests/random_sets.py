"""Random measurement sets within a build's ranges, and the verdict on each."""

from __future__ import annotations

import random
from fractions import Fraction
from functools import cache

from shopstep.design.build_file import BuildFile, read_build_file
from shopstep.design.resolve import Design, resolve_file
from shopstep.design.values import Values
from shopstep.milling import plan_milling
from shopstep.model.plan import Finding, Level
from shopstep.solids import find_overlaps
from shopstep.units import Length
from tests.arithmetic import WANTED, Given
from tests.shelf_builds import build_texts

IN = 25_400_000
_MARK = {"in": IN // 64, "mm": 500_000}
_HAIR = Fraction(4, IN)
"""Four nanometres: what halves and hypotenuses are rounded by."""
_KERF = Length.inches("1/8")


@cache
def _file(build: str) -> BuildFile:
    return read_build_file(*build_texts(build))


def draw_set(build: str, dice: random.Random) -> tuple[tuple[str, str], ...]:
    """Each choice and each measurement at random on the marks of a rule, within its range."""
    entry, values = _file(build).entry, Values(_file(build).source)
    drawn: dict[str, str] = {}
    for name, choice in entry.choices.items():
        drawn[name] = dice.choice(sorted(choice.options))
        values.define(name, lambda pick=drawn[name]: pick, ("choices", name))  # type: ignore[misc]
        for option in choice.options:
            values.define(option, lambda option=option: option, ("choices", name))  # type: ignore[misc]
    mark = _MARK[entry.show.display]
    for name, asked in entry.measurements.items():
        path = ("measurements", name)
        least, most = (values.length(text, path).nm for text in (asked.least, asked.most))
        nm = dice.randint(-(-least // mark), most // mark) * mark
        drawn[name] = f"{nm // 1_000_000}.{nm % 1_000_000:06d} mm"
        values.define(name, lambda nm=nm: Length(nm), path)  # type: ignore[misc]
    return tuple(drawn.items())


def resolve_set(build: str, given: tuple[tuple[str, str], ...]) -> Design:
    """A shipped build at one set."""
    return resolve_file(_file(build), given)


def judge_set(build: str, given: tuple[tuple[str, str], ...]) -> str:
    """Empty where every part is right, else what it was refused for.

    AssertionError for a wrong size, and for a refusal that names no measurement and no fit.
    """
    found = resolve_file(_file(build), given)
    stops = [finding for finding in _findings(found) if finding.level is Level.STOP]
    if stops:
        assert all(is_named(finding) for finding in stops), (given, stops)
        return stops[0].rule
    _compare(found, build, given)
    return ""


def is_named(finding: Finding) -> bool:
    """Whether a refusal names a measurement or a fit."""
    return finding.rule == "measurement_range" or finding.rule.startswith("fit:")


def _findings(found: Design) -> tuple[Finding, ...]:
    if any(finding.level is Level.STOP for finding in found.findings):
        return found.findings
    milling = plan_milling(found.parts, found.materials, 1, _KERF, found.display)
    overlaps = find_overlaps(found.parts, found.joints, found.display)
    return (*found.findings, *overlaps, *milling.findings)


def _compare(found: Design, build: str, given: tuple[tuple[str, str], ...]) -> None:
    lengths = {item.name: Fraction(item.value.nm, IN) for item in found.measured}
    wanted = WANTED[build](Given(lengths, dict(found.choices)))
    assert {part.name for part in found.parts} == set(wanted), given
    for part in found.parts:
        got = (part.length, part.width, part.thickness)
        for value, right in zip(got, wanted[part.name], strict=True):
            assert abs(Fraction(value.nm, IN) - right) <= _HAIR, (part.name, got, given)
