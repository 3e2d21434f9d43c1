"""A design cut down to some of its parts; all others are on hand already.

What stays of the steps: those that have no other part in hand, and those without parts that belong
to them. Glue that is not closed again is not spread.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.design.nearest import did_you_mean
from shopstep.design.resolve import Design
from shopstep.model.plan import BuildFileError, Finding, Level, Where
from shopstep.model.step import Outline, StepKind, WaitKind
from shopstep.words import say


def keep_only(design: Design, only: tuple[str, ...]) -> Design:
    """The design with just these parts; as it is where ``only`` names none.

    Its fits, sizes and materials stay whole. A note names the steps that are left out although
    they have one of the parts in hand. BuildFileError for a part that is not there.
    """
    if not only:
        return design
    known = [part.name for part in design.parts]
    for name in only:
        if name not in known:
            raise BuildFileError(
                say(
                    "there is no part '{name}' to make{did_you_mean}",
                    name=name,
                    did_you_mean=did_you_mean(name, known),
                ),
                Where("--only", 0, name),
            )
    kept = _kept_steps(design.outline, frozenset(only))
    left_out = _left_out(design, frozenset(only), kept)
    return replace(
        design,
        parts=tuple(part for part in design.parts if part.name in only),
        joints=tuple(j for j in design.joints if j.member in only and j.into in only),
        outline=_cut_outline(design.outline, kept),
        findings=(*design.findings, *left_out),
    )


def _kept_steps(outline: Outline, only: frozenset[str]) -> frozenset[str]:
    kept = {kind.id for kind in outline.kinds if kind.parts and only.issuperset(kind.parts)}
    needs = dict(zip((kind.id for kind in outline.kinds), outline.needs, strict=True))
    bare = [kind.id for kind in outline.kinds if not kind.parts]
    _add_followers(bare, needs, kept)
    _drop_half_glued(outline, needs, kept)
    asked = {need for step in kept for need in needs[step]}
    return frozenset(kept | {step for step in bare if not needs[step] and step in asked})


def _add_followers(bare: list[str], needs: dict[str, tuple[str, ...]], kept: set[str]) -> None:
    """Steps without parts in hand, where all that they follow stays."""
    grown = True
    while grown:
        more = {s for s in bare if s not in kept and needs[s] and kept.issuperset(needs[s])}
        kept |= more
        grown = bool(more)


def _drop_half_glued(outline: Outline, needs: dict[str, tuple[str, ...]], kept: set[str]) -> None:
    """A spread step without its close step goes, and the other way round; so does what follows."""
    pairs = [(w.after, w.before) for w in outline.waits if w.kind is WaitKind.OPEN]
    bare = {kind.id for kind in outline.kinds if not kind.parts}
    while True:
        half = {s for pair in pairs if len(kept.intersection(pair)) == 1 for s in pair} & kept
        orphans = {s for s in kept & bare if needs[s] and not kept.issuperset(needs[s])}
        if not half | orphans:
            return
        kept -= half | orphans


def _cut_outline(outline: Outline, kept: frozenset[str]) -> Outline:
    needs = dict(zip((kind.id for kind in outline.kinds), outline.needs, strict=True))
    kinds = tuple(kind for kind in outline.kinds if kind.id in kept)
    glues = {kind.glue for kind in kinds}
    painted = tuple(pair for pair in outline.painted if pair[0] in kept)
    paints = {paint for _, paint in painted}
    return Outline(
        kinds=kinds,
        needs=tuple(_needs_through(kind.id, needs, kept) for kind in kinds),
        waits=tuple(w for w in outline.waits if w.after in kept and w.before in kept),
        takes=tuple(t for t in outline.takes if t.first in kept and t.last in kept),
        glues=tuple(supply for supply in outline.glues if supply.id in glues),
        paints=tuple(supply for supply in outline.paints if supply.id in paints),
        behind=tuple(pair for pair in outline.behind if kept.issuperset(pair)),
        painted=painted,
        places=outline.places,
    )


def _needs_through(
    step: str, needs: dict[str, tuple[str, ...]], kept: frozenset[str]
) -> tuple[str, ...]:
    """What the step needs; in place of what is left out, what that needed."""
    found: dict[str, None] = {}
    seen: set[str] = set()
    ahead = list(reversed(needs[step]))
    while ahead:
        need = ahead.pop()
        if need in kept:
            found[need] = None
        elif need not in seen:
            seen.add(need)
            ahead += reversed(needs[need])
    return tuple(found)


def _left_out(design: Design, only: frozenset[str], kept: frozenset[str]) -> tuple[Finding, ...]:
    left = [kind for kind in design.outline.kinds if kind.id not in kept and only & set(kind.parts)]
    if not left:
        return ()
    titles = {part.name: part.title for part in design.parts}
    said = "; ".join(f"'{kind.title}'{_others(kind, only, titles)}" for kind in left)
    return (
        Finding(
            Level.NOTE,
            "only_left_out",
            say("Left out, because other parts are in hand there: {said}.", said=said),
            Where(name=", ".join(only)),
            say("Do that work by hand from the full plan, or name those parts with --only too."),
        ),
    )


def _others(kind: StepKind, only: frozenset[str], titles: dict[str, str]) -> str:
    others = [titles.get(part, part) for part in kind.parts if part not in only]
    return say(" (with {others})", others=", ".join(others)) if others else ""
