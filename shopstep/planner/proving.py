"""The proof of a request's design, and what glue and paint its faces take.

Imports the rooms design, conditions and, late, solids.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from shopstep.conditions.spreads import PAINT_M2_L, PAINT_SOURCE, find_spread
from shopstep.design.merging import tag_of
from shopstep.design.resolve import Design
from shopstep.model.plan import Level, PlanRefused, PlanRequest
from shopstep.model.proof import Amount, Contact, Proof
from shopstep.planner.designing import design_request

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
    return proving.prove_design(
        own,
        joints,
        design.outline.kinds,
        design.materials,
        design.display,
        measured=measured,
    )


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
        coats = max(stages.values(), default=0)
        litres = proof.outside_mm2 / _MM2_PER_M2 * coats / PAINT_M2_L
        amounts.append(
            Amount(paint.id, "paint", proof.outside_mm2, coats, 0.0, litres, PAINT_SOURCE)
        )
    return amounts
