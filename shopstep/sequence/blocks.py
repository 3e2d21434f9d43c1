"""Blocks: steps that are laid without a gap because glue is open, and single steps.

Imports ``shopstep.model`` and this room.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopstep.model.plan import Finding
from shopstep.model.step import Step
from shopstep.sequence.bonds import Bonds
from shopstep.sequence.checks import never_helped, once, too_long, too_loud
from shopstep.sequence.daylight import LightWork, light_work
from shopstep.sequence.groups import cannot_close, group_steps, lay_group
from shopstep.sequence.helping import Spans, helped_spans
from shopstep.sequence.hours import Hours
from shopstep.sequence.openings import MachineWork
from shopstep.sequence.supplies import Resource

Take = tuple[int, int]
"""Number of a resource, and how much is taken (or, negative, given back)."""


@dataclass(frozen=True, slots=True)
class Block:
    """Steps that keep their places to each other; the smallest thing that is put in order."""

    steps: tuple[Step, ...]
    """By offset."""
    offsets: tuple[int, ...]
    span_s: int
    rank: int
    """Place of its first step in the order given."""
    unit: int
    """0 for the batch."""
    earliest_s: int
    lags: tuple[tuple[int, int], ...]
    """(Earlier block, least seconds from its start to this block's start)."""
    takes: tuple[Take, ...]
    """In the order in which they happen; what is given back at a moment goes first."""
    machine: MachineWork | None
    """Where in it a machine runs; None where none does."""
    light: LightWork | None
    """Where in it work outdoors lies; None where there is none."""
    latest_s: int | None
    """Latest start that keeps an open time which runs already, or follows at once."""
    helped: Spans = ()
    """Where in it two people are needed, where the shop says when a helper is there."""


def form_blocks(
    bonds: Bonds, hours: Hours, resources: Sequence[Resource]
) -> tuple[tuple[Block, ...], tuple[Finding, ...]]:
    """All blocks of the steps that are not fixed, each after those that it needs.

    STOPs where glue would be open too long, or a block fits into no opening of the shop.
    """
    deadlines = bonds.deadlines()
    groups = group_steps(bonds, deadlines)
    places: dict[int, int] = {}
    found: list[Finding] = []
    for group in sorted(groups):
        offsets = lay_group(bonds, group, deadlines)
        if offsets is None:
            found.append(cannot_close(bonds, group))
        else:
            places |= dict(zip(group, offsets, strict=True))
    if found:
        return (), once(found)
    home = {step: b for b, group in enumerate(groups) for step in group}
    takes = _takes_by_step(bonds, resources)
    blocks = tuple(_make_block(bonds, group, places, takes, deadlines, home) for group in groups)
    found = [
        too_long(block.steps[0].id, block.steps[-1].id, block.span_s, hours.longest_s)
        if block.span_s > hours.longest_s
        else too_loud(block.steps[-1].id, block.span_s)
        for block in blocks
        if not hours.can_hold(block.span_s, block.machine)
    ]
    if not found and hours.helper:
        blocks = tuple(replace(b, helped=helped_spans(b.steps, b.offsets)) for b in blocks)
        found = [
            _never_helped(block, hours)
            for block in blocks
            if not hours.can_hold(block.span_s, block.machine, helped=block.helped)
        ]
    return (() if found else blocks), once(found)


def _make_block(
    bonds: Bonds,
    group: list[int],
    places: dict[int, int],
    takes: dict[int, list[Take]],
    deadlines: dict[int, int],
    home: dict[int, int],
) -> Block:
    order = sorted(group, key=lambda step: places[step])
    ends = {step: places[step] + bonds.steps[step].duration_s for step in group}
    span_s = max(ends.values())
    latest = [deadlines[step] - ends[step] for step in group if step in deadlines]
    latest += [moment - places[step] for step in group for moment in bonds.followed_at(step)]
    lags: dict[int, int] = {}
    for step in group:
        for earlier in bonds.before[step]:
            if earlier in home and earlier not in ends:
                end = places[earlier] + bonds.steps[earlier].duration_s
                lag = end + bonds.lags[earlier, step] - places[step]
                lags[home[earlier]] = max(lag, lags.get(home[earlier], 0))
    return Block(
        steps=tuple(bonds.steps[step] for step in order),
        offsets=tuple(places[step] for step in order),
        span_s=span_s,
        rank=min(group),
        unit=bonds.steps[min(group)].unit or 0,
        earliest_s=max(bonds.earliest_s(step) - places[step] for step in group),
        lags=tuple(sorted(lags.items())),
        takes=tuple(t for step in order for t in takes.get(step, [])),
        machine=_machine_work(bonds, order, places),
        light=light_work((bonds.steps[step], places[step]) for step in order),
        latest_s=min(latest) if latest else None,
    )


def _machine_work(bonds: Bonds, order: list[int], places: dict[int, int]) -> MachineWork | None:
    """Where machines run in a block, of the steps that take one."""
    loud = [step for step in order if bonds.steps[step].resources]
    if not loud:
        return None
    ends = (places[step] + bonds.steps[step].duration_s for step in loud)
    return MachineWork(max(places[step] for step in loud), max(ends))


def _never_helped(block: Block, hours: Hours) -> Finding:
    """The block's longest step for two, and how long they are needed in all."""
    first = max((s for s in block.steps if s.people > 1), key=lambda step: step.duration_s)
    seconds = sum(last - begin for begin, last in block.helped)
    return never_helped(first.id, len(block.steps) == 1, seconds, hours.helper)


def _takes_by_step(bonds: Bonds, resources: Sequence[Resource]) -> dict[int, list[Take]]:
    """What each step gives back and takes at its start, what is given back first."""
    takes: dict[int, list[Take]] = {}
    for hold in bonds.holds:
        first, last = bonds.number[hold.first], bonds.number[hold.last]
        if bonds.is_fixed(last) or first == last:
            continue
        drawn = [number for number, resource in enumerate(resources) if resource.serves(hold)]
        takes.setdefault(last, []).extend((number, -hold.amount) for number in drawn)
        if not bonds.is_fixed(first):
            takes.setdefault(first, []).extend((number, hold.amount) for number in drawn)
    return {step: sorted(found, key=lambda take: take[1]) for step, found in takes.items()}
