"""A problem made of steps, waits, holds and hours: all that is looked at before any order is tried.

Imports ``shopstep.model`` and this room.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopstep.model.plan import Finding, Level, Shop, Where
from shopstep.model.step import Hold, Step, Wait
from shopstep.sequence.blocks import Block, form_blocks
from shopstep.sequence.bonds import Bonds, Span, bind_steps
from shopstep.sequence.checks import capacities, check_problem
from shopstep.sequence.hours import Hours
from shopstep.sequence.placing import Problem
from shopstep.sequence.putting_off import find_limits
from shopstep.sequence.taking import find_safe_order


@dataclass(frozen=True, slots=True)
class Formed:
    """A problem that some order solves, and what its steps are bound by."""

    problem: Problem
    bonds: Bonds


def form_problem(
    steps: tuple[Step, ...],
    waits: tuple[Wait, ...],
    holds: tuple[Hold, ...],
    shop: Shop,
    begin_s: int,
    fixed: Mapping[str, Span],
) -> Formed | tuple[Finding, ...]:
    """The problem, or the STOPs that say why no order solves it.

    ``begin_s`` is the first moment at which anything may start; steps in ``fixed`` have their
    times (start, end) and are in no block.
    """
    findings = check_problem(steps, waits, holds, shop, fixed)
    if findings:
        return findings
    bonds = bind_steps(steps, waits, holds, begin_s, fixed)
    hours = Hours(shop.calendar, bonds.begin_s)
    blocks, findings = form_blocks(bonds, hours)
    if findings:
        return findings
    have = capacities(shop)
    capacity = tuple(have.values())
    order = find_safe_order(blocks, capacity)
    if order is None:
        return (_never_enough(blocks, have),)
    limits = find_limits(bonds, blocks, hours)
    return Formed(Problem(blocks, capacity, hours, bonds.begin_s, tuple(order), limits), bonds)


def _never_enough(blocks: tuple[Block, ...], have: dict[str, int]) -> Finding:
    """A STOP that names what runs out in every order that was tried."""
    plenty = sum(abs(amount) for block in blocks for _, amount in block.takes)
    short = [
        name
        for name in have
        if find_safe_order(blocks, tuple(n if name == r else plenty for r, n in have.items()))
        is None
    ]
    words = " and ".join(f"{have[n]} {n.replace('_', ' ')}" for n in short or have)
    text = f"No order of the steps was found in which {words} are enough."
    remedy = "Get more, or let each be given back earlier."
    return Finding(Level.STOP, "resource_deadlock", text, Where(name=(short or [*have])[0]), remedy)
