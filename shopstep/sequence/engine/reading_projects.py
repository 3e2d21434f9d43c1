"""``.sm``: project scheduling without maximum lags, in the format of the PSPLIB collection.

Read by the package ``psplib`` (extra ``test``), loaded only when such a file turns up.
Imports ``engine.problem`` and ``engine.reading``.
"""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from shopstep.sequence.engine.problem import Activity, Lag, Problem, Resource
from shopstep.sequence.engine.reading import Row, Unreadable

LINKS, WORK, AMOUNTS = "PRECEDENCE RELATIONS", "REQUESTS/DURATIONS", "AVAILABILITIES"
MISSING = "reading .sm files needs the package 'psplib': pip install psplib"


def read_project(path: Path, text: str) -> Problem:
    """The problem in the file at ``path``, whose text is also given. Raises ``Unreadable``."""
    if find_spec("psplib") is None:
        raise Unreadable(MISSING)
    _check_lines(text)
    try:
        instance = import_module("psplib").parse(path, instance_format="psplib")
    except (ValueError, TypeError, IndexError, KeyError, StopIteration) as error:
        last = len(text.splitlines())
        raise Unreadable(
            f"lines 1 to {last}: the package psplib cannot read them ({error})"
        ) from None
    return _convert(instance, text)


def _convert(instance: Any, text: str) -> Problem:
    resources = []
    for number, resource in enumerate(instance.resources):
        if not resource.renewable:
            raise Unreadable(
                f"line {_find(text.splitlines(), AMOUNTS) + 2}: R{number + 1} is not renewable, "
                "only renewable ones can be read"
            )
        resources.append(Resource(f"R{number + 1}", int(resource.capacity)))
    activities: list[Activity] = []
    lags: list[Lag] = []
    for number, entry in enumerate(instance.activities):
        mode = entry.modes[0]
        demands = tuple((k, int(used)) for k, used in enumerate(mode.demands) if used)
        activities.append(Activity(str(number + 1), int(mode.duration), demands))
        lags.extend(Lag(number, int(other), int(mode.duration)) for other in entry.successors)
    return Problem(tuple(resources), tuple(activities), tuple(lags))


def _check_lines(text: str) -> None:
    """Names the first row of the three tables that is not what it should be.

    The package reads on past rows that lack a number, and does not say where its errors were.
    """
    lines = text.splitlines()
    successors = _table(lines, LINKS, 2)
    requests = _table(lines, WORK, 3)
    amounts = _table(lines, AMOUNTS, 2)
    kinds = len(amounts[0].numbers())
    jobs = len(successors)
    for row in successors:
        numbers = row.numbers(3)
        if numbers[1] != 1:
            raise Unreadable(f"line {row.line}: {numbers[1]} modes, only 1 can be read")
        if len(numbers) != 3 + numbers[2]:
            raise Unreadable(f"line {row.line}: {len(numbers)} numbers, expected {3 + numbers[2]}")
        for other in numbers[3:]:
            if not 1 <= other <= jobs:
                raise Unreadable(f"line {row.line}: successor {other}, there are 1 to {jobs}")
    for row in requests:
        if len(row.numbers()) != 3 + kinds:
            raise Unreadable(f"line {row.line}: {len(row.words)} numbers, expected {3 + kinds}")
    if len(requests) != jobs:
        raise Unreadable(
            f"line {requests[-1].line}: {len(requests)} jobs in this table, "
            f"{jobs} in the one before"
        )


def _table(lines: list[str], heading: str, skipped: int) -> list[Row]:
    """The rows that begin so many lines below a heading, up to a blank line or one of stars."""
    first = _find(lines, heading) + skipped
    rows: list[Row] = []
    for at in range(first, len(lines)):
        words = lines[at].split()
        if not words or words[0].startswith("***"):
            break
        rows.append(Row(at + 1, tuple(words)))
        rows[-1].numbers()
    if not rows:
        raise Unreadable(f"line {min(first + 1, len(lines))}: no rows below '{heading}'")
    return rows


def _find(lines: list[str], heading: str) -> int:
    """The index of the first line that holds the heading."""
    for at, line in enumerate(lines):
        if heading in line:
            return at
    raise Unreadable(f"line {max(1, len(lines))}: the file ends without '{heading}'")
