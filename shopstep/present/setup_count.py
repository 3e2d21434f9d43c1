"""How many machine setups a batch takes, beside cutting it unit by unit. Imports ``model`` only."""

from __future__ import annotations

from shopstep.model.naming import BUILD_MARK
from shopstep.model.operation import Setup
from shopstep.model.part import Hand
from shopstep.model.plan import Plan
from shopstep.words import say, say_count


def setups_unit_by_unit(plan: Plan) -> int:
    """Setups where each unit is milled by itself: every setup once for each unit that needs it."""
    counts = {(part.name, part.hand): part.count_unit for part in plan.parts}
    return sum(_units_of(setup, plan, counts) for setup in plan.setups)


def _units_of(setup: Setup, plan: Plan, counts: dict[tuple[str, Hand | None], int]) -> int:
    """Units that a setup works for; of several builds each has its own."""
    by_build: dict[str, int] = {}
    for operation in plan.operations:
        each = counts.get((operation.part, operation.hand), 0)
        if operation.id in setup.operations and each:
            build = operation.part.partition(BUILD_MARK)[2]
            by_build[build] = max(by_build.get(build, 1), -(-operation.count // each))
    return sum(by_build.values()) or 1


def setup_count_words(plan: Plan) -> str:
    """ "23 setups for the whole batch, proved fewest; cutting unit by unit would take 138."."""
    count, apart = len(plan.setups), setups_unit_by_unit(plan)
    said = say_count("{n} setup", "{n} setups", count)
    if apart == count:
        return f"{said}{_fewest_words(plan)}."
    return say(
        "{said} for the whole batch{fewest}; cutting unit by unit would take {apart}.",
        said=said,
        fewest=_fewest_words(plan),
        apart=apart,
    )


def _fewest_words(plan: Plan) -> str:
    """How near to the fewest that any order can do with; nothing where a plan does not say."""
    if not plan.least_setups:
        return ""
    over = len(plan.setups) - plan.least_setups
    return (
        say(", at most {over} more than the fewest", over=over)
        if over > 0
        else say(", proved fewest")
    )
