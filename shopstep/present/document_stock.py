"""Stock in the plan's document: cuts, what remains, how good the layout is.

Imports ``model``, the rests of ``stock``, and values of this room.
"""

from __future__ import annotations

from shopstep.model.material import Form
from shopstep.model.plan import Plan
from shopstep.model.price import PER, Price
from shopstep.model.stock import BuyLine, LeastBought, Measure, Rest, StockPiece
from shopstep.present.document_values import length_entry
from shopstep.present.stock_text import spent_price
from shopstep.stock.rests import rests_of_piece
from shopstep.units import Length


def stock_entry(piece: StockPiece, plan: Plan) -> dict[str, object]:
    """A piece of stock with its cuts and what remains of it."""
    return {
        "id": piece.id,
        "material": piece.material,
        "from_rack": piece.from_rack,
        "length": length_entry(piece.length, plan.display),
        "width": length_entry(piece.width, plan.display),
        "kerf": length_entry(piece.kerf, plan.display),
        "planed": _planed_entry(piece, plan),
        "cuts": [
            {
                "part": cut.part,
                "hand": cut.hand.value if cut.hand else None,
                "at_length": length_entry(cut.at_length, plan.display),
                "at_width": length_entry(cut.at_width, plan.display),
                "length": length_entry(cut.length, plan.display),
                "width": length_entry(cut.width, plan.display),
                "spare": cut.spare,
            }
            for cut in piece.cuts
        ],
        "rests": [_rest_entry(rest, plan.display) for rest in rests_in(piece, plan)],
    }


def _planed_entry(piece: StockPiece, plan: Plan) -> dict[str, object] | None:
    if not piece.planed_from:
        return None
    thickness = next(m.thickness for m in plan.materials if m.id == piece.material)
    return {
        "from": length_entry(piece.planed_from, plan.display),
        "to": length_entry(thickness, plan.display),
        "snipe": length_entry(piece.snipe, plan.display),
    }


def rests_in(piece: StockPiece, plan: Plan) -> tuple[Rest, ...]:
    """What remains of a piece of a plan's stock; nothing where its material is not listed."""
    form = next((m.form for m in plan.materials if m.id == piece.material), None)
    return rests_of_piece(piece, form) if form is not None else ()


def _rest_entry(rest: Rest, display: str) -> dict[str, object]:
    return {
        "at_length": length_entry(rest.at_length, display),
        "at_width": length_entry(rest.at_width, display),
        "length": length_entry(rest.length, display),
        "width": length_entry(rest.width, display),
    }


def price_entry(price: Price) -> dict[str, object]:
    """A price in exact decimals."""
    per = next((name for name, length in PER.items() if length == price.per), None)
    return {"amount": price.amount, "currency": price.currency, "per": per}


def buy_entry(line: BuyLine) -> dict[str, object]:
    """A line of the shopping list; what it costs only where that is known."""
    costs = {"each": line.each, "cost": line.cost}
    return {
        "item": line.item,
        "quantity": line.quantity,
        "unit": line.unit,
        "text": line.text,
        **{name: price_entry(price) for name, price in costs.items() if price is not None},
    }


def least_entry(least: LeastBought, plan: Plan) -> dict[str, object]:
    """What is bought of a material, and what any layout buys at least."""
    material = next(m for m in plan.materials if m.id == least.material)

    def amount(number: int) -> object:
        if least.measure is Measure.MONEY:
            return price_entry(spent_price(least, number, plan))
        is_length = material.form is Form.ROLL or least.measure is Measure.LENGTH
        return length_entry(Length(number), plan.display) if is_length else number

    return {
        "material": least.material,
        "title": material.title,
        "measure": least.measure.value,
        "bought": amount(least.bought),
        "least": amount(least.least),
        "proved": least.is_proved,
        "percent_over": least.percent_over,
    }
