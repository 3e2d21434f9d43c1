"""What the shop around the bench allows: until when it is open, and how many clamps are free.

Imports the plan from ``model``, and the state of this room.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.plan import Plan
from shopstep.model.resources import ClampSet, sets_of
from shopstep.model.step import Hold, Step
from shopstep.model.stock import RackPiece
from shopstep.session.state import State
from shopstep.units import ZERO, Length

CLAMPS = "clamps"


@dataclass(frozen=True, slots=True)
class Around:
    """The shop at one moment; None where nobody says."""

    closes_s: int | None = None
    """When the shop closes next (seconds since 1970 UTC); may be past."""
    clamps: int | None = None
    """Clamps in the shop, those on joints included."""
    clamps_elsewhere: tuple[ClampSet, ...] = ()
    """Of these so many hold joints of other batches, each with the reach that it needs."""
    rack: tuple[RackPiece, ...] | None = None
    """Stock that no other session was promised."""
    labels: frozenset[str] | None = None
    """Glues whose open time is known from their label; None: nobody asks for it."""
    clamp_sets: tuple[ClampSet, ...] = ()
    """The clamps by their reach; empty: every reach holds."""


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


def clamps_for(plan: Plan, steps: tuple[Step, ...], reach: Length = ZERO) -> int:
    """How many clamps these steps put on and leave on; the most at any moment.

    ``reach``: only those that must reach so far and further.
    """
    holds = [h for h in plan.holds if h.resource == CLAMPS and h.reach >= reach]
    place = {step.id: number for number, step in enumerate(steps)}
    most = used = 0
    for number, step in enumerate(steps):
        for hold in holds:
            if hold.first == step.id:
                used += hold.amount
            elif hold.last == step.id and hold.first in place:
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


def clamp_sets_of(state: State, around: Around) -> tuple[ClampSet, ...]:
    """The clamps by their reach, as counted at the bench, else as the shop has them.

    Where only their number was counted, what is missing is missing from the longest.
    """
    if state.clamp_sets or state.clamps is None:
        return state.clamp_sets or around.clamp_sets
    return sets_of(state.clamps, around.clamp_sets)


def reaches_to_ask(plan: Plan, steps: tuple[Step, ...], around: Around) -> tuple[Length, ...]:
    """The reaches at which clamps are counted before these steps: all that theirs go beyond.

    0, for all clamps, comes first.
    """
    first = {step.id for step in steps}
    clamping = [hold for hold in plan.holds if hold.resource == CLAMPS]
    own = [hold.reach for hold in clamping if hold.first in first]
    known = {hold.reach for hold in clamping} | {each.reach for each in around.clamps_elsewhere}
    return tuple(sorted({ZERO} | {r for r in known if r <= max(own, default=ZERO)}))
