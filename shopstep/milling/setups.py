"""Setups: operations with equal settings share one, in an order that keeps all needs.

There are as few as any order can do with. Imports ``shopstep.model``.
"""

from __future__ import annotations

from shopstep.milling.drafts import (
    DRILL_PRESS,
    GUARD_OFF,
    HAND_SAW,
    KNIFE,
    ROUTER,
    SHAPING_SIZE,
    SNIPS,
    TABLE_SAW,
)
from shopstep.milling.fewest import Group, Key, fewest_setups, key_of, ready_of
from shopstep.model.operation import Operation, Setting, Setup
from shopstep.units import Length

_KIND_ORDER = (
    *SHAPING_SIZE[:-1],
    "bevel_rip",
    "mitre",
    "groove",
    "rabbet",
    "rabbet_end",
    "dado",
    "fingers",
    "notch",
    "rout",
    "rout_rabbet",
    "recess",
    "hand_cut",
    "drill",
    "shear",
)
"""Slices come off while the whole board is there to hold them by; then rips, then crosscuts."""
_TOOL_PLACE = {TABLE_SAW: 0, HAND_SAW: 0, ROUTER: 0, DRILL_PRESS: 1, SNIPS: 2, KNIFE: 2}
_SHORTEST_FIRST = ("crosscut", "crosscut_hand")


def group_setups(
    operations: tuple[Operation, ...],
    finished: frozenset[str] = frozenset(),
    taken: frozenset[str] = frozenset(),
) -> tuple[Setup, ...]:
    """Setups in working order; a group is split only where needs would run in a circle, and then
    the one that leaves fewest setups in all.

    ``finished``: operations that are done besides; ``taken``: ids that no setup may get.
    """
    places = {operation.id: place for place, operation in enumerate(operations)}
    groups: dict[Key, Group] = {}
    for operation in operations:
        groups.setdefault(key_of(operation), []).append(operation)
    setups: list[Setup] = []
    done: set[str] = set(finished)
    while groups:
        key, ready = _choose(groups, done, setups[-1] if setups else None, places)
        left = [operation for operation in groups[key] if operation not in ready]
        if left:
            groups[key] = left
        else:
            del groups[key]
        done |= {operation.id for operation in ready}
        setups.append(_make_setup(key, ready, taken | {setup.id for setup in setups}))
    return tuple(setups)


def _choose(
    groups: dict[Key, Group], done: set[str], last: Setup | None, places: dict[str, int]
) -> tuple[Key, Group]:
    """The group to do next: a whole one if there is any, else what the fewest setups begin with."""
    ready = {key: ready_of(group, done) for key, group in groups.items()}
    whole = [key for key, group in groups.items() if len(ready[key]) == len(group)]
    if whole:
        key = min(whole, key=lambda key: _rank(key, groups[key], last, places))
        return key, ready[key]
    left = (operation for group in groups.values() for operation in group)
    begin = fewest_setups(left, frozenset(done)).begin
    key = begin or max(groups, key=lambda key: (len(ready[key]), -places[groups[key][0].id]))
    return key, ready[key]


def _rank(
    key: Key, group: Group, last: Setup | None, places: dict[str, int]
) -> tuple[bool, bool, bool, int, int, int]:
    """Same kind, same tool, same guard; then the usual order, the setting, build order."""
    kind, tool, settings = key
    place = _TOOL_PLACE[tool]
    return (
        last is not None and kind != last.kind,
        place != (_TOOL_PLACE[last.tool] if last else 0),
        (kind in GUARD_OFF) != (last is not None and last.kind in GUARD_OFF),
        place * len(_KIND_ORDER) + _KIND_ORDER.index(kind),
        _setting_rank(kind, settings),
        places[group[0].id],
    )


def _setting_rank(kind: str, settings: tuple[Setting, ...]) -> int:
    """Short pieces while the stick is long, through grooves first, else the widest fence first."""
    told = {s.name: s.value.nm for s in settings if isinstance(s.value, Length)}
    if kind in _SHORTEST_FIRST:
        return told["stop"]
    return told.get("stop", 0) if kind == "groove" else -told.get("fence", 0)


def _make_setup(key: Key, operations: Group, taken: frozenset[str] | set[str]) -> Setup:
    kind, tool, settings = key
    base = f"{kind}/{operations[0].part}"
    number = 2
    setup_id = base
    while setup_id in taken:
        setup_id = f"{base}-{number}"
        number += 1
    return Setup(setup_id, kind, tool, settings, tuple(operation.id for operation in operations))
