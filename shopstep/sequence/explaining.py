"""Why not earlier: which need, wait, hand, resource or closing time binds a step's start.

Read off a finished plan, with nothing but its times. Imports ``shopstep.model`` and this room.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from shopstep.model.plan import Plan, Shop
from shopstep.model.reason import Binds, Reason
from shopstep.model.step import Step, WaitKind
from shopstep.sequence.daylight import light_work
from shopstep.sequence.helping import Spans, helped_spans
from shopstep.sequence.hours import Hours
from shopstep.sequence.openings import MachineWork, last_start_s
from shopstep.sequence.supplies import capacities


def explain_chain(plan: Plan, shop: Shop, step_id: str, most: int = 12) -> tuple[Reason, ...]:
    """What binds the start of a step, what binds what that names, and so on towards the beginning.

    KeyError for a step that is not in the plan. A step that follows another at once is bound by
    it; a step inside a glue-up stands where the glue-up stands.
    """
    explaining = _Explaining(plan, shop)
    chain: list[Reason] = []
    seen: set[str] = set()
    at = step_id
    while at and at not in seen and len(chain) < most:
        seen.add(at)
        chain.append(explaining.explain(at))
        at = chain[-1].other
    return tuple(chain)


_HOURS = (Binds.HOURS, Binds.MACHINES, Binds.DAYLIGHT, Binds.HELPER)


class _Explaining:
    """Look-ups into one plan."""

    def __init__(self, plan: Plan, shop: Shop) -> None:
        self.plan = plan
        self.shop = shop
        self.steps = {step.id: step for step in plan.steps}
        self.followers: dict[str, list[Step]] = {}
        for step in plan.steps:
            if step.behind is not None:
                self.followers.setdefault(step.behind, []).append(step)
        first_s = min((s.start_s for s in plan.steps), default=0)
        self.hours = Hours(shop.calendar, first_s, shop.helper)

    def explain(self, step_id: str) -> Reason:
        """The one reason that binds."""
        step = self.steps[step_id]
        if step.behind is not None and step.behind in self.steps:
            return Reason(step_id, Binds.NEED, step.behind)
        chain = self._chain(step)
        bound = [
            (moment, reason) for moment, reason in self._bounds(step, chain) if moment is not None
        ]
        moment, reason = max(bound, key=lambda each: each[0], default=(0, None))
        if reason is not None and moment >= step.start_s:
            return reason
        earliest_s = max(moment, self.plan.begin_s)
        found = self._hours_or_hands(step, chain, earliest_s)
        if reason is not None and reason.binds is Binds.LIMIT and found.binds in _HOURS:
            return reason
        if reason is not None and found.binds in _HOURS:
            return replace(found, other=reason.other, wait=reason.wait)
        return found

    def _chain(self, step: Step) -> tuple[Step, ...]:
        """The step and all that follows it at once."""
        chain, ahead = [step], [step]
        while ahead:
            more = self.followers.get(ahead.pop().id, [])
            chain += more
            ahead += more
        return tuple(chain)

    def _bounds(self, step: Step, chain: tuple[Step, ...]) -> Iterator[tuple[int, Reason]]:
        """Needs and waits of the whole chain, as moments before which the step cannot start."""
        inside = {each.id for each in chain}
        for each in chain:
            offset_s = each.start_s - step.start_s
            for need in each.needs:
                if need in self.steps and need not in inside:
                    yield self.steps[need].end_s - offset_s, Reason(step.id, Binds.NEED, need)
            for wait in self.plan.waits:
                if wait.is_least and wait.before == each.id and wait.after in self.steps:
                    ready_s = self.steps[wait.after].end_s + wait.seconds
                    yield ready_s - offset_s, Reason(step.id, Binds.WAIT, wait.after, wait.id)
                elif wait.kind is WaitKind.WITHIN and wait.after == each.id:
                    before_s = each.end_s - step.start_s
                    moment_s = self.steps[wait.before].start_s - wait.seconds - before_s
                    yield moment_s, Reason(step.id, Binds.LIMIT, wait.before, wait.id)

    def _hours_or_hands(self, step: Step, chain: tuple[Step, ...], earliest_s: int) -> Reason:
        """Closing time, a helper's times, taken clamps, or two hands that are busy."""
        length_s = max(each.end_s for each in chain) - step.start_s
        machine = _machine_of(step, chain)
        light = light_work((each, each.start_s - step.start_s) for each in chain)
        free_s, number = self.hours.fit(earliest_s, length_s, machine=machine)
        lit_s = self.hours.fit(earliest_s, length_s, machine=machine, light=light)[0]
        if light is not None and lit_s >= step.start_s > free_s:
            return Reason(step.id, Binds.DAYLIGHT)
        if free_s < step.start_s and self.shop.helper:
            helped = _helped_of(step, chain)
            helped_s, _ = self.hours.fit(earliest_s, length_s, machine=machine, helped=helped)
            if helped_s >= step.start_s:
                return Reason(step.id, Binds.HELPER)
        if free_s >= step.start_s:
            opening = self.hours.span(max(0, number - 1))
            fits = last_start_s(opening, length_s, None) >= earliest_s
            is_loud = machine is not None and fits and number > 0
            is_first = number == 0 and step.start_s <= max(self.plan.begin_s, opening.opens_s)
            if is_first:
                return Reason(step.id, Binds.BEGIN)
            return Reason(step.id, Binds.MACHINES if is_loud else Binds.HOURS)
        before = self._just_before(step)
        taken = self._taken(step, chain)
        if taken is not None:
            return taken
        if before is not None and before.end_s > earliest_s:
            return Reason(step.id, Binds.PERSON, before.id)
        return Reason(step.id, Binds.HOURS)

    def _just_before(self, step: Step) -> Step | None:
        earlier = [s for s in self.plan.steps if s.end_s <= step.start_s and s.id != step.id]
        return max(earlier, key=lambda s: s.end_s, default=None)

    def _taken(self, step: Step, chain: tuple[Step, ...]) -> Reason | None:
        """What gives back, at this very start, clamps or places that the chain takes."""
        inside = {each.id for each in chain}
        counted = capacities(self.shop, self.plan.holds)
        for resource, have in sorted(counted.items(), key=lambda each: -each[0].reach.nm):
            drawn = [h for h in self.plan.holds if resource.serves(h)]
            wanted = sum(h.amount for h in drawn if h.first in inside)
            others = [
                h for h in drawn
                if wanted and h.first not in inside
                and self.steps[h.first].start_s < step.start_s
            ]  # fmt: skip
            held = [h for h in others if self.steps[h.last].start_s >= step.start_s]
            given = max(
                (h for h in others if self.steps[h.last].start_s < step.start_s),
                key=lambda h: self.steps[h.last].start_s,
                default=None,
            )
            used = sum(h.amount for h in held)
            if given is not None and used + given.amount + wanted > have:
                return Reason(
                    step.id, Binds.RESOURCE, given.last, "", resource.name, resource.reach
                )
        return None


def _helped_of(step: Step, chain: tuple[Step, ...]) -> Spans:
    return helped_spans(chain, [each.start_s - step.start_s for each in chain])


def _machine_of(step: Step, chain: tuple[Step, ...]) -> MachineWork | None:
    loud = [each for each in chain if each.resources]
    if not loud:
        return None
    return MachineWork(
        max(each.start_s for each in loud) - step.start_s,
        max(each.end_s for each in loud) - step.start_s,
    )
