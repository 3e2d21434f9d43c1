"""The proof of a request's design, and what glue and paint its faces take.

Imports the rooms design, conditions and, late, solids.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from shopstep.conditions.fasteners import clearance_for, pilot_for, pilot_range, read_size
from shopstep.conditions.spreads import PAINT_M2_L, PAINT_SOURCE, find_spread
from shopstep.design.merging import tag_of
from shopstep.design.resolve import Design
from shopstep.model.fastener import FastenerSize
from shopstep.model.plan import Finding, Level, PlanRefused, PlanRequest, Where
from shopstep.model.proof import Amount, Contact, Proof
from shopstep.model.step import Fastener, StepKind
from shopstep.planner.designing import design_request, with_places
from shopstep.planner.handing import gravity_of, sizes_of
from shopstep.units import Length, format_length
from shopstep.words import say

_MM2_PER_M2 = 1e6


def prove_build(request: PlanRequest) -> Proof:
    """The proof of one unit at the request's measurements.

    PlanRefused where sizes or fits stop the design before there are solids to look at;
    BuildFileError for what cannot be read.
    """
    design, _ = design_request(request)
    if any(finding.level is Level.STOP for finding in design.findings):
        raise PlanRefused(design.findings)
    proof = prove_design(design)
    amounts = (*_glue_amounts(design, proof.contacts), *_paint(design, proof))
    return replace(proof, amounts=amounts, display=design.display)


def prove_design(design: Design, *, measured: bool = True) -> Proof:
    """The proof of one design, without amounts; see ``solids.proving``."""
    from shopstep.solids import proving

    own = tuple(part for part in design.parts if not tag_of(part.name))
    joints = tuple(joint for joint in design.joints if not tag_of(joint.name))
    proof = proving.prove_design(
        own,
        joints,
        design.outline.kinds,
        design.materials,
        design.display,
        measured=measured,
        sizes=sizes_of(design),
    )
    return replace(proof, findings=with_places((*proof.findings, *_drills(design)), design))


def _drills(design: Design) -> list[Finding]:
    """Pilot and clearance holes that do not suit their screws."""
    found: list[Finding] = []
    for kind in design.outline.kinds:
        for fastener in kind.fasteners:
            size = read_size(fastener.kind, fastener.title)
            if size is None or not size.gauge:
                continue
            found += _wrong_drills(kind, fastener, size, gravity_of(kind, design), design.display)
    return found


def _wrong_drills(
    kind: StepKind, fastener: Fastener, size: FastenerSize, gravity: float, display: str
) -> list[Finding]:
    least, most = pilot_range(size.gauge)
    wrong: list[tuple[str, Length, Length]] = []
    if fastener.pilot and not least <= fastener.pilot.in_mm <= most:
        right = pilot_for(size.gauge, gravity, display)
        wrong.append((say("pilot hole"), fastener.pilot, right))
    if fastener.clearance and fastener.clearance.in_mm < size.diameter_mm - 0.01:
        right = clearance_for(size.gauge, display)
        wrong.append((say("clearance hole"), fastener.clearance, right))
    return [
        Finding(
            Level.STOP,
            "wrong_drill",
            say(
                "step {kind_id} bores a {hole} of {given} for {fastener_title}",
                kind_id=kind.id,
                hole=hole,
                given=format_length(given, display),
                fastener_title=fastener.title,
            ),
            Where(name=kind.id, line=kind.line),
            say(
                "take {right}, the drill of the index that suits it",
                right=format_length(right, display),
            ),
        )
        for hole, given, right in wrong
    ]


def _glue_amounts(design: Design, contacts: Iterable[Contact]) -> list[Amount]:
    amounts = []
    for glue in design.outline.glues:
        area = sum(contact.area_mm2 for contact in contacts if contact.glue == glue.id)
        spread = find_spread(glue.row)
        grams = area / _MM2_PER_M2 * spread.grams_m2
        litres = grams / spread.grams_ml / 1000
        amounts.append(Amount(glue.id, "glue", area, 1, grams, litres, spread.source))
    return amounts


def _paint(design: Design, proof: Proof) -> list[Amount]:
    """As many coats as the stage with most of them puts on; small parts have their own stage."""
    amounts = []
    for paint in design.outline.paints:
        stages = Counter(
            step.split("/")[0] for step, used in design.outline.painted if used == paint.id
        )
        if not stages:
            continue  # the build names it, and no step puts it on
        coats = max(stages.values())
        litres = proof.outside_mm2 / _MM2_PER_M2 * coats / PAINT_M2_L
        amounts.append(
            Amount(paint.id, "paint", proof.outside_mm2, coats, 0.0, litres, PAINT_SOURCE)
        )
    return amounts
