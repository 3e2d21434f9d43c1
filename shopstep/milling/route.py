"""The way of each part through the shop: blanks, operations in their order, setups.

The table by kind of feature stands here. Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from shopstep.milling.allowing import as_cut
from shopstep.milling.bevels import cut_bevel
from shopstep.milling.channels import cut_dado, cut_rabbet
from shopstep.milling.checks import check_hands, check_part
from shopstep.milling.drafts import TABLE_SAW, Draft
from shopstep.milling.fewest import fewest_setups
from shopstep.milling.fingers import cut_fingers
from shopstep.milling.grooves import cut_groove, cut_notch
from shopstep.milling.handwork import cut_by_hand
from shopstep.milling.holes import drill_holes
from shopstep.milling.recesses import cut_recess
from shopstep.milling.setups import group_setups
from shopstep.milling.sizing import is_short, is_tiny, make_blank, size_cuts
from shopstep.model.material import Form, Material
from shopstep.model.operation import Blank, Operation, Setup
from shopstep.model.part import Part
from shopstep.model.plan import Finding, Level, Where
from shopstep.units import Length
from shopstep.words import say

_BY_FEATURE: dict[str, Callable[[Part, Any, Length], Draft]] = {
    "groove": cut_groove,
    "bevel": cut_bevel,
    "holes": drill_holes,
    "notch": cut_notch,
    "rabbet": cut_rabbet,
    "dado": cut_dado,
    "fingers": cut_fingers,
    "recess": cut_recess,
}


@dataclass(frozen=True, slots=True)
class Milling:
    """All the machine work of a batch."""

    blanks: tuple[Blank, ...]
    operations: tuple[Operation, ...]
    """Part by part, in build order."""
    setups: tuple[Setup, ...]
    """In the order in which they are done."""
    findings: tuple[Finding, ...]
    least_setups: int = 0
    """No order of the operations that keeps their needs has fewer setups."""


def plan_milling(
    parts: tuple[Part, ...],
    materials: tuple[Material, ...],
    units: int,
    kerf: Length,
    display: str = "in",
) -> Milling:
    """Blanks, operations and setups for a batch of ``units``.

    Sizes are those that are cut, allowances on. A part that cannot be cut gives a STOP finding
    and no operations.
    """
    known = {material.id: material for material in materials}
    parts = tuple(as_cut(part) for part in parts if not part.apart or part.count(units))
    blanks: list[Blank] = []
    operations: list[Operation] = []
    findings = list(check_hands(parts))
    for part in parts:
        material = known.get(part.material)
        found = (
            check_part(part, material, kerf, display) if material else (_no_material(part, known),)
        )
        findings += found
        if material and not any(finding.level is Level.STOP for finding in found):
            blanks.append(make_blank(part, material, units))
            operations += route_part(part, material, units, kerf)
    setups = group_setups(tuple(operations))
    least = fewest_setups(operations).least
    return Milling(tuple(blanks), tuple(operations), setups, tuple(findings), least)


def _no_material(part: Part, known: Iterable[str]) -> Finding:
    return Finding(
        Level.STOP,
        "no_such_material",
        say(
            "the {part_label} is to be made of {material}, which the build does not list",
            part_label=part.label,
            material=part.material,
        ),
        Where(name=part.name, line=part.line),
        say("name one of: {known}", known=", ".join(known)),
    )


def route_part(part: Part, material: Material, units: int, kerf: Length) -> tuple[Operation, ...]:
    """The operations of one part, each with those on the same part that must come before.

    What would be cut into a tiny part at the table saw is cut by hand.
    """
    sizing = size_cuts(part, material, kerf)
    features = [_BY_FEATURE[feature.kind](part, feature, kerf) for feature in part.features]
    on_stick = _cut_on_stick(part, material, features)
    if is_tiny(part):
        features = [
            draft if draft in on_stick or draft.tool != TABLE_SAW else cut_by_hand(feature, draft)
            for feature, draft in zip(part.features, features, strict=True)
        ]
    later = [draft for draft in features if draft not in on_stick]
    first, last = sizing[:-1], sizing[-1]
    ordered = (*first, *on_stick, last, *later)
    return tuple(
        _make_operation(part, draft, units, _needs(part, draft, sizing, on_stick, features))
        for draft in ordered
    )


def _cut_on_stick(part: Part, material: Material, features: list[Draft]) -> list[Draft]:
    """What is cut into the long stick: through cuts of a part too short to hold.

    A bevel waits until after the crosscut if something that waits still leans on its faces.
    """
    if not is_short(part) or material.form is not Form.BOARD:
        return []
    leaning = [draft.leans_on for draft in features if not draft.on_stick]
    return sorted(
        (
            draft
            for draft in features
            if draft.on_stick and not any(draft.spoils & faces for faces in leaning)
        ),
        key=lambda draft: draft.kind == "bevel_rip",
    )


def _needs(
    part: Part,
    draft: Draft,
    sizing: tuple[Draft, ...],
    on_stick: list[Draft],
    features: list[Draft],
) -> tuple[str, ...]:
    if draft in sizing:
        before = list(sizing[: sizing.index(draft)][-1:])
        if draft is sizing[-1]:
            before += on_stick
    else:
        before = [*sizing[-2:-1]] if draft in on_stick else [sizing[-1]]
        before += [other for other in features if _comes_before(other, draft)]
    return tuple(_operation_id(part, other) for other in before)


def _comes_before(other: Draft, draft: Draft) -> bool:
    """Whether ``draft`` is a bevel that takes away what ``other`` leans on; rips before ends."""
    if not draft.spoils or other is draft:
        return False
    if other.spoils:
        return draft.kind == "mitre" and other.kind == "bevel_rip"
    return bool(other.leans_on & draft.spoils)


def _operation_id(part: Part, draft: Draft) -> str:
    hand = (part.hand.value,) if part.hand else ()
    name = (draft.name,) if draft.name else ()
    return "/".join((draft.kind, part.name, *hand, *name))


def _make_operation(part: Part, draft: Draft, units: int, needs: tuple[str, ...]) -> Operation:
    return Operation(
        id=_operation_id(part, draft),
        kind=draft.kind,
        tool=draft.tool,
        part=part.name,
        hand=part.hand,
        count=part.count(units),
        settings=draft.settings,
        needs=needs,
        note=draft.note,
    )
