"""What is cut already: parts of a plan in progress with the sizes that cannot change any more.

A part whose first lot is cut is cut: the others come out alike. Imports milling and ``model``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from shopstep.milling.lots import LOT
from shopstep.model.material import Form, Material
from shopstep.model.operation import PLANE
from shopstep.model.part import Hand, Part
from shopstep.model.plan import Plan
from shopstep.units import Length

PartKey = tuple[str, Hand | None]
SIZES = ("length", "width", "thickness")


@dataclass(frozen=True, slots=True)
class CutPart:
    """A part that was taken to a machine."""

    part: Part
    """As it was planned when it was cut."""
    sizes: frozenset[str]
    """Which of ``length``, ``width`` and ``thickness`` are cut."""
    features: frozenset[str]
    """Names of the grooves and the like that are cut into it."""


Cut = Mapping[PartKey, CutPart]
NO_CUT: Cut = MappingProxyType({})


def find_cut(plan: Plan, done: Iterable[str]) -> dict[PartKey, CutPart]:
    """The parts that the steps ``done`` (ids) have cut, each with what is cut of it."""
    finished = frozenset(done)
    operations = {op.id: op for op in plan.operations}
    materials = {material.id: material for material in plan.materials}
    parts = {(part.name, part.hand): part for part in plan.parts}
    found: dict[PartKey, CutPart] = {}
    for setup in plan.setups:
        if setup.kind == PLANE:
            continue  # thinner, but whole
        if finished.isdisjoint((f"all/{setup.id}", f"all/{setup.id}{LOT}1")):
            continue
        for operation in (operations[op] for op in setup.operations):
            key = (operation.part, operation.hand)
            if key not in parts:
                continue
            part = parts[key]
            was = found.get(key, CutPart(part, frozenset(), frozenset()))
            sizes = _sizes_of(operation.kind, part, materials[part.material])
            features = {f.name for f in part.features if operation.id.endswith(f"/{f.name}")}
            found[key] = replace(was, sizes=was.sizes | sizes, features=was.features | features)
    return found


_OF_BOARD: dict[str, tuple[str, ...]] = {
    "rip_thin": ("width", "thickness"),
    "crosscut": ("length",),
    "crosscut_hand": ("length",),
}
_OF_OTHERS = frozenset(
    (
        "sheet_cut",
        "straightedge",
        "crosscut",
        "crosscut_hand",
        "slice",
        "knife_cut",
        "snip",
        "shear",
    )
)


def _sizes_of(kind: str, part: Part, material: Material) -> frozenset[str]:
    """The sizes that one kind of work gives a part; of a sheet or a roll both at its first cut."""
    if material.form is not Form.BOARD or material.stuff:
        return frozenset(("length", "width")) if kind in _OF_OTHERS else frozenset()
    if kind in ("rip", "slice"):
        lies_on_edge = part.thickness != material.thickness and part.width == material.thickness
        return frozenset(("thickness",) if lies_on_edge else ("width",))
    return frozenset(_OF_BOARD.get(kind, ()))


def pin_parts(parts: tuple[Part, ...], cut: Cut) -> tuple[Part, ...]:
    """The parts with whatever is cut of them as it was cut."""
    return tuple(
        _pin(part, cut[part.name, part.hand]) if (part.name, part.hand) in cut else part
        for part in parts
    )


def _pin(part: Part, cut: CutPart) -> Part:
    was = {feature.name: feature for feature in cut.part.features}
    return replace(
        part,
        **{size: getattr(cut.part, size) for size in cut.sizes},
        features=tuple(
            was[feature.name] if feature.name in cut.features and feature.name in was else feature
            for feature in part.features
        ),
    )


_CHANNELS = ("groove", "rabbet", "dado")


def cut_values(cut: Cut, plan: Plan) -> dict[str, Length]:
    """By name, the sizes that are cut: ``tray.width``, ``panel_in_sides.channel``."""
    values: dict[str, Length] = {}
    for (name, _), found in cut.items():
        values |= {f"{name}.{size}": getattr(found.part, size) for size in found.sizes}
    for joint in plan.joints:
        if joint.kind in _CHANNELS:
            for found in (found for (name, _), found in cut.items() if name == joint.into):
                values |= _channel_values(joint.name, found)
    return values


def _channel_values(joint: str, found: CutPart) -> dict[str, Length]:
    """Width and depth of the channel that a joint has in a part, where it is cut."""
    return {
        f"{joint}.{name}": value
        for feature in found.part.features
        if feature.name in found.features and feature.name.startswith(joint)
        for name, field in (("channel", "width"), ("depth", "depth"))
        if isinstance(value := getattr(feature, field, None), Length)
    }
