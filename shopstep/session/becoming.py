"""What was read at the bench and becomes a part of the plan: numbers at steps, labels of glues.

Imports the plan from ``model``, and state and flow of this room.
"""

from __future__ import annotations

from shopstep.model.bench import BenchReading
from shopstep.model.plan import Plan
from shopstep.session.flow import index_plan
from shopstep.session.state import State
from shopstep.units import Length


def bench_readings(state: State, plan: Plan) -> tuple[BenchReading, ...]:
    """The latest reading for each size and unit, in the order of reading.

    Only of steps that are done: until then a number can be read again. A number that came out as
    planned changes nothing and is left out, unless an earlier reading of that size did differ.
    """
    index = index_plan(plan)
    found: dict[tuple[str, int | None], BenchReading] = {}
    for (step_id, name), reading in sorted(
        state.readings.items(), key=lambda item: (item[1].at_s, item[0])
    ):
        step = index.steps.get(step_id)
        if step is None or step_id not in state.finished:
            continue
        check = next((c for c in index.kind_of(step).checks if c.name == name), None)
        if check is None or not check.becomes or check.value is None:
            continue
        key = (check.becomes, step.unit)
        if reading.nm != check.value.nm or key in found:
            found[key] = BenchReading(check.becomes, Length(reading.nm), step.unit, step_id)
    return tuple(found.values())


def told_of(glue: str, seconds: int) -> tuple[str, str]:
    """As the planner takes it: ``wood_glue.open`` → ``480 s``."""
    return f"{glue}.open", f"{seconds} s"


def label_facts(state: State) -> tuple[tuple[str, str], ...]:
    """What the plan has to follow."""
    return tuple(told_of(glue, s) for glue, s in sorted(state.labels.items()) if s)
