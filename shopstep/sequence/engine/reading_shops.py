"""Job shops in the classic plain text: 'jobs machines', then a line of pairs for each job.

A pair is the machine's number and the duration there. Lines before the header that are words, and
lines that begin with '#', are passed over, as collections of instances carry them. Machines count
from 0 or from 1. Imports ``engine.problem`` and ``engine.reading``.
"""

from __future__ import annotations

from shopstep.sequence.engine.problem import Activity, Lag, Problem, Resource
from shopstep.sequence.engine.reading import Rows, Unreadable, check_amount


def read_job_shop(text: str) -> Problem:
    """Every machine a resource of one, every job a chain. Raises ``Unreadable``."""
    rows = Rows("\n".join(_without_words(text)))
    header = rows.take("'jobs machines'")
    sizes = header.numbers()
    if len(sizes) != 2:
        raise Unreadable(f"line {header.line}: {len(sizes)} numbers, expected two: 'jobs machines'")
    jobs = check_amount(sizes[0], "the number of jobs", header.line, 1)
    machines = check_amount(sizes[1], "the number of machines", header.line, 1)
    table: list[list[tuple[int, int]]] = []
    for job in range(jobs):
        row = rows.take(f"job {job + 1} of {jobs}")
        numbers = row.numbers()
        if len(numbers) % 2 or not numbers:
            raise Unreadable(
                f"line {row.line}: {len(numbers)} numbers, expected pairs of machine and duration"
            )
        for machine, duration in zip(numbers[::2], numbers[1::2], strict=True):
            if not 0 <= machine <= machines:
                raise Unreadable(f"line {row.line}: machine {machine}, there are {machines}")
            check_amount(duration, "a duration", row.line)
        table.append(list(zip(numbers[::2], numbers[1::2], strict=True)))
    rest = rows.peek()
    if rest is not None:
        raise Unreadable(f"line {rest.line}: the file goes on after job {jobs}")
    return make_job_shop(table)


def make_job_shop(table: list[list[tuple[int, int]]]) -> Problem:
    """(Machine, duration) pairs of each job, in the order of the work."""
    used = sorted({machine for job in table for machine, _ in job})
    index = {machine: k for k, machine in enumerate(used)}
    activities: list[Activity] = []
    lags: list[Lag] = []
    for number, job in enumerate(table, start=1):
        for turn, (machine, duration) in enumerate(job, start=1):
            if turn > 1:
                here = len(activities)
                lags.append(Lag(here - 1, here, activities[-1].duration))
            demand = ((index[machine], 1),)
            activities.append(Activity(f"job {number}, turn {turn}", duration, demand))
    resources = tuple(Resource(f"machine {machine}", 1) for machine in used)
    return Problem(resources, tuple(activities), tuple(lags))


def _without_words(text: str) -> list[str]:
    """The lines, blank where they are comments or stand above the first line of numbers."""
    kept, begun = [], False
    for line in text.splitlines():
        words = line.split()
        begun = begun or (bool(words) and all(word.lstrip("-").isdigit() for word in words))
        kept.append("" if line.lstrip().startswith("#") or not begun else line)
    if not begun:
        raise Unreadable(f"line {max(1, len(kept))}: the file ends without a line 'jobs machines'")
    return kept
