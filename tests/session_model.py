"""A small model of a batch, written apart from the program, to hold the real thing against.

It knows each rule in its plainest form and nothing of indexes, gates or events.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from shopstep.model.plan import Plan
from shopstep.model.step import GlueRole, StepKind, WaitKind


@dataclass
class Reading:
    """A number read, and whether it may stay."""

    at_s: int
    passes: bool
    where: str = ""
    tries: int = 1


@dataclass
class Model:
    """Which steps are done, and what may be done next."""

    plan: Plan
    now_s: int
    done: dict[str, int] = field(default_factory=dict)
    answered: set[str] = field(default_factory=set)
    glue: dict[str, int] = field(default_factory=dict)
    late_agreed: set[str] = field(default_factory=set)
    put_off_agreed: set[str] = field(default_factory=set)
    bench: tuple[str, int] | None = None
    """What is worked at, and since when; a pause moves that moment."""
    held_since: int = 0
    readings: dict[str, Reading] = field(default_factory=dict)
    reopened: set[str] = field(default_factory=set)
    held: bool = False
    aside: set[str] = field(default_factory=set)
    stopped: bool = False
    spoiled: dict[int, int] = field(default_factory=dict)

    def void(self, gone: set[str]) -> None:
        """What these steps made is lost; nothing that was said about them holds."""
        self.done = {step: s for step, s in self.done.items() if step not in gone}
        self.glue = {step: s for step, s in self.glue.items() if step not in gone}
        self.readings = {step: r for step, r in self.readings.items() if step not in gone}
        self.answered -= gone
        self.late_agreed -= gone
        self.put_off_agreed &= set(self.done)
        self.reopened -= gone

    def kind(self, step_id: str) -> StepKind:
        """The kind of a step."""
        step = next(step for step in self.plan.steps if step.id == step_id)
        return next(kind for kind in self.plan.kinds if kind.id == step.kind)

    def needs(self, step_id: str) -> tuple[str, ...]:
        """What stands before a step."""
        return next(step.needs for step in self.plan.steps if step.id == step_id)

    def is_before(self, early: str, late: str) -> bool:
        """Whether the early step is the late one, or stands before it."""
        return early == late or any(self.is_before(early, need) for need in self.needs(late))

    def is_ready(self, step_id: str) -> bool:
        """Open, all before it done, all least-waits over."""
        if step_id in self.done or any(need not in self.done for need in self.needs(step_id)):
            return False
        return all(
            wait.after in self.done and self.done[wait.after] + wait.seconds <= self.now_s
            for wait in self.plan.waits
            if wait.before == step_id and wait.kind not in (WaitKind.OPEN, WaitKind.WITHIN)
        )

    def closings(self) -> dict[str, int]:
        """Steps that close open glue, each with the last good moment."""
        return {
            wait.before: self.glue[wait.after] + wait.seconds
            for wait in self.plan.waits
            if wait.kind is WaitKind.OPEN
            and wait.after in self.glue
            and wait.before not in self.done
        }

    def helps(self, step_id: str) -> bool:
        """No glue is open, or the step leads to closing it."""
        closings = self.closings()
        return not closings or any(self.is_before(step_id, close) for close in closings)

    def is_answered(self, step_id: str) -> bool:
        """No caution of the step is open."""
        cautions = [c for c in self.kind(step_id).cautions if c.must_ack]
        return not cautions or step_id in self.answered

    def is_measured(self, step_id: str) -> bool:
        """Every number of the step is read and may stay."""
        asks = any(check.value is not None for check in self.kind(step_id).checks)
        return not asks or (step_id in self.readings and self.readings[step_id].passes)

    def may_read(self, step_id: str, is_within: bool, where: str) -> bool:
        """Whether a number can be taken: a gap outside is somewhere, other numbers are nowhere."""
        check = next(check for check in self.kind(step_id).checks if check.value is not None)
        if check.trial is None:
            is_placed = where == ""
        else:
            is_placed = where in ("toe", "heel", "even") or (is_within and where == "")
        return not self.held and self.is_ready(step_id) and is_placed

    def read(self, step_id: str, is_within: bool, where: str) -> None:
        """One more reading, which takes the place of the last."""
        before = self.readings.get(step_id)
        tries = before.tries + 1 if before is not None else 1
        self.readings[step_id] = Reading(self.now_s, is_within, where, tries)

    def is_late(self, step_id: str) -> bool:
        """The step would close glue that was open too long."""
        return self.closings().get(step_id, self.now_s) < self.now_s

    def is_put_off(self, step_id: str) -> bool:
        """Work on the step began later than its longest wait allows, or has not begun yet."""
        at_it = self.bench is not None and self.bench[0] == step_id and not self.held
        begins_s = self.bench[1] if self.bench is not None and at_it else self.now_s
        return any(
            wait.after in self.done and begins_s > self.done[wait.after] + wait.seconds
            for wait in self.plan.waits
            if wait.before == step_id and wait.kind is WaitKind.WITHIN
        )

    def hold(self) -> None:
        """Work stops."""
        self.held, self.held_since = True, self.now_s

    def resume(self) -> None:
        """Work goes on; the pause does not count as work."""
        self.held = False
        if self.bench is not None and self.bench[1] <= self.held_since:
            self.bench = self.bench[0], self.bench[1] + self.now_s - self.held_since

    def may_finish(self, step_id: str) -> bool:
        """Whether a step can be ticked."""
        return (
            not self.held
            and self.is_ready(step_id)
            and self.helps(step_id)
            and self.is_answered(step_id)
            and self.is_measured(step_id)
            and (not self.is_late(step_id) or step_id in self.late_agreed)
            and (not self.is_put_off(step_id) or step_id in self.put_off_agreed)
        )

    def may_spread(self, step_id: str) -> bool:
        """Whether glue can go on at a step where there is none."""
        return (
            not self.held
            and self.kind(step_id).role is GlueRole.SPREAD
            and self.is_ready(step_id)
            and self.helps(step_id)
            and self.is_answered(step_id)
        )

    def may_set_aside(self, step_id: str) -> bool:
        """Ready, and no glue is open anywhere."""
        return self.is_ready(step_id) and not self.closings()

    def scrape(self) -> str:
        """The most urgent glue is gone, with everything that rests on it; the spread step."""
        due = {
            wait.after: self.glue[wait.after] + wait.seconds
            for wait in self.plan.waits
            if wait.kind is WaitKind.OPEN
            and wait.after in self.glue
            and wait.before not in self.done
        }
        spread = min(due, key=lambda step_id: (due[step_id], step_id))
        gone = {spread} | {step_id for step_id in self.done if self.is_before(spread, step_id)}
        late = {wait.before for wait in self.plan.waits if wait.kind is WaitKind.OPEN}
        for step_id in gone:
            self.done.pop(step_id, None)
            self.readings.pop(step_id, None)
        self.answered -= gone
        self.reopened -= gone
        self.late_agreed = {s for s in self.late_agreed if s in self.done and s not in gone}
        self.put_off_agreed &= set(self.done)
        assert late
        del self.glue[spread]
        return spread

    def reopen(self) -> str:
        """Takes the last tick back, with what was said about it; the step."""
        step_id, at_s = list(self.done.items())[-1]
        del self.done[step_id]
        self.answered.discard(step_id)
        self.late_agreed.discard(step_id)
        self.put_off_agreed &= set(self.done)
        self.reopened.add(step_id)
        for other in [o for o, r in self.readings.items() if o not in self.done]:
            if other != step_id and self.readings[other].at_s >= at_s:
                del self.readings[other]
        return step_id
