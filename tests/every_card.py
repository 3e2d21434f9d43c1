"""Every card that the plans of the shelf can show, in inches and in millimetres."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from shopstep.model.plan import Calendar, Conditions, Plan, PlanRequest, Shop
from shopstep.planner import make_plan
from shopstep.present.card import StepCard
from shopstep.present.card_for import card_for
from shopstep.session.state import State
from shopstep.units import Length
from tests.shelf_builds import build_texts

BEGIN_S = 1_767_895_200
"""Thursday, 8 January 2026, 18:00 UTC."""


@cache
def shelf_plan(name: str, display: str) -> Plan:
    """Two units of a shipped build in an ordinary shop."""
    build, parents = build_texts(name)
    calendar = Calendar("UTC", 18 * 60, 22 * 60, (0, 1, 2, 3, 4, 5, 6))
    return make_plan(
        PlanRequest(
            build=build,
            parents=parents,
            settings=(),
            units=2,
            display=display,
            shop=Shop("shed", calendar, clamps=8, drying_places=8, kerf=Length.inches("1/8")),
            conditions=Conditions(18.0, 50.0),
            rack=(),
            begin_s=BEGIN_S,
            seed=1,
        )
    )


def every_card(plan: Plan) -> Iterator[StepCard]:
    """Each step's card, with its cautions first and then without."""
    state = State(at_bench=None, started_s=BEGIN_S)
    done: dict[str, int] = {}
    for step in plan.steps:
        at_s = step.start_s
        here = replace(state, finished=dict(done), at_bench=step.id, begun={step.id: at_s})
        yield card_for(here, plan, at_s)
        yield card_for(replace(here, acknowledged=frozenset({step.id})), plan, at_s)
        done[step.id] = step.end_s
