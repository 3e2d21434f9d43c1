"""What makes a set of steps impossible before any order is tried. Imports ``shopstep.model``.

Every finding says what, where, and what would be right.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from difflib import get_close_matches

from shopstep.model.plan import Finding, Level, Shop, Where
from shopstep.model.step import Hold, Step, Wait
from shopstep.sequence.graph import find_cycle
from shopstep.sequence.hours import check_calendar, longest_opening_s
from shopstep.units import format_span


def capacities(shop: Shop) -> dict[str, int]:
    """How much of each resource the shop has."""
    return {"clamps": shop.clamps, "drying_places": shop.drying_places}


def check_problem(
    steps: tuple[Step, ...],
    waits: tuple[Wait, ...],
    holds: tuple[Hold, ...],
    shop: Shop,
    fixed: Iterable[str],
) -> tuple[Finding, ...]:
    """All STOPs that can be seen without ordering anything; empty where an order may exist."""
    found = [*check_calendar(shop.calendar), *_check_names(steps, waits, holds)]
    found += once(_check_amounts(steps, waits, holds, shop))
    if not found:
        found += _check_cycle(steps, waits, holds)
        found += _check_lengths(steps, shop, frozenset(fixed))
    return tuple(found)


def links(
    steps: tuple[Step, ...], waits: tuple[Wait, ...], holds: tuple[Hold, ...]
) -> Iterable[tuple[str, str]]:
    """All pairs (earlier, later) that needs, waits, holds and following put in order."""
    for step in steps:
        for need in step.needs:
            yield need, step.id
        if step.behind is not None:
            yield step.behind, step.id
    for wait in waits:
        yield wait.after, wait.before
    for hold in holds:
        if hold.first != hold.last:
            yield hold.first, hold.last


def _check_names(
    steps: tuple[Step, ...], waits: tuple[Wait, ...], holds: tuple[Hold, ...]
) -> list[Finding]:
    known: dict[str, int] = {}
    for step in steps:
        known[step.id] = known.get(step.id, 0) + 1
    found = [
        _stop("step_twice", f"Step '{name}' stands twice in the plan.", name, "Give it one id.")
        for name, count in known.items()
        if count > 1
    ]
    for step in steps:
        found += [
            _unknown(f"Step '{step.id}' needs", n, known) for n in step.needs if n not in known
        ]
        if step.behind is not None and step.behind not in known:
            found.append(_unknown(f"Step '{step.id}' follows", step.behind, known))
    for wait in waits:
        ends = (wait.after, wait.before)
        found += [_unknown(f"Wait '{wait.id}' names", n, known) for n in ends if n not in known]
    for hold in holds:
        ends = (hold.first, hold.last)
        text = f"The hold of {hold.resource} names"
        found += [_unknown(text, n, known) for n in ends if n not in known]
    return found


def _unknown(lead: str, name: str, known: Mapping[str, int]) -> Finding:
    near = get_close_matches(name, known, n=1, cutoff=0.0)
    remedy = f"Nearest is '{near[0]}'." if near else "There are no steps at all."
    return _stop("step_unknown", f"{lead} '{name}', and there is no such step.", name, remedy)


def _check_amounts(
    steps: tuple[Step, ...], waits: tuple[Wait, ...], holds: tuple[Hold, ...], shop: Shop
) -> list[Finding]:
    found = [
        _stop("time_negative", f"'{name}' takes less than no time.", name, "Give it a time.")
        for name, seconds in [(s.id, s.duration_s) for s in steps]
        + [(w.id, w.seconds) for w in waits]
        if seconds < 0
    ]
    have = capacities(shop)
    for hold in holds:
        if hold.resource not in have:
            text = f"Step '{hold.first}' takes '{hold.resource}', which no shop profile counts."
            found.append(_stop("resource_unknown", text, hold.first, f"Known: {', '.join(have)}."))
        elif hold.amount > have[hold.resource]:
            found.append(_too_few(hold, have[hold.resource]))
        elif hold.amount < 0:
            text = f"Step '{hold.first}' takes {hold.amount} {_words(hold.resource)}."
            found.append(_stop("resource_negative", text, hold.first, "Take 0 or more."))
    return found


def _too_few(hold: Hold, have: int) -> Finding:
    name = _words(hold.resource)
    kind = hold.first.split("/", 1)[-1]
    text = f"'{kind}' takes {hold.amount} {name} at once, and the shop has {have}."
    lack = hold.amount - have
    wanted = name if lack != 1 else name.removesuffix("s")
    return _stop("resource_short", text, hold.first, f"Get {lack} more {wanted}.")


def _check_cycle(
    steps: tuple[Step, ...], waits: tuple[Wait, ...], holds: tuple[Hold, ...]
) -> list[Finding]:
    number = {step.id: i for i, step in enumerate(steps)}
    after: list[set[int]] = [set() for _ in steps]
    for earlier, later in links(steps, waits, holds):
        after[number[earlier]].add(number[later])
    cycle = [steps[i].id for i in find_cycle(after)]
    if not cycle:
        return []
    text = f"These steps wait for each other: {' → '.join([*cycle, cycle[0]])}."
    remedy = "Take out one of these needs, waits or holds."
    return [_stop("needs_cycle", text, cycle[0], remedy)]


def _check_lengths(steps: tuple[Step, ...], shop: Shop, fixed: frozenset[str]) -> list[Finding]:
    longest_s = longest_opening_s(shop.calendar)
    return [too_long(s.id, s.id, s.duration_s, longest_s) for s in steps
            if s.duration_s > longest_s and s.id not in fixed]  # fmt: skip


def too_long(first: str, last: str, seconds: int, longest_s: int) -> Finding:
    """A STOP for what has to be done at a stretch and does not fit into any opening."""
    subject = f"'{first}' takes"
    if first != last:
        subject = f"From '{first}' to '{last}' no break is allowed, and it takes"
    text = f"{subject} {format_span(seconds)}; the shop is open {format_span(longest_s)}."
    return _stop("step_too_long", text, first, "Open the shop longer, or divide the step.")


def too_loud(name: str, seconds: int) -> Finding:
    """A STOP for machine work that fits into no opening, because machines stop before closing."""
    text = (
        f"'{name}' runs a machine and takes {format_span(seconds)}; between opening and the time "
        "when machines must stop there is not so much."
    )
    return _stop("step_too_loud", text, name, "Let machines run later, or divide the step.")


def once(found: list[Finding]) -> tuple[Finding, ...]:
    """The same complaint of every unit, once, where it is met first."""
    first: dict[str, Finding] = {}
    for finding in found:
        first.setdefault(finding.text, finding)
    return tuple(first.values())


def _words(resource: str) -> str:
    return resource.replace("_", " ")


def _stop(rule: str, text: str, name: str, remedy: str) -> Finding:
    return Finding(Level.STOP, rule, text, Where(name=name), remedy)
