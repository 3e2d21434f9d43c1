"""Whether a board of the rack that is thicker than its parts may be planed, and why not.

A board is planed whole, before anything is cut from it, and to one thickness: the nearest that a
material of the build has. Imports ``model`` and what remains of a board in ``stock``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopstep.design.resolve import Design
from shopstep.model.material import Form, Material
from shopstep.model.operation import PLANE
from shopstep.model.plan import Finding, Level, Plan, Where
from shopstep.model.resources import Planer
from shopstep.model.stock import RackPiece
from shopstep.stock.clear import planed_zones
from shopstep.units import ZERO, Length, format_length
from shopstep.words import say

MOST_SHAVINGS = 3
"""At most one part in so many of a board's thickness is planed away: 1 in and 1 1/8 in give 3/4 in,
1 1/4 in does not. What is thicker is kept for thicker parts, or resawn (common practice, no
source)."""
LEAST_THICKNESS = Length.inches("1/4")
"""Nothing is planed thinner without a board under it (common practice; the manual governs)."""
SHORTEST_LEFT = Length.inches(12)
"""So long a clear part must be left, or it cannot be ripped (the "12 in" rule: common practice)."""
NO_PLANER = "the shop's settings have no planer"
OVER = "boards are planed before the first cut of a batch only"


@dataclass(frozen=True, slots=True)
class Planing:
    """What a plan may plane."""

    planer: Planer | None = None
    """None: there is none."""
    over: frozenset[str] = frozenset()
    """Materials of which no further board is planed: some are cut up, or the batch has been at the
    planer."""


def begun_planing(plan: Plan | None, done: frozenset[str]) -> frozenset[str]:
    """Materials of which boards are planed already, or a first lot of the passes is done."""
    if plan is None:
        return frozenset()
    setups = {s.id: s for s in plan.setups if s.kind == PLANE}
    begun = [
        setup
        for setup in setups.values()
        if any(f"all/{setup.id}" in (step, step.partition("#")[0]) for step in done)
    ]
    operations = {name for setup in begun for name in setup.operations}
    parts = {op.part for op in plan.operations if op.id in operations}
    return frozenset(part.material for part in plan.parts if part.name in parts)


def without_planed(
    rack: tuple[RackPiece, ...], plan: Plan | None, done: frozenset[str]
) -> tuple[RackPiece, ...]:
    """The rack but for the boards that the plan in progress has planed: it has them already."""
    begun = begun_planing(plan, done)
    if plan is None or not begun:
        return rack
    taken = {p.rack_id for p in plan.stock if p.planed_from and p.material in begun}
    return tuple(piece for piece in rack if piece.id not in taken)


def as_sold_here(design: Design, planer: Planer | None) -> Design:
    """The design with boards that are sold rough as this shop gets them: planed here, or bought
    planed where there is no planer for them, which a finding says."""
    materials: list[Material] = []
    told: list[Finding] = []
    for material in design.materials:
        if not material.sold_thickness:
            materials.append(material)
            continue
        size = (material.sold_length, material.sold_width, material.sold_thickness)
        sold = RackPiece("", material.id, *size)
        problem = _problem(sold, material.thickness, Planing(planer), design.display)
        if planer is not None and not problem:
            materials.append(replace(material, snipe=planer.snipe))
            continue
        thin = format_length(material.thickness, design.display)
        told.append(_buy_planed(material, thin, problem, design.display))
        materials.append(
            replace(
                material,
                sold_thickness=ZERO,
                sold_as=say("{sold_as}, planed to {thin}", sold_as=material.sold_as, thin=thin),
            )
        )
    return replace(design, materials=tuple(materials), findings=(*design.findings, *told))


def _buy_planed(material: Material, thin: str, problem: str, display: str) -> Finding:
    thick = format_length(material.sold_thickness, display)
    return Finding(
        Level.NOTE,
        "buy_planed",
        say(
            "{material_title} is sold {thick} thick, and {problem}",
            material_title=material.title,
            thick=thick,
            problem=problem,
        ),
        Where(name=material.id),
        say("have it planed to {thin} where you buy it", thin=thin),
    )


def materials_to_plane_for(
    piece: RackPiece, alike: list[Material], planing: Planing, display: str
) -> tuple[tuple[Material, ...], str]:
    """The materials that the piece may be planed for, all of one thickness; or why for none."""
    boards = [m for m in alike if m.form is Form.BOARD and m.thickness < piece.thickness]
    if not boards:
        return (), ""
    thickness = max(material.thickness for material in boards)
    problem = _problem(piece, thickness, planing, display)
    wanted = tuple(m for m in boards if m.thickness == thickness and m.id not in planing.over)
    if problem or not wanted:
        return (), problem or OVER
    return wanted, ""


def _problem(piece: RackPiece, thickness: Length, planing: Planing, display: str) -> str:
    planer = planing.planer
    if (piece.thickness - thickness).times(MOST_SHAVINGS) > piece.thickness:
        return say("more than a third of it would be shavings")
    if thickness < LEAST_THICKNESS:
        return say(
            "nothing is planed thinner than {least_thickness}",
            least_thickness=format_length(LEAST_THICKNESS, display),
        )
    if planer is None:
        return NO_PLANER
    if piece.length < planer.least_length:
        return say(
            "the planer takes nothing shorter than {least_length}",
            least_length=format_length(planer.least_length, display),
        )
    if piece.width > planer.widest:
        return say(
            "the planer takes nothing wider than {widest}",
            widest=format_length(planer.widest, display),
        )
    zones = planed_zones(piece.length, piece.defects, planer.snipe)
    if all(end - start < SHORTEST_LEFT for start, end in zones):
        return say(
            "less than {shortest_left} of it would be left without the"
            " ends, which a planer makes thinner",
            shortest_left=format_length(SHORTEST_LEFT, display),
        )
    return ""
