"""The evenings of a plan: which steps fall on which local day, and runs of equal steps.

Imports ``model`` and the local days of this room.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from itertools import groupby

from shopstep.model.plan import Plan, Prefer
from shopstep.model.step import Step
from shopstep.present.moments import local_date
from shopstep.words import say, to_say

_PREFERRED = {
    Prefer.EVENINGS: to_say(
        "Chosen for fewest evenings, then the earliest finish, then fewest setups."
    ),
    Prefer.FINISH: to_say("Chosen for the earliest finish, then fewest evenings."),
    Prefer.SETUPS: to_say("Chosen for fewest setups, then fewest evenings."),
    Prefer.FIRST_UNIT: to_say("Chosen to have one unit done early, then for fewest evenings."),
}


@dataclass(frozen=True, slots=True)
class EveningPlan:
    """One day at the bench."""

    day: date
    """In the plan's zone."""
    steps: tuple[Step, ...]
    """In the order of starting; never empty."""

    @property
    def start_s(self) -> int:
        """When the first step starts, seconds since 1970 UTC."""
        return self.steps[0].start_s

    @property
    def end_s(self) -> int:
        """When the last step ends."""
        return max(step.end_s for step in self.steps)

    @property
    def hands_on_s(self) -> int:
        """Seconds of work, without waiting."""
        return sum(step.duration_s for step in self.steps)

    @property
    def runs(self) -> tuple[tuple[Step, ...], ...]:
        """The steps with consecutive ones of the same kind put together."""
        return tuple(tuple(run) for _, run in groupby(self.steps, key=lambda step: step.kind))


def plan_evenings(plan: Plan) -> tuple[EveningPlan, ...]:
    """The scheduled steps by local day; steps without a time are left out."""
    timed = sorted((step for step in plan.steps if step.start_s), key=lambda step: step.start_s)
    days = groupby(timed, key=lambda step: local_date(step.start_s, plan.zone))
    return tuple(EveningPlan(day, tuple(steps)) for day, steps in days)


def name_units(steps: tuple[Step, ...]) -> str:
    """The units of a run of steps: "unit 2", "units 1–4", "units 1, 3"; empty for the batch."""
    units = [step.unit for step in steps if step.unit is not None]
    if not units:
        return ""
    if len(units) == 1:
        return say("unit {units}", units=units[0])
    if units == list(range(units[0], units[-1] + 1)):
        return say("units {units}–{units_2}", units=units[0], units_2=units[-1])
    return say("units {units}", units=", ".join(str(unit) for unit in units))


def preferred_words(prefer: Prefer) -> str:
    """What counted first in the order of the steps."""
    return say(_PREFERRED[prefer])
