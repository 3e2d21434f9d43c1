"""The flow of a batch: which step stands at the bench, which are ready, what keeps the others.

Imports the plan from ``model``, and state and timers of this room.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from shopstep.model.plan import Plan
from shopstep.model.step import Step, StepKind, Wait, WaitKind
from shopstep.session.state import State
from shopstep.session.timers import Timer, timer_of

_KEPT_INDEXES = 8


@dataclass(frozen=True, slots=True)
class PlanIndex:
    """Look-ups into one plan."""

    steps: dict[str, Step]
    """By id, in plan order."""
    kinds: dict[str, StepKind]
    dependents: dict[str, tuple[str, ...]]
    """Steps that need this one."""
    waits_before: dict[str, tuple[Wait, ...]]
    """By the step that has to wait, or has to be in time."""
    waits_after: dict[str, tuple[Wait, ...]]
    """By the step that starts the wait."""
    open_waits: tuple[Wait, ...]
    ways: dict[str, frozenset[str]] = field(default_factory=dict)
    """Filled as asked for: a step's id with everything it needs, and what those need."""

    def kind_of(self, step: Step) -> StepKind:
        """The words and facts of a step; KeyError when the plan is damaged."""
        return self.kinds[step.kind]

    def way_to(self, step_id: str) -> frozenset[str]:
        """The step and all steps that it needs, directly or through others."""
        if step_id not in self.ways:
            self.ways[step_id] = frozenset(_walk_needs(self.steps, step_id))
        return self.ways[step_id]


def _walk_needs(steps: dict[str, Step], step_id: str) -> Iterator[str]:
    seen = {step_id}
    open_ids = [step_id]
    while open_ids:
        at = open_ids.pop()
        yield at
        fresh = [need for need in steps[at].needs if need not in seen] if at in steps else []
        seen.update(fresh)
        open_ids.extend(fresh)


# A plan is frozen and large: hashing it would cost more than building the index. The entry holds
# the plan itself, so its id cannot pass to another object while it stands here.
_indexes: dict[int, tuple[Plan, PlanIndex]] = {}


def index_plan(plan: Plan) -> PlanIndex:
    """The look-ups of a plan; made once for each plan object."""
    entry = _indexes.get(id(plan))
    if entry is not None and entry[0] is plan:
        return entry[1]
    index = _build_index(plan)
    if len(_indexes) >= _KEPT_INDEXES:
        _indexes.pop(next(iter(_indexes)), None)
    _indexes[id(plan)] = (plan, index)
    return index


def _build_index(plan: Plan) -> PlanIndex:
    dependents: dict[str, list[str]] = {}
    for step in plan.steps:
        for need in step.needs:
            dependents.setdefault(need, []).append(step.id)
    return PlanIndex(
        steps={step.id: step for step in plan.steps},
        kinds={kind.id: kind for kind in plan.kinds},
        dependents={step_id: tuple(ids) for step_id, ids in dependents.items()},
        waits_before=_group_waits(plan, "before"),
        waits_after=_group_waits(plan, "after"),
        open_waits=tuple(wait for wait in plan.waits if wait.kind is WaitKind.OPEN),
    )


def _group_waits(plan: Plan, end: str) -> dict[str, tuple[Wait, ...]]:
    groups: dict[str, list[Wait]] = {}
    for wait in plan.waits:
        groups.setdefault(getattr(wait, end), []).append(wait)
    return {step_id: tuple(waits) for step_id, waits in groups.items()}


def open_needs(state: State, plan: Plan, step: Step) -> tuple[str, ...]:
    """Steps that must be done before this one and are not, whether needed or waited for."""
    index = index_plan(plan)
    needs = [need for need in step.needs if need not in state.finished]
    for wait in index.waits_before.get(step.id, ()):
        if wait.is_least and wait.after in index.steps:
            needs += [wait.after] if wait.after not in state.finished else []
    return tuple(dict.fromkeys(needs))


def pending_waits(state: State, plan: Plan, step: Step, now_s: int) -> tuple[Timer, ...]:
    """Least-waits of the step that run now, the one that ends last in front."""
    timers = [
        timer
        for wait in index_plan(plan).waits_before.get(step.id, ())
        if wait.is_least and (timer := timer_of(state, wait)) is not None and timer.due_s > now_s
    ]
    return tuple(sorted(timers, key=lambda timer: -timer.due_s))


def open_joints(state: State, plan: Plan) -> tuple[Timer, ...]:
    """Open-time timers of glue that is spread and not closed, the most urgent in front."""
    if not state.spread:
        return ()
    timers = [timer_of(state, wait) for wait in index_plan(plan).open_waits]
    return tuple(sorted((t for t in timers if t is not None), key=lambda t: (t.due_s, t.wait.id)))


def put_off_too_long(state: State, plan: Plan, step_id: str, now_s: int) -> Timer | None:
    """The longest wait that was over before the step was begun; None where it is in time."""
    for wait in index_plan(plan).waits_before.get(step_id, ()):
        timer = timer_of(state, wait) if wait.kind is WaitKind.WITHIN else None
        if timer is not None and timer.due_s < now_s:
            return timer
    return None


def joint_in_the_way(state: State, plan: Plan, step_id: str) -> Timer | None:
    """The most urgent open joint, if this step helps to close none."""
    joints = open_joints(state, plan)
    index = index_plan(plan)
    if any(step_id in index.way_to(joint.wait.before) for joint in joints):
        return None
    return joints[0] if joints else None


def is_ready(state: State, plan: Plan, step: Step, now_s: int) -> bool:
    """Whether the step is open, all it needs is done and all its least-waits are over."""
    return (
        step.id not in state.finished
        and not open_needs(state, plan, step)
        and not pending_waits(state, plan, step, now_s)
    )


def ready_steps(state: State, plan: Plan, now_s: int) -> tuple[Step, ...]:
    """The steps that could be taken now, in plan order."""
    return tuple(step for step in plan.steps if is_ready(state, plan, step, now_s))


def step_at_bench(state: State, plan: Plan) -> Step | None:
    """The step that was begun, if it is still in the plan and not finished."""
    if state.at_bench is None or state.at_bench in state.finished:
        return None
    return index_plan(plan).steps.get(state.at_bench)


def following_step(state: State, plan: Plan, now_s: int) -> Step | None:
    """The step to take up next.

    First what closes an open joint, then what follows a finished step at once, then the first
    ready one. What was set aside comes when nothing else is left, now or after a wait.
    """
    index = index_plan(plan)
    for joint in open_joints(state, plan):
        way = index.way_to(joint.wait.before)
        for step in plan.steps:
            if step.id in way and is_ready(state, plan, step, now_s):
                return step
    ready = [s for s in ready_steps(state, plan, now_s) if s.id not in state.aside]
    at_once = [step for step in ready if step.behind in state.finished]
    following = next(iter(at_once or ready), None)
    if following is not None or next_moment(state, plan, now_s) is not None:
        return following
    return next((s for s in ready_steps(state, plan, now_s) if s.id in state.aside), None)


def current_step(state: State, plan: Plan, now_s: int) -> Step | None:
    """The step at the bench, else the one to take up next; None while everything waits."""
    return step_at_bench(state, plan) or following_step(state, plan, now_s)


def next_moment(state: State, plan: Plan, now_s: int) -> int | None:
    """When the earliest step that only time keeps becomes ready (seconds since 1970 UTC)."""
    moments = [
        waits[0].due_s
        for step in plan.steps
        if step.id not in state.finished
        and not open_needs(state, plan, step)
        and (waits := pending_waits(state, plan, step, now_s))
    ]
    return min(moments, default=None)


def is_complete(state: State, plan: Plan) -> bool:
    """Whether every step of the plan is finished."""
    return all(step.id in state.finished for step in plan.steps)
