"""A problem made of steps, waits, holds and hours: all that is looked at before any order is tried.

Imports ``shopstep.model`` and this room.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopstep.model.plan import Finding, Shop
from shopstep.model.step import Hold, Step, Wait
from shopstep.sequence.blaming import never_enough
from shopstep.sequence.blocks import form_blocks
from shopstep.sequence.bonds import Bonds, Span, bind_steps
from shopstep.sequence.checks import check_problem
from shopstep.sequence.hours import Hours
from shopstep.sequence.placing import Problem
from shopstep.sequence.putting_off import find_limits
from shopstep.sequence.supplies import capacities
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
    display: str = "in",
) -> Formed | tuple[Finding, ...]:
    """The problem, or the STOPs that say why no order solves it.

    ``begin_s`` is the first moment at which anything may start; steps in ``fixed`` have their
    times (start, end) and are in no block. ``display``: unit of the words.
    """
    findings = check_problem(steps, waits, holds, shop, fixed, display)
    if findings:
        return findings
    bonds = bind_steps(steps, waits, holds, begin_s, fixed)
    hours = Hours(shop.calendar, bonds.begin_s, shop.helper)
    have = capacities(shop, holds)
    blocks, findings = form_blocks(bonds, hours, tuple(have))
    if findings:
        return findings
    capacity = tuple(have.values())
    order = find_safe_order(blocks, capacity)
    if order is None:
        return (never_enough(blocks, have, display),)
    limits = find_limits(bonds, blocks, hours)
    return Formed(Problem(blocks, capacity, hours, bonds.begin_s, tuple(order), limits), bonds)
