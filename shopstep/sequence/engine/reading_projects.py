"""``.sm``: project scheduling without maximum lags, in the format of the PSPLIB collection.

Read by the package ``psplib`` (extra ``test``), loaded only when such a file turns up.
Imports ``engine.problem`` and ``engine.reading``.
"""

from __future__ import annotations

import re
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from shopstep.sequence.engine.problem import Activity, Lag, Problem, Resource
from shopstep.sequence.engine.reading import Unreadable

MISSING = "reading .sm files needs the package 'psplib': pip install psplib"


def read_project(path: Path, text: str) -> Problem:
    """The problem in the file at ``path``, whose text is also given. Raises ``Unreadable``."""
    if find_spec("psplib") is None:
        raise Unreadable(MISSING)
    _check_lines(text)
    try:
        instance = import_module("psplib").parse(path, instance_format="psplib")
        return _convert(instance)
    except (ValueError, TypeError, IndexError, KeyError, StopIteration) as error:
        last = len(text.splitlines())
        raise Unreadable(f"lines 1 to {last}: psplib cannot read them ({error})") from None


def _convert(instance: Any) -> Problem:
    resources = []
    for number, resource in enumerate(instance.resources):
        if not resource.renewable:
            raise ValueError("a resource is not renewable, only renewable ones can be read")
        resources.append(Resource(f"R{number + 1}", int(resource.capacity)))
    activities: list[Activity] = []
    lags: list[Lag] = []
    for number, entry in enumerate(instance.activities):
        if len(entry.modes) != 1:
            raise ValueError(f"job {number + 1} has {len(entry.modes)} modes, only 1 can be read")
        mode = entry.modes[0]
        demands = tuple((k, int(used)) for k, used in enumerate(mode.demands) if used)
        activities.append(Activity(str(number + 1), int(mode.duration), demands))
        lags.extend(Lag(number, int(other), int(mode.duration)) for other in entry.successors)
    if not activities:
        raise ValueError("there are no jobs")
    return Problem(tuple(resources), tuple(activities), tuple(lags))


def _check_lines(text: str) -> None:
    """Names the first line below a table's heading that is not whole numbers.

    The package reads such a file to its first error and does not say where that was.
    """
    lines = text.splitlines()
    headings = ("PRECEDENCE RELATIONS", "REQUESTS/DURATIONS", "AVAILABILITIES")
    for heading, skipped in zip(headings, (2, 3, 2), strict=True):
        places = [at for at, line in enumerate(lines) if heading in line]
        if not places:
            raise Unreadable(f"line {len(lines)}: the file ends without '{heading}'")
        first = places[0] + skipped
        for at in range(first, len(lines)):
            words = lines[at].split()
            if not words or words[0].startswith("***"):
                break
            for word in words:
                if not re.fullmatch(r"-?\d+", word):
                    raise Unreadable(f"line {at + 1}: '{word}' is not a whole number")
        else:
            at = len(lines)
        if at == first:
            raise Unreadable(f"line {min(first + 1, len(lines))}: no rows below '{heading}'")
