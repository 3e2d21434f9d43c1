"""What the shop around the bench allows: until when it is open, and how many clamps are free.

Imports the plan from ``model``, and the state of this room.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.plan import Conditions, Plan
from shopstep.model.step import Hold, Step
from shopstep.model.stock import RackPiece
from shopstep.session.state import State

CLAMPS = "clamps"


@dataclass(frozen=True, slots=True)
class Around:
    """The shop at one moment; None where nobody says."""

    closes_s: int | None = None
    """When the shop closes next (seconds since 1970 UTC); may be past."""
    clamps: int | None = None
    """Clamps in the shop, those on joints included."""
    clamps_elsewhere: int = 0
    """Of these so many hold joints of other batches."""
    air: Conditions | None = None
    """What a thermometer says."""
    rack: tuple[RackPiece, ...] | None = None
    """Stock that no other session was promised."""
    labels: frozenset[str] | None = None
    """Glues whose open time is known from their label; None: nobody asks for it."""


NOBODY_SAYS = Around()
"""Nothing is known, so nothing is refused for it."""


def glue_up(plan: Plan, step: Step) -> tuple[Step, ...]:
    """The step and all that must follow it at once, in order: a glue-up that cannot be parted."""
    followers: dict[str, Step] = {}
    for each in plan.steps:
        if each.behind is not None:
            followers.setdefault(each.behind, each)
    found = [step]
    while (following := followers.get(found[-1].id)) is not None and following not in found:
        found.append(following)
    return tuple(found)


def seconds_of(steps: tuple[Step, ...]) -> int:
    """Hands-on time of several steps, as planned."""
    return sum(step.duration_s for step in steps)


def clamps_on(state: State, plan: Plan) -> tuple[Hold, ...]:
    """The holds of clamps that are on something now, in plan order."""
    return tuple(
        hold
        for hold in plan.holds
        if hold.resource == CLAMPS
        and hold.first in state.finished
        and hold.last not in state.finished
    )


def clamps_for(plan: Plan, steps: tuple[Step, ...]) -> int:
    """How many clamps these steps put on and leave on; the most at any moment."""
    place = {step.id: number for number, step in enumerate(steps)}
    most = used = 0
    for number, step in enumerate(steps):
        for hold in plan.holds:
            if hold.resource == CLAMPS and hold.first == step.id:
                used += hold.amount
            elif hold.resource == CLAMPS and hold.last == step.id and hold.first in place:
                used -= hold.amount if place[hold.first] < number else 0
        most = max(most, used)
    return most


def until_of(state: State, around: Around, now_s: int) -> int | None:
    """Until when the person works: what was said last, while it lasts, else the shop's hours."""
    told = state.stays_until_s
    if told is not None and told > now_s:
        return told
    return around.closes_s


def clamps_of(state: State, around: Around) -> int | None:
    """How many clamps there are: as counted at the bench, else as the shop has them."""
    return state.clamps if state.clamps is not None else around.clamps
