"""Why a step is not earlier: the first reason of the chain."""

from __future__ import annotations

from shopstep.model.plan import Plan, Shop
from shopstep.model.reason import Reason
from shopstep.sequence.explaining import explain_chain


def reason_of(plan: Plan, shop: Shop, step: str) -> Reason:
    """What binds the start of this step itself."""
    return explain_chain(plan, shop, step, most=1)[0]
