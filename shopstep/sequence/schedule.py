"""The door of the room: steps, waits, holds and hours → a time for every step.

Imports ``shopstep.model`` and this room.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from shopstep.model.plan import Finding, Level, Prefer, Shop, Where
from shopstep.model.step import Hold, Step, Wait, WaitKind
from shopstep.sequence.blocks import Block
from shopstep.sequence.bonds import Span
from shopstep.sequence.bound import least_evenings
from shopstep.sequence.daylight import ask_daylight, first_in_the_dark, never_light
from shopstep.sequence.every_order import FEW, try_every_order
from shopstep.sequence.forming import Formed, form_problem
from shopstep.sequence.improving import (
    Order,
    improve,
    lay,
    order_of,
    ranks_of,
    repaired,
    tries_for,
)
from shopstep.sequence.keeping import kept_starts
from shopstep.sequence.placing import Problem, Rule
from shopstep.sequence.putting_off import cannot_keep, say_late, too_late
from shopstep.sequence.rules import BROKEN, judge_starts, make_rules
from shopstep.units import format_span
from shopstep.words import say

_NONE_FIXED: Mapping[str, Span] = MappingProxyType({})
_AS_NOTHING: Mapping[str, int] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Schedule:
    """Steps with their times, and what there is to say about them."""

    steps: tuple[Step, ...]
    """By start, equals in the order given; empty where a finding is a STOP."""
    findings: tuple[Finding, ...]
    least_evenings: int = 0
    """No plan of the steps that are not fixed needs fewer."""


def schedule_steps(
    steps: tuple[Step, ...],
    waits: tuple[Wait, ...],
    holds: tuple[Hold, ...],
    shop: Shop,
    begin_s: int,
    fixed: Mapping[str, Span] = _NONE_FIXED,
    like: Mapping[str, int] = _AS_NOTHING,
    seed: int | None = None,
    display: str = "in",
) -> Schedule:
    """A time for every step: one person, inside the shop's hours, no wait or hold broken.

    ``begin_s`` is the first moment at which anything may start; steps in ``fixed`` keep their
    times (start, end), and nothing starts before the last of them ends. ``like``: starts by step
    id of a plan whose order is tried as well; ``seed``: look for better orders by chance; None:
    only what the rules give; ``display``: unit of lengths in what is said. The same input always
    gives the same schedule. Where none is possible the steps are empty and a STOP says why. A
    step that closes a joint whose glue is spread already is laid at once, even past closing time.
    """
    formed = form_problem(steps, waits, holds, shop, begin_s, fixed, display)
    if not isinstance(formed, Formed):
        return Schedule((), formed)
    problem, bonds = formed.problem, formed.bonds
    blocks, hours = problem.blocks, problem.hours
    least = least_evenings(blocks, hours.most_s)
    best = _best_order(problem, shop.prefer, like)
    if seed is not None and blocks:
        gap = judge_starts(problem, best.starts).evenings - least
        tries = tries_for(len(blocks), max(gap, best.is_broken))
        best = improve(problem, best, shop.prefer, tries, seed)
    if best.is_broken and problem.limits and len(blocks) <= FEW:
        best = try_every_order(problem, best, shop.prefer)
    timed = _apply(steps, bonds.fixed, blocks, best.starts)
    broken = _broken(timed, waits, shop, bonds.fixed, judge_starts(problem, best.starts).broken)
    if any(finding.level is Level.STOP for finding in broken):
        return Schedule((), broken)
    findings = (*_late_joints(timed, waits, bonds.fixed), *broken, *ask_daylight(timed, shop))
    return Schedule(timed, findings, least)


def _broken(
    timed: tuple[Step, ...],
    waits: tuple[Wait, ...],
    shop: Shop,
    fixed: Mapping[str, Span],
    broken: tuple[int, ...],
) -> tuple[Finding, ...]:
    """What is laid too late or in the dark: a STOP, but only said where a batch is under way."""
    found = []
    late = too_late(timed, waits, fixed)
    if late and fixed:
        found += [say_late(over_s, wait) for over_s, wait in late]
    elif late:
        found.append(cannot_keep(timed, waits, late))
    if broken[1]:
        dark = first_in_the_dark(timed, shop.calendar, fixed)
        found.append(never_light(dark, shop.calendar, Level.WARN if fixed else Level.STOP))
    return tuple(found)


def _best_order(problem: Problem, prefer: Prefer, like: Mapping[str, int]) -> Order:
    """The best of what the rules give, of the order before, and of its very times."""
    rules = list(make_rules(problem.blocks))
    orders: list[Order] = []
    if like:
        keys = [float(like.get(block.steps[0].id, 0)) for block in problem.blocks]
        before = Rule("as before", ranks_of(keys), stays=False)
        rules.append(before)
        kept = kept_starts(problem, like)
        if kept is not None:
            orders.append(order_of(problem, before, kept, prefer))
    orders += [lay(problem, rule, prefer) for rule in rules]
    best = min(orders, key=lambda order: order.score)
    if problem.limits:
        worth = [each for each in orders if best.is_broken or each.would_beat(best)]
        worth.sort(key=lambda order: order.score[BROKEN:])
        again = worth[: 1 if like else None]
        orders = [best, *(repaired(problem, each, prefer) for each in again)]
    return min(orders, key=lambda order: order.score)


def _apply(
    steps: tuple[Step, ...],
    fixed: Mapping[str, Span],
    blocks: tuple[Block, ...],
    starts: tuple[int, ...],
) -> tuple[Step, ...]:
    spans = dict(fixed)
    for block, start in zip(blocks, starts, strict=True):
        for step, offset in zip(block.steps, block.offsets, strict=True):
            spans[step.id] = start + offset, start + offset + step.duration_s
    timed = [replace(s, start_s=spans[s.id][0], end_s=spans[s.id][1]) for s in steps]
    return tuple(sorted(timed, key=lambda step: step.start_s))


def _late_joints(
    timed: tuple[Step, ...], waits: tuple[Wait, ...], fixed: Mapping[str, Span]
) -> tuple[Finding, ...]:
    """A WARN for every joint that was spread before this schedule and cannot close in time."""
    by_id = {step.id: step for step in timed}
    found = []
    for wait in waits:
        if wait.kind is not WaitKind.OPEN or wait.after not in fixed or wait.before in fixed:
            continue
        opened_s = by_id[wait.before].end_s - by_id[wait.after].start_s
        if opened_s > wait.seconds:
            text = say(
                "The glue of '{after}' will have been open {opened} when the "
                "joint is closed; {seconds} is the most.",
                after=wait.after,
                opened=format_span(opened_s),
                seconds=format_span(wait.seconds),
            )
            remedy = say("If it has skinned over, scrape both faces clean and spread again.")
            found.append(Finding(Level.WARN, "glue_late", text, Where(name=wait.after), remedy))
    return tuple(found)
