"""``.sch``: project scheduling with minimum and maximum time lags, as ProGen/max writes it.

Header 'activities resources 0 0'; for each activity, source and sink included, 'number modes
successors…' and as many lags '[d]' (start to start, negative for a maximum lag read backwards);
for each 'number mode duration demands…'; the capacities. Read off published files; only one mode.
Imports ``engine.problem`` and ``engine.reading``.
"""

from __future__ import annotations

from shopstep.sequence.engine.problem import Activity, Lag, Problem, Resource
from shopstep.sequence.engine.reading import Row, Rows, Unreadable, check_amount, read_number


def read_lag_project(text: str) -> Problem:
    """The problem; its first activity, the source, is fixed at 0. Raises ``Unreadable``."""
    rows = Rows(text)
    header = rows.take("'activities resources 0 0'")
    count, kinds = header.numbers(2)[:2]
    check_amount(count, "the number of activities", header.line)
    check_amount(kinds, "the number of resources", header.line)
    count += 2
    lags: list[Lag] = []
    for number in range(count):
        row = rows.take(f"activity {number} of {count} with its successors")
        lags.extend(_successors(row, number, count))
    activities = []
    for number in range(count):
        row = rows.take(f"activity {number} of {count} with its duration and demands")
        activities.append(_activity(row, number, kinds))
    row = rows.take("the capacities")
    capacities = row.numbers(kinds)[:kinds]
    resources = tuple(
        Resource(f"R{k + 1}", check_amount(capacity, "a capacity", row.line))
        for k, capacity in enumerate(capacities)
    )
    rest = rows.peek()
    if rest is not None:
        raise Unreadable(f"line {rest.line}: the file goes on after the capacities")
    return Problem(resources, tuple(activities), tuple(lags), frozen=((0, 0),))


def _check_head(row: Row, number: int, least: int) -> None:
    """The two numbers that every line begins with: the activity's own, and modes or mode."""
    if len(row.words) < least:
        raise Unreadable(f"line {row.line}: {len(row.words)} numbers, expected {least} or more")
    own, modes = (read_number(word, row.line) for word in row.words[:2])
    if own != number:
        raise Unreadable(f"line {row.line}: activity {own}, expected {number}")
    if modes != 1:
        raise Unreadable(f"line {row.line}: {modes} modes, only 1 can be read")


def _successors(row: Row, number: int, count: int) -> list[Lag]:
    _check_head(row, number, 3)
    found = row.numbers()[3:]
    links = check_amount(read_number(row.words[2], row.line), "the number of successors", row.line)
    if len(found) != 2 * links:
        raise Unreadable(
            f"line {row.line}: {len(found)} numbers after the first three, "
            f"expected {links} successors and {links} lags"
        )
    for other in found[:links]:
        if not 0 <= other < count:
            raise Unreadable(f"line {row.line}: successor {other}, there are 0 to {count - 1}")
    pairs = zip(found[:links], found[links:], strict=True)
    return [Lag(number, other, least) for other, least in pairs]


def _activity(row: Row, number: int, kinds: int) -> Activity:
    _check_head(row, number, 3 + kinds)
    numbers = row.numbers()
    duration = check_amount(numbers[2], "a duration", row.line)
    if len(numbers) != 3 + kinds:
        raise Unreadable(f"line {row.line}: {len(numbers)} numbers, expected {3 + kinds}")
    demands = [(k, check_amount(used, "a demand", row.line)) for k, used in enumerate(numbers[3:])]
    return Activity(str(number), duration, tuple((k, used) for k, used in demands if used))
