"""What makes a set of steps impossible before any order is tried. Imports ``shopstep.model``.

Every finding says what, where, and what would be right.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from difflib import get_close_matches

from shopstep.model.plan import Finding, Level, Shop, Where
from shopstep.model.resources import HelperTime
from shopstep.model.step import Hold, Step, Wait
from shopstep.sequence.graph import find_cycle
from shopstep.sequence.helping import helper_words
from shopstep.sequence.hours import check_calendar, longest_opening_s
from shopstep.sequence.supplies import KNOWN, Resource, capacities
from shopstep.units import ZERO, format_length, format_span
from shopstep.words import say


def check_problem(
    steps: tuple[Step, ...],
    waits: tuple[Wait, ...],
    holds: tuple[Hold, ...],
    shop: Shop,
    fixed: Iterable[str],
    display: str = "in",
) -> tuple[Finding, ...]:
    """All STOPs that can be seen without ordering anything; empty where an order may exist."""
    found = [*check_calendar(shop.calendar), *_check_names(steps, waits, holds)]
    found += once(_check_times(steps, waits) + _check_amounts(holds, shop, display))
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
        _stop(
            "step_twice",
            say("Step '{name}' stands twice in the plan.", name=name),
            name,
            say("Give it one id."),
        )
        for name, count in known.items()
        if count > 1
    ]
    for step in steps:
        found += [
            _unknown(say("Step '{step_id}' needs", step_id=step.id), n, known)
            for n in step.needs
            if n not in known
        ]
        if step.behind is not None and step.behind not in known:
            found.append(
                _unknown(say("Step '{step_id}' follows", step_id=step.id), step.behind, known)
            )
    for wait in waits:
        ends = (wait.after, wait.before)
        found += [
            _unknown(say("Wait '{wait_id}' names", wait_id=wait.id), n, known)
            for n in ends
            if n not in known
        ]
    for hold in holds:
        ends = (hold.first, hold.last)
        text = say("The hold of {resource} names", resource=hold.resource)
        found += [_unknown(text, n, known) for n in ends if n not in known]
    return found


def _unknown(lead: str, name: str, known: Mapping[str, int]) -> Finding:
    near = get_close_matches(name, known, n=1, cutoff=0.0)
    remedy = (
        say("Nearest is '{near}'.", near=near[0]) if near else say("There are no steps at all.")
    )
    return _stop(
        "step_unknown",
        say("{lead} '{name}', and there is no such step.", lead=lead, name=name),
        name,
        remedy,
    )


def _check_times(steps: tuple[Step, ...], waits: tuple[Wait, ...]) -> list[Finding]:
    return [
        _stop(
            "time_negative",
            say("'{name}' takes less than no time.", name=name),
            name,
            say("Give it a time."),
        )
        for name, seconds in [(s.id, s.duration_s) for s in steps]
        + [(w.id, w.seconds) for w in waits]
        if seconds < 0
    ]


def _check_amounts(holds: tuple[Hold, ...], shop: Shop, display: str) -> list[Finding]:
    found = []
    have = capacities(shop, holds)
    for hold in holds:
        if hold.resource not in KNOWN:
            text = say(
                "Step '{first}' takes '{resource}', which no shop profile counts.",
                first=hold.first,
                resource=hold.resource,
            )
            found.append(
                _stop(
                    "resource_unknown",
                    text,
                    hold.first,
                    say("Known: {known}.", known=", ".join(KNOWN)),
                )
            )
        elif hold.amount < 0:
            text = say(
                "Step '{first}' takes {amount} {resource}.",
                first=hold.first,
                amount=hold.amount,
                resource=hold.resource.replace("_", " "),
            )
            found.append(_stop("resource_negative", text, hold.first, say("Take 0 or more.")))
        else:
            # the furthest reach that has too few says the most
            short = [r for r in have if r.serves(hold) and hold.amount > have[r]]
            found += [_too_few(hold, r, have[r], shop, display) for r in short[-1:]]
    return found


def _too_few(hold: Hold, resource: Resource, have: int, shop: Shop, display: str) -> Finding:
    kind = hold.first.split("/", 1)[-1]
    lack = hold.amount - have
    wanted = replace(resource, reach=hold.reach if resource.reach else ZERO)
    text = say(
        "'{kind}' takes {amount} {words} at once, and the shop has {have}.",
        kind=kind,
        amount=hold.amount,
        words=wanted.words(display),
        have=have,
    )
    if resource.reach and not have:
        longest = max(each.reach for each in shop.clamp_sets)
        text = say(
            "'{kind}' takes {amount} {words}, and the longest clamp of the shop reaches {longest}.",
            kind=kind,
            amount=hold.amount,
            words=wanted.words(display, hold.amount),
            longest=format_length(longest, display),
        )
    more = say(
        "Get {lack}{rest} {words}.",
        lack=lack,
        rest=say(" more") if have else "",
        words=wanted.words(display, lack),
    )
    return _stop("resource_short", text, hold.first, more)


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
    text = say("These steps wait for each other: {names}.", names=" → ".join([*cycle, cycle[0]]))
    remedy = say("Take out one of these needs, waits or holds.")
    return [_stop("needs_cycle", text, cycle[0], remedy)]


def _check_lengths(steps: tuple[Step, ...], shop: Shop, fixed: frozenset[str]) -> list[Finding]:
    longest_s = longest_opening_s(shop.calendar)
    return [too_long(s.id, s.id, s.duration_s, longest_s) for s in steps
            if s.duration_s > longest_s and s.id not in fixed]  # fmt: skip


def too_long(first: str, last: str, seconds: int, longest_s: int) -> Finding:
    """A STOP for what has to be done at a stretch and does not fit into any opening."""
    subject = say("'{first}' takes", first=first)
    if first != last:
        subject = say(
            "From '{first}' to '{last}' no break is allowed, and it takes", first=first, last=last
        )
    text = say(
        "{subject} {seconds}; the shop is open {longest}.",
        subject=subject,
        seconds=format_span(seconds),
        longest=format_span(longest_s),
    )
    return _stop("step_too_long", text, first, say("Open the shop longer, or divide the step."))


def too_loud(name: str, seconds: int) -> Finding:
    """A STOP for machine work that fits into no opening, because machines stop before closing."""
    text = say(
        "'{name}' runs a machine and takes {seconds}; between opening and the time "
        "when machines must stop there is not so much.",
        name=name,
        seconds=format_span(seconds),
    )
    return _stop("step_too_loud", text, name, say("Let machines run later, or divide the step."))


def never_helped(name: str, alone: bool, seconds: int, helper: tuple[HelperTime, ...]) -> Finding:
    """A STOP for what needs two people, and lies inside no helper's time of any week."""
    block = "" if alone else say(", with what is bound to it at once,")
    text = say(
        "'{name}'{block} needs a second pair of hands for {seconds}; a helper is "
        "there {helper}, and inside the shop's hours that never holds it.",
        name=name,
        block=block,
        seconds=format_span(seconds),
        helper=helper_words(helper),
    )
    remedy = say("Name longer helper times inside the shop's hours, or divide the step.")
    return _stop("helper_never", text, name, remedy)


def once(found: list[Finding]) -> tuple[Finding, ...]:
    """The same complaint of every unit, once, where it is met first."""
    first: dict[str, Finding] = {}
    for finding in found:
        first.setdefault(finding.text, finding)
    return tuple(first.values())


def _stop(rule: str, text: str, name: str, remedy: str) -> Finding:
    return Finding(Level.STOP, rule, text, Where(name=name), remedy)
