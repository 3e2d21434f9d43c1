"""What is worked out for steps that nail, and for those that turn the work over.

Where the free hand goes (from the pieces), a look after the first tack, and a caution where only
tacks hold what is turned. Drills that a build leaves out. Imports the rooms conditions, safety and
solids.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.conditions.fasteners import clearance_for, pilot_for, read_size
from shopstep.conditions.outdoors import wood_of
from shopstep.design.resolve import Design
from shopstep.model.fastener import FastenerSize
from shopstep.model.step import Fastener, GlueRole, StepKind, WaitKind
from shopstep.safety.holding_rows import FIRST_TACK, FREE_HAND, ON_TACKS, holding_words
from shopstep.solids import Stand, axes_of, handholds, stands_of
from shopstep.words import say


def sizes_of(design: Design) -> dict[str, FastenerSize]:
    """The sizes of all fasteners of a design, by their titles; those that say none are left out."""
    found = {
        fastener.title: read_size(fastener.kind, fastener.title)
        for kind in design.outline.kinds
        for fastener in kind.fasteners
    }
    return {title: size for title, size in found.items() if size}


def with_hands(kinds: tuple[StepKind, ...], design: Design) -> tuple[StepKind, ...]:
    """The authored step kinds with what is worked out for them."""
    sizes = sizes_of(design)
    stands = stands_of(design.parts)
    return tuple(_with_hands(_with_drills(kind, design), design, sizes, stands) for kind in kinds)


def _with_hands(
    kind: StepKind, design: Design, sizes: dict[str, FastenerSize], stands: tuple[Stand, ...]
) -> StepKind:
    nails = [fastener for fastener in kind.fasteners if fastener.kind == "brad"]
    if not nails or kind.hands:
        return kind
    axes = axes_of([replace(kind, fasteners=tuple(nails))], stands, sizes, design.joints)
    hands = tuple(
        replace(hold, words=holding_words(hold))
        for hold in handholds(axes, stands, FREE_HAND.in_mm)
    )
    checks = kind.checks
    if sum(nail.count for nail in nails) > 1 and all(c.name != FIRST_TACK.name for c in checks):
        checks = (replace(FIRST_TACK, text=say(FIRST_TACK.text)), *checks)
    return replace(kind, hands=hands, checks=checks)


def _with_drills(kind: StepKind, design: Design) -> StepKind:
    """A screw whose holes the build leaves out gets the drills that suit it and the wood."""
    return replace(kind, fasteners=tuple(_drilled(each, kind, design) for each in kind.fasteners))


def _drilled(fastener: Fastener, kind: StepKind, design: Design) -> Fastener:
    size = read_size(fastener.kind, fastener.title)
    if size is None or not size.gauge or fastener.pilot or fastener.clearance:
        return fastener
    return replace(
        fastener,
        pilot=pilot_for(size.gauge, gravity_of(kind, design), design.display),
        clearance=clearance_for(size.gauge, design.display),
    )


def gravity_of(kind: StepKind, design: Design) -> float:
    """Specific gravity of the densest wood in hand; 0 where there is none."""
    titles = {material.id: material.title for material in design.materials}
    names = {part.material for part in design.parts if part.name in kind.parts}
    return max((wood_of(titles[name]).gravity for name in names), default=0.0)


def with_turns(kinds: tuple[StepKind, ...], design: Design) -> tuple[StepKind, ...]:
    """A caution before each step that turns the work over while only tacks and wet glue hold it."""
    weak = _turned_on_tacks(design)
    return tuple(
        replace(kind, cautions=(*kind.cautions, ON_TACKS))
        if kind.id.split("~")[0] in weak
        else kind
        for kind in kinds
    )


def _turned_on_tacks(design: Design) -> frozenset[str]:
    order = {kind.id: n for n, kind in enumerate(design.outline.kinds)}
    clamped = [
        (order[wait.after], order[wait.before])
        for wait in design.outline.waits
        if wait.kind in (WaitKind.CLAMP, WaitKind.CURE)
    ]
    found = set()
    for n, turning in enumerate(design.outline.kinds):
        if not turning.turns:
            continue
        for c, closing in enumerate(design.outline.kinds[:n]):
            if closing.role is not GlueRole.CLOSE or _is_apart(closing):
                continue
            is_dry = any(after == c and before <= n for after, before in clamped)
            since = {f.kind for kind in design.outline.kinds[c:n] for f in kind.fasteners}
            if not is_dry and since == {"brad"}:
                found.add(turning.id)
    return frozenset(found)


def _is_apart(kind: StepKind) -> bool:
    return bool(kind.adds) and all(added.apart for added in kind.adds)
