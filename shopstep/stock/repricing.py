"""Board after board the load that is worth most; what is left over is dearer the next time.

So the boards that are there are tried again and again, each filled as well as can be, where orders
alone buy one more. (Sequential value correction: Mukhacheva and Zalgaller 1993, Belov and
Scheithauer 2007; from memory.) Whole numbers and a seed only, so the same blanks always give the
same plan. Imports ``shopstep.model`` and this room.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random

from shopstep.stock.dearest_loads import Board, Cutting, DearestLoads
from shopstep.stock.items import Item
from shopstep.stock.loads import Load, TooMuch, Work
from shopstep.stock.pieces import Laid, OpenPiece
from shopstep.units import Length

_PARTS = 1_000_000
"""The largest size has this price at first."""
_PATIENCE = 25
"""After so many tries that are no better the prices are drawn anew."""

Side = tuple[int, int]


def fill_boards(
    items: Sequence[Item], openers: Sequence[Callable[[], OpenPiece]], work: int
) -> Laid | None:
    """All items on these boards; None where that is not found with so much work.

    ``openers``: make the boards with nothing on them, in the order in which they are told.
    """
    by_size: dict[Side, list[Item]] = {}
    for item in items:
        by_size.setdefault((item.length.nm, item.width.nm), []).append(item)
    pieces = [opener() for opener in openers]
    if not pieces or any(item.length_first for item in items):
        return None
    search = _Search(tuple(by_size), tuple(map(len, by_size.values())), pieces, work)
    try:
        cuttings = search.run()
    except TooMuch:
        return None
    for piece, cutting in zip(pieces, cuttings, strict=True):
        if not _lay(piece, cutting, by_size, search.sizes):
            return None
    if any(by_size.values()):
        return None
    return Laid(tuple(piece for piece in pieces if piece.regions), ())


class _Search:
    """Prices, and the order of the boards, that change from try to try."""

    def __init__(self, sizes: Sequence[Side], wanted: Load, pieces: list[OpenPiece], work: int):
        self.sizes, self._wanted = sizes, wanted
        self._boards = [board_of(piece) for piece in pieces]
        self._planed = [p.stock.from_rack and p.stock.planed_from.nm > 0 for p in pieces]
        """Planing is work: these are filled last."""
        first = pieces[0]
        kerf = first.stock.kerf.nm
        extra = first.rules.rough_extra.nm
        self._loads = DearestLoads(sizes, kerf, extra, Work(work), proves=False)
        areas = [(long + kerf) * (wide + kerf) for long, wide in sizes]
        self._areas = [max(1, area * _PARTS // max(areas)) for area in areas]
        self._chance = Random(3)

    def run(self) -> list[Cutting]:
        """How each board is cut; TooMuch where that is not found."""
        prices, mark, stale = list(self._areas), 0, 0
        order = sorted(range(len(self._boards)), key=lambda n: (self._planed[n], self._area_of(n)))
        while True:
            cuttings, left = self._fill_all(prices, order)
            if not any(left):
                return cuttings
            goal = sum(area * count for area, count in zip(self._areas, left, strict=True))
            stale = 0 if not mark or goal < mark else stale + 1
            mark = min(mark or goal, goal)
            if stale == _PATIENCE:
                prices = [area * self._chance.randrange(60, 141) // 100 for area in self._areas]
                mark, stale = 0, 0
            else:
                self._raise(prices, left)
            shaken = [self._area_of(n) * self._chance.randrange(62, 161) for n in order]
            places = dict(zip(order, shaken, strict=True))
            order.sort(key=lambda n: (self._planed[n], places[n]))

    def _area_of(self, number: int) -> int:
        board = self._boards[number]
        return board.length * board.width

    def _raise(self, prices: list[int], left: Load) -> None:
        for number, (count, wanted) in enumerate(zip(left, self._wanted, strict=True)):
            if count:
                more = 20 * count // wanted + self._chance.randrange(30)
                prices[number] += prices[number] * more // 100 + 1

    def _fill_all(self, prices: Sequence[int], order: Sequence[int]) -> tuple[list[Cutting], Load]:
        """Of each board how it is cut, and what is left over."""
        cuttings: list[Cutting] = [()] * len(self._boards)
        left = self._wanted
        for number in order:
            if not any(left):
                break
            shaken = [price * self._chance.randrange(95, 106) // 100 for price in prices]
            _, cutting = self._loads.load(self._boards[number], shaken, left)
            cuttings[number] = cutting
            left = _without(left, cutting)
        return cuttings, left


def board_of(piece: OpenPiece) -> Board:
    """A board as its loads are worked out."""
    stock = piece.stock
    return Board(stock.length.nm, stock.width.nm, piece.edge_trim.nm, piece.may_go_whole)


def _without(left: Load, cutting: Cutting) -> Load:
    """What is left once a board is cut so."""
    rest = list(left)
    for _, lanes in cutting:
        for lane in lanes:
            for number, count in lane:
                rest[number] = max(0, rest[number] - count)
    return tuple(rest)


def _lay(
    piece: OpenPiece, cutting: Cutting, left: dict[Side, list[Item]], sizes: Sequence[Side]
) -> bool:
    """Lay on the piece what is still left of it; False where a rule of cutting forbids it."""
    for inner, lanes in cutting:
        own: list[Item] = []
        for lane in lanes:
            for number, count in lane:
                own += [
                    left[sizes[number]].pop() for _ in range(min(count, len(left[sizes[number]])))
                ]
        if own and not piece.open_length(Length(inner) if inner else None, own):
            return False
    return True
