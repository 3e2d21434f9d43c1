"""The stock of a plan in words: what is cut from which piece, what remains, how good that is.

Imports ``model``, the boards of ``milling`` and what is sold of ``stock``.
"""

from __future__ import annotations

from functools import reduce

from shopstep.milling.planing import boards_of
from shopstep.milling.rough import name_boards
from shopstep.model.material import Form
from shopstep.model.operation import PLANE, Setup
from shopstep.model.plan import Plan
from shopstep.model.price import Price
from shopstep.model.stock import LeastBought, Measure, StockPiece
from shopstep.stock.buying import sold_length_words
from shopstep.units import Length, format_length
from shopstep.words import say


def plane_words(piece: StockPiece, plan: Plan) -> str:
    """ "plane to 3/4 in first (it is 1 in thick), then 3 in off each end"; empty: it is not."""
    if not piece.planed_from:
        return ""
    material = next(m for m in plan.materials if m.id == piece.material)
    thick, thin = (format_length(n, plan.display) for n in (piece.planed_from, material.thickness))
    said = say("plane to {thin} first (it is {thick} thick)", thin=thin, thick=thick)
    if not piece.snipe:
        return said
    return say(
        "{said}, then {snipe} off each end",
        said=said,
        snipe=format_length(piece.snipe, plan.display),
    )


def planed_boards(setup: Setup, plan: Plan) -> list[str]:
    """The boards of a setup at the planer, each with its thickness: "R3 (1 in)"; else nothing."""
    if setup.kind != PLANE:
        return []
    letters = name_boards(plan.stock)
    return [
        f"{board.rack_id or letters.get(board.id, board.id)} "
        f"({format_length(board.planed_from, plan.display)})"
        for board in boards_of(setup, plan.operations, plan.stock)
    ]


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
