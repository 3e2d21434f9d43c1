"""The sample plan with tries in scrap at its saw step: a slope, and a groove's width.

Invented data: the slope of 3/4 in of the worked example, and a groove for a 1/2 in panel.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.model.plan import Plan
from shopstep.model.step import Check, Trial
from shopstep.units import SIXTY_FOURTH, ZERO, Angle, Length
from tests.sample_plan import make_plan

GAP = Check(
    "gap_bevel",
    "gap at the bevel gauge; heel: top face, toe: front edge",
    ZERO,
    SIXTY_FOURTH,
    trial=Trial("bevel", "tilt", Length.inches("3/4"), Angle.degrees(45), "fence"),
)
GROOVE = Check(
    "groove_width",
    "width of the groove in the scrap, for the panel",
    Length.inches("1/2"),
    SIXTY_FOURTH,
    trial=Trial("width", "last_pass"),
)


def trial_plan(*checks: Check, display: str = "in", plan: Plan | None = None) -> Plan:
    """The sample plan (or another one); its first step asks for these."""
    plan = plan or make_plan()
    first, *others = plan.kinds
    return replace(
        plan, kinds=(replace(first, checks=checks or (GAP, GROOVE)), *others), display=display
    )
