"""Whether builds go together at one keeper's sizes, and what one measurement does to that.

Reads no file: requests come in with their texts. Resolves each build, meets them, and resolves
those that ask for a measurement once more with that measurement a little larger.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from shopstep.design.build_file import BuildFile
from shopstep.design.meeting import meet_sides
from shopstep.design.resolve import Design, resolve_file
from shopstep.design.sharing import Pairs
from shopstep.model.interface import FitReport, Meeting, Shift, Side
from shopstep.model.plan import Finding, Measured
from shopstep.units import Length, write_exact

STEP = Length.inches("1/16")
"""How much a measurement is shifted to see what follows: what a tape is easily misread by."""


@dataclass(frozen=True, slots=True)
class Made:
    """One build with what it is made for."""

    file: BuildFile
    settings: Pairs
    design: Design


def fit_together(files: Sequence[BuildFile], settings: Sequence[Pairs], display: str) -> FitReport:
    """The report on builds with their settings; ``display`` may be empty: as the first likes it.

    What stops a design by itself is among the findings, and then nothing is compared.
    """
    made = [
        Made(file, pairs, resolve_file(file, pairs, display))
        for file, pairs in zip(files, settings, strict=True)
    ]
    shown = made[0].design.display
    names = _labels([each.design.build_id for each in made])
    measured = {item.name: item for each in made for item in each.design.measured}
    stopped = tuple(finding for each in made for finding in each.design.findings)
    meetings: tuple[Meeting, ...] = ()
    found: tuple[Finding, ...] = ()
    shifts: tuple[Shift, ...] = ()
    if all(each.design.parts for each in made):
        meetings, found = meet_sides(_sides(made, names), shown)
        shifts = tuple(_shift(item, made, names, meetings) for item in measured.values())
    values = tuple((name, item.value) for name, item in measured.items())
    return FitReport(names, shown, values, meetings, shifts, (*stopped, *found))


def _labels(ids: list[str]) -> tuple[str, ...]:
    """The ids, with a number behind those that are there more than once."""
    counts, seen = Counter(ids), Counter[str]()
    labels: list[str] = []
    for build in ids:
        seen[build] += 1
        labels.append(build if counts[build] == 1 else f"{build} {seen[build]}")
    return tuple(labels)


def _sides(made: Sequence[Made], names: Sequence[str]) -> tuple[Side, ...]:
    return tuple(
        Side(name, each.design.interfaces, each.design.mates)
        for name, each in zip(names, made, strict=True)
    )


def _shift(
    item: Measured, made: Sequence[Made], names: Sequence[str], before: tuple[Meeting, ...]
) -> Shift:
    askers = tuple(n for n, each in zip(names, made, strict=True) if _asks(each, item.name))
    for by in (STEP, -STEP):
        shifted = [_remade(each, item.name, item.value + by) for each in made]
        if all(each.design.parts for each in shifted):
            after, _ = meet_sides(_sides(shifted, names), made[0].design.display)
            return Shift(item.name, by, askers, _changed(before, after))
    return Shift(item.name, Length(0), askers, ())


def _asks(made: Made, measurement: str) -> bool:
    return measurement in made.file.entry.measurements


def _remade(made: Made, measurement: str, value: Length) -> Made:
    """The build with another value; itself where it does not ask for the measurement."""
    if not _asks(made, measurement):
        return made
    settings = tuple((dict(made.settings) | {measurement: write_exact(value)}).items())
    return Made(made.file, settings, resolve_file(made.file, settings, made.design.display))


def _changed(before: tuple[Meeting, ...], after: tuple[Meeting, ...]) -> tuple[Meeting, ...]:
    """Those of ``after`` that are new or differ by another length than before."""
    known = {_key(meeting): meeting.difference for meeting in before}
    return tuple(meeting for meeting in after if known.get(_key(meeting)) != meeting.difference)


def _key(meeting: Meeting) -> tuple[str, str, str, str]:
    return meeting.asking, meeting.other, meeting.mate, meeting.size
