"""What a batch took: money where prices are known, hours, and what became of the wood.

Imports ``model``, ``stock`` for what remains of a piece, ``session`` and the words of this room.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopstep.model.plan import Plan
from shopstep.model.stock import BuyLine, StockPiece
from shopstep.present.moments import span_left
from shopstep.present.record import Record
from shopstep.stock.rests import rests_of_piece
from shopstep.words import as_here, say

AT_HAND = "at hand"


@dataclass(frozen=True, slots=True)
class Prices:
    """What things on the buy list cost."""

    rows: tuple[tuple[str, int, str], ...] = ()
    """Words of a line, what one of it costs in hundredths, the currency's sign."""

    @property
    def currency(self) -> str:
        """The sign that stands with prices; may be empty."""
        return self.rows[0][2] if self.rows else ""

    def of(self, line: BuyLine) -> int | None:
        """The price of one; the most words that fit count. None where nobody said it."""
        fitting = [row for row in self.rows if row[0].casefold() in line.text.casefold()]
        return max(fitting, key=lambda row: len(row[0]))[1] if fitting else None

    def show(self, cents: int) -> str:
        """``41.60 €``."""
        return f"{as_here(f'{cents // 100}.{cents % 100:02d}')} {self.currency}".strip()


@dataclass(frozen=True, slots=True)
class Yield:
    """What became of one material, by area (square nanometres)."""

    title: str
    bought: int
    from_rack: int
    in_parts: int
    kept: int
    """In pieces that are worth keeping for the rack."""

    @property
    def waste(self) -> int:
        """In saw cuts and in scraps too small to keep."""
        return self.bought + self.from_rack - self.in_parts - self.kept


@dataclass(frozen=True, slots=True)
class Account:
    """What a batch took."""

    units: int
    cents: int | None
    """Of all that was to be bought and has a price; None where nothing has one."""
    unpriced: tuple[str, ...]
    """What was to be bought and has no price."""
    bench_s: int
    """Seconds at the bench, of steps whose time is known."""
    untimed: int
    """Finished steps whose time nobody knows."""
    waited_s: int
    """Seconds in which glue or paint of the batch took its time, each second once."""
    yields: tuple[Yield, ...]


def account_of(record: Record, plan: Plan, prices: Prices, now_s: int) -> Account:
    """What the batch took until ``now_s``, under its newest plan."""
    buying = [line for line in plan.buy if line.unit != AT_HAND]
    priced = [(line, _cost(line, prices)) for line in buying]
    known = [cost for _, cost in priced if cost is not None]
    return Account(
        units=plan.units,
        cents=sum(known) if known else None,
        unpriced=tuple(line.item for line, cost in priced if cost is None),
        bench_s=record.total.spent_s,
        untimed=record.total.unknown,
        waited_s=_waited(record, plan, now_s),
        yields=tuple(_yields(plan)),
    )


def _cost(line: BuyLine, prices: Prices) -> int | None:
    """Hundredths of a whole line: as the plan has it, else by the words of the line."""
    if line.cost is not None:
        return line.cost.hundredths
    price = prices.of(line)
    return None if price is None else line.quantity * price


def _waited(record: Record, plan: Plan, now_s: int) -> int:
    done = {step.step: step.finished_s for step in record.steps}
    spans = []
    for wait in plan.waits:
        if wait.is_least and wait.after in done:
            begin_s = done[wait.after]
            spans.append((begin_s, min(begin_s + wait.seconds, done.get(wait.before, now_s))))
    total, until = 0, 0
    for begin_s, end_s in sorted(spans):
        total += max(0, end_s - max(begin_s, until))
        until = max(until, end_s)
    return total


def _yields(plan: Plan) -> Iterable[Yield]:
    for material in plan.materials:
        pieces = [piece for piece in plan.stock if piece.material == material.id]
        if not pieces:
            continue
        rests = [rest for piece in pieces for rest in rests_of_piece(piece, material.form)]
        yield Yield(
            title=material.title,
            bought=_area(piece for piece in pieces if not piece.from_rack),
            from_rack=_area(piece for piece in pieces if piece.from_rack),
            in_parts=sum(cut.length.nm * cut.width.nm for piece in pieces for cut in piece.cuts),
            kept=sum(rest.length.nm * rest.width.nm for rest in rests),
        )


def _area(pieces: Iterable[StockPiece]) -> int:
    """With what goes off the ends of each board that is planed; that is waste."""
    own = list(pieces)
    ends = {p.rack_id or p.id: p.snipe.times(2).nm * p.width.nm for p in own if p.planed_from}
    return sum(piece.length.nm * piece.width.nm for piece in own) + sum(ends.values())


def account_lines(account: Account, prices: Prices) -> list[str]:
    """The account in sentences, for a person; the same on screen and on paper."""
    return [*_money(account, prices), _hours(account), *map(_yield_words, account.yields)]


def _money(account: Account, prices: Prices) -> list[str]:
    if account.cents is None:
        return []
    each = prices.show(round(account.cents / account.units))
    per = say(", {each} for each unit", each=each) if account.units > 1 else ""
    missing = (
        say("; without a price: {some}", some=_some(account.unpriced)) if account.unpriced else ""
    )
    return [
        say(
            "Money: {cents} for what was to be bought{per}{missing}.",
            cents=prices.show(account.cents),
            per=per,
            missing=missing,
        )
    ]


def _some(names: Sequence[str]) -> str:
    """The first few of several names."""
    rest = len(names) - 3
    return ", ".join(names[:3]) + (say(" and {rest} more", rest=rest) if rest > 0 else "")


def _hours(account: Account) -> str:
    each = span_left(account.bench_s // account.units)
    per = say(", {each} for each unit", each=each) if account.units > 1 else ""
    untimed = (
        say(" ({untimed} steps were not timed)", untimed=account.untimed) if account.untimed else ""
    )
    waited = (
        say("; glue and paint took {span_left}", span_left=span_left(account.waited_s))
        if account.waited_s
        else ""
    )
    if not account.bench_s:
        return say("Time: no step was timed{waited}.", waited=waited)
    return say(
        "Time: {span_left} at the bench{untimed}{per}{waited}.",
        span_left=span_left(account.bench_s),
        untimed=untimed,
        per=per,
        waited=waited,
    )


def _yield_words(each: Yield) -> str:
    whole = each.bought + each.from_rack
    rack = round(100 * each.from_rack / whole)
    parts, kept = round(100 * each.in_parts / whole), round(100 * each.kept / whole)
    source = say("all bought") if not rack else say("{rack} % from the rack", rack=rack)
    waste = max(0, 100 - parts - kept)
    return say(
        "{each_title}: {source}; {parts} % went into parts, {kept} % is kept, {waste} % is waste "
        "and saw cuts.",
        each_title=each.title,
        source=source,
        parts=parts,
        kept=kept,
        waste=waste,
    )


def account_document(account: Account, prices: Prices) -> dict[str, object]:
    """The account as JSON values; areas in square millimetres, money in hundredths."""
    return {
        "units": account.units,
        "money": account.cents,
        "currency": prices.currency or None,
        "unpriced": list(account.unpriced),
        "bench_s": account.bench_s,
        "untimed": account.untimed,
        "waited_s": account.waited_s,
        "yields": [
            {
                "material": each.title,
                "bought_mm2": each.bought // 10**12,
                "from_rack_mm2": each.from_rack // 10**12,
                "in_parts_mm2": each.in_parts // 10**12,
                "kept_mm2": each.kept // 10**12,
                "waste_mm2": each.waste // 10**12,
            }
            for each in account.yields
        ],
    }
