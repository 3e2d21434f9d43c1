"""The stock of a plan in words: what is cut from which piece, what remains, how good that is.

Imports ``model`` and the rests of ``stock``.
"""

from __future__ import annotations

from shopstep.model.material import Form
from shopstep.model.plan import Plan
from shopstep.model.stock import LeastBought
from shopstep.units import Length, format_length


def least_lines(plan: Plan) -> list[str]:
    """For each material how much is bought, and how near that is to the least possible."""
    return [_least_words(least, plan) for least in plan.least_bought]


def _least_words(least: LeastBought, plan: Plan) -> str:
    material = next(m for m in plan.materials if m.id == least.material)

    def amount(number: int) -> str:
        if material.form is Form.ROLL:
            return format_length(Length(number), plan.display)
        return str(number)

    if not least.bought:
        return f"{material.title}: all from the rack, nothing to buy."
    head = f"{material.title}: {amount(least.bought)} to buy, "
    if least.is_proved:
        return f"{head}proved least."
    if not least.least:
        return f"{head}it is not proved that the rack alone would not do."
    return (
        f"{head}at most {least.percent_over} % above the least (no layout within the rules of"
        f" cutting needs less than {amount(least.least)})."
    )
