"""The prices that a batch is reckoned with: as its shop had them at the start, else as now."""

from __future__ import annotations

from contextlib import suppress

from shopstep.model.plan import BuildFileError, PlanRequest, Shop
from shopstep.present.account import Prices, account_lines, account_of
from shopstep.present.record import record
from shopstep.storage.folders import settings_file
from shopstep.storage.settings import FileProfiles
from shopstep.wiring.benches import OpenSession


def prices_of(opened: OpenSession) -> Prices:
    """The prices of an open session."""
    return prices_for(opened.journal.request())


def prices_for(request: PlanRequest) -> Prices:
    """The prices for what a plan was made from; none where nobody gave any."""
    shop = request.shop
    if not shop.prices:
        shop = _shop_now(shop)
    return Prices(shop.prices)


def took_lines(opened: OpenSession) -> list[str]:
    """What a complete batch took, in sentences; none while it goes on."""
    bench = opened.bench
    if bench.state.completed_s is None:
        return []
    prices = prices_of(opened)
    kept = record(bench.changes_since(0), bench.plan)
    return account_lines(account_of(kept, bench.plan, prices, bench.now_s()), prices)


def _shop_now(shop: Shop) -> Shop:
    """The shop as the settings have it now; as it was where they do not know it any more."""
    with suppress(BuildFileError, OSError):
        return FileProfiles(settings_file(), shop.calendar.zone).profile(shop.name).shop
    return shop
