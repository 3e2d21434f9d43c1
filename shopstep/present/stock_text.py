"""The stock of a plan in words: what is cut from which piece, what remains, how good that is.

Imports ``model`` and the rests of ``stock``.
"""

from __future__ import annotations

from functools import reduce

from shopstep.model.material import Form
from shopstep.model.plan import Plan
from shopstep.model.price import Price
from shopstep.model.stock import LeastBought, Measure
from shopstep.stock.buying import sold_length_words
from shopstep.units import Length, format_length
from shopstep.words import say


def least_lines(plan: Plan) -> list[str]:
    """For each material how much is bought, and how near that is to the least possible."""
    return [_least_words(least, plan) for least in plan.least_bought]


def total_lines(plan: Plan) -> list[str]:
    """What all that has a price costs together; nothing where that is one line or none."""
    costs = [line.cost for line in plan.buy if line.cost is not None]
    if len(costs) < 2:
        return []
    return [say("together, of what has a price: {words}", words=reduce(Price.plus, costs).words)]


def spent_price(least: LeastBought, hundredths: int, plan: Plan) -> Price:
    """Hundredths in the currency of the material's prices."""
    material = next(m for m in plan.materials if m.id == least.material)
    known = next(price for price in material.prices if price is not None)
    return Price(hundredths, known.before, known.after)


def _least_words(least: LeastBought, plan: Plan) -> str:
    material = next(m for m in plan.materials if m.id == least.material)

    def amount(number: int) -> str:
        if least.measure is Measure.MONEY:
            return spent_price(least, number, plan).words
        if least.measure is Measure.LENGTH:
            return sold_length_words(Length(number), plan.display)
        if material.form is Form.ROLL:
            return format_length(Length(number), plan.display)
        return str(number)

    if not least.bought:
        return say(
            "{material_title}: all from the rack, nothing to buy.", material_title=material.title
        )
    to_do = say("to spend") if least.measure is Measure.MONEY else say("to buy")
    head = f"{material.title}: {amount(least.bought)} {to_do}, "
    if least.is_proved:
        return say("{head}proved least.", head=head)
    if not least.least:
        return say("{head}it is not proved that the rack alone would not do.", head=head)
    return say(
        "{head}at most {percent_over} % above the least (no layout within the rules of"
        " cutting needs less than {amount}).",
        head=head,
        percent_over=least.percent_over,
        amount=amount(least.least),
    )
