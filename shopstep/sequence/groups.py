"""Groups: steps that must not be parted, laid so that every joint closes in time.

Imports ``shopstep.model`` and this room.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.model.plan import Finding, Level, Where
from shopstep.sequence.bonds import Bonds
from shopstep.sequence.deciding import decide_inside
from shopstep.sequence.graph import reaching_groups
from shopstep.sequence.layout import Inside, lay_inside
from shopstep.units import format_span
from shopstep.words import say


def group_steps(bonds: Bonds, deadlines: dict[int, int]) -> list[list[int]]:
    """Steps that open times and following at once bind, and all that lies between by needs.

    Each bound pair becomes one node; whatever then lies in a circle with it belongs to it.
    """
    home = list(range(len(bonds.steps)))

    def find(step: int) -> int:
        while home[step] != step:
            home[step] = home[home[step]]
            step = home[step]
        return step

    pairs = [pair for pair in (*bonds.limits, *bonds.following()) if not _any_fixed(bonds, pair)]
    for spread, close in bonds.limits:
        if bonds.is_fixed(spread) and close in deadlines:
            between = bonds.between(spread, close)
            pairs += [(step, close) for step in between if not bonds.is_fixed(step)]
    for one, other in pairs:
        home[find(one)] = find(other)
    after: list[set[int]] = [set() for _ in bonds.steps]
    for earlier, later in bonds.lags:
        ends = find(earlier), find(later)
        if ends[0] != ends[1] and not _any_fixed(bonds, (earlier, later)):
            after[ends[0]].add(ends[1])
    members: dict[int, list[int]] = {}
    for step in range(len(bonds.steps)):
        if not bonds.is_fixed(step):
            members.setdefault(find(step), []).append(step)
    groups = [
        [s for root in group for s in members.get(root, [])] for group in reaching_groups(after)
    ]
    return [sorted(group) for group in groups if group]


def _any_fixed(bonds: Bonds, pair: tuple[int, int]) -> bool:
    return bonds.is_fixed(pair[0]) or bonds.is_fixed(pair[1])


def lay_group(bonds: Bonds, group: list[int], deadlines: dict[int, int]) -> tuple[int, ...] | None:
    if len(group) == 1 and group[0] not in deadlines:
        return (0,)
    place = {step: i for i, step in enumerate(group)}
    lags: list[dict[int, int]] = [
        {place[e]: bonds.lags[e, step] for e in bonds.before[step] if e in place} for step in group
    ]
    limits: list[dict[int, int]] = [
        {place[e]: bonds.limits[e, step] for e in place if (e, step) in bonds.limits}
        for step in group
    ]
    for (earlier, later), most in bonds.put_off.items():
        if earlier in place and later in place:
            both_s = bonds.steps[earlier].duration_s + bonds.steps[later].duration_s
            inside_s = limits[place[later]].get(place[earlier], most + both_s)
            limits[place[later]][place[earlier]] = min(most + both_s, inside_s)
    due = {place[s]: deadlines[s] - bonds.begin_s for s in group if s in deadlines}
    steps = tuple(bonds.steps[step] for step in group)
    behind = tuple(place.get(bonds.number[s.behind]) if s.behind else None for s in steps)
    inside = Inside(steps, tuple(lags), tuple(limits), behind, due)
    offsets = lay_inside(inside) or decide_inside(inside)
    if offsets is None and due:
        # The glue is spread already: late is said later, as a warning, not refused.
        inside = replace(inside, deadlines={})
        offsets = lay_inside(inside) or decide_inside(inside)
    return offsets


def cannot_close(bonds: Bonds, group: list[int]) -> Finding:
    """Why no order inside the block keeps its open times."""
    inside = set(group)
    for (spread, close), most in bonds.limits.items():
        if spread in inside and close in inside:
            between = bonds.between(spread, close) & inside
            labour = sum(bonds.steps[step].duration_s for step in between)
            if labour > most:
                text = say(
                    "Spreading and closing takes {labour}, "
                    "the glue is open {most}: spread fewer joints at a time.",
                    labour=format_span(labour),
                    most=format_span(most),
                )
                return _stop(text, bonds.steps[spread].id)
    for (earlier, later), most in bonds.put_off.items():
        if earlier in inside and later in inside:
            one, other = bonds.steps[earlier].id, bonds.steps[later].id
            text = say(
                "No order was found in which '{other}' begins within {most} of",
                other=other,
                most=format_span(most),
            )
            remedy = say("Allow more time there, or let nothing follow at once.")
            where = Where(name=other)
            return Finding(
                Level.STOP,
                "put_off",
                say("{text} the end of '{one}'.", text=text, one=one),
                where,
                remedy,
            )
    first, last = bonds.steps[group[0]].id, bonds.steps[group[-1]].id
    text = say(
        "No order of the steps from '{first}' to '{last}' closes every joint in its open time.",
        first=first,
        last=last,
    )
    return _stop(text, first)


def _stop(text: str, name: str) -> Finding:
    remedy = say("Divide the glue-up, or take a glue with a longer open time.")
    return Finding(Level.STOP, "open_time", text, Where(name=name), remedy)
