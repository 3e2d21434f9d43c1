"""The stock plan: a way of laying out for each form of material, rack pieces first.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace

from shopstep.model.material import Form, Material
from shopstep.model.operation import Blank
from shopstep.model.plan import Finding, Level, Where
from shopstep.model.stock import BuyLine, Cut, LeastBought, RackPiece, StockPiece
from shopstep.stock.buying import buy_line, lengths_sold, roll_to_buy
from shopstep.stock.cloth import ClothLayout, lay_cloth
from shopstep.stock.items import Item, take_apart
from shopstep.stock.least import least_off_roll
from shopstep.stock.pieces import Rules
from shopstep.stock.planed import as_bought, between_ends, search_sparing, tell_unplaned
from shopstep.stock.shelves import fill_piece, pack_roll
from shopstep.stock.sold import measure_of, sold_kinds, unit_of
from shopstep.stock.spares import lay_spares, tell_missing
from shopstep.stock.standing import Standing, rests_of, stand_boards
from shopstep.stock.standing_sheets import stand_sheets
from shopstep.units import SIXTY_FOURTH, ZERO, Length, format_length
from shopstep.words import say


@dataclass(frozen=True, slots=True)
class Layout:
    """How one material is laid out."""

    pieces: list[StockPiece]
    misfits: list[Item]
    """What fits nowhere."""
    least: int
    """No layout within the rules of cutting spends less, in the unit of the material's measure."""


_HALF = Length.inches("1/2")
_RULES = {
    Form.BOARD: Rules(is_board=True, rough_extra=_HALF, edge_trim=Length.inches("1/8")),
    Form.SHEET: Rules(is_board=False, section_extra=_HALF),
}
"""Half an inch squares both ends of a rough length or a section, 1/8 in takes a rounded or crooked
edge off (common practice, no source)."""


_UNRULED = Rules(is_board=False)
"""Of cloth: it is snipped as it lies."""


@dataclass(frozen=True, slots=True)
class StockPlan:
    """What everything is cut from, what has to be bought, and what cannot be had."""

    pieces: tuple[StockPiece, ...]
    """Only pieces that something is cut from."""
    buy: tuple[BuyLine, ...]
    findings: tuple[Finding, ...]
    least: tuple[LeastBought, ...] = ()
    """How good the layout is, of what was laid out afresh."""


def plan_stock(
    blanks: tuple[Blank, ...],
    materials: tuple[Material, ...],
    rack: tuple[RackPiece, ...],
    kerf: Length,
    display: str = "in",
    again: tuple[Blank, ...] = (),
    standing: tuple[StockPiece, ...] = (),
    ripped: frozenset[str] = frozenset(),
    spares: tuple[Blank, ...] = (),
    whole: frozenset[str] = frozenset(),
) -> StockPlan:
    """Lay all blanks out: rack pieces first (the nearest in thickness, of those the shortest that
    serves), then as little spent as can be. A rack piece that has to be planed comes after all that
    need not, the least to be planed off first, and only where less has to be bought with it.

    ``again``: more blanks, of pieces that are made a second time. ``standing``: boards and sheets
    that are cut up already; what lies on them stays there as far as it fits. ``ripped``: materials
    of which they are not only crosscut. ``spares``: blanks that are laid where something is left
    over of boards and sheets that are cut anyway. ``whole``: materials of which the standing boards
    are not cut yet, so that more come to their rough cut. A blank larger than the stock as sold
    (and than any rack piece) gives a STOP finding.
    """
    pieces: list[StockPiece] = []
    buy: list[BuyLine] = []
    findings = list(_unlisted((*blanks, *again), materials))
    least: list[LeastBought] = []
    for material in materials:
        stood = _stand(material, (*blanks, *again), standing, material.id in ripped)
        there = {piece.id for piece in (*pieces, *stood.pieces)}
        own = sorted(
            (
                piece
                for piece in (*rack, *rests_of(stood.pieces))
                if piece.material == material.id and piece.id not in there
            ),
            key=lambda piece: (
                piece.planed, _off(piece, material), piece.length, piece.width, piece.id
            ),
        )  # fmt: skip
        if stood.pieces:
            own = [piece for piece in own if not piece.planed]
        extra = () if stood.pieces else spares
        more = take_apart(tuple(s for s in extra if s.material == material.id), spare=True)
        wood = between_ends(material)
        rules = _rules_of(material, is_begun=bool(stood.pieces))
        layout = _BY_FORM[material.form](stood.left, wood, own, kerf, display, rules, more)
        findings += tell_unplaned(own, layout.pieces, material, display)
        if stood.left and not stood.pieces and not layout.misfits:
            least.append(_least_of(wood, layout))
        laid = [*stood.pieces, *_beside(layout.pieces, stood, again, material.id in whole)]
        pieces += laid
        buy += buy_line(material, [as_bought(piece) for piece in laid], display)
        findings += _misfit_findings(layout.misfits, material, display)
    laid_spare = Counter(cut.part for piece in pieces for cut in piece.cuts if cut.spare)
    lanes = {material.id for material in materials if material.form in _RULES}
    findings += tell_missing((s for s in spares if s.material in lanes), laid_spare)
    return StockPlan(tuple(pieces), tuple(buy), tuple(findings), tuple(least))


def _off(piece: RackPiece, material: Material) -> int:
    """By how many half 64ths of an inch a piece was measured thicker or thinner than the material;
    of cloth it does not count."""
    if not piece.thickness or material.form is Form.ROLL:
        return 0
    off = abs(piece.thickness - material.thickness)
    return (2 * off.nm + SIXTY_FOURTH.nm // 2) // SIXTY_FOURTH.nm


def _least_of(material: Material, layout: Layout) -> LeastBought:
    """What the layout buys of a material against what any layout buys."""
    bought = Counter(piece.length for piece in layout.pieces if not piece.from_rack)
    measure = measure_of(material)
    if material.form is Form.ROLL:
        amount = sum(length.nm * count for length, count in bought.items())
    else:
        worths = {kind.length: kind.worth * unit_of(material) for kind in sold_kinds(material)}
        amount = sum(worths[length] * count for length, count in bought.items())
    return LeastBought(material.id, amount, layout.least, measure)


def _rules_of(material: Material, *, is_begun: bool) -> Rules:
    """How it is cut: no sheet is sawn into sections that knife or snips cut, or once others of its
    material are cut up, as there is a card for that before the first cut only."""
    rules = _RULES.get(material.form, _UNRULED)
    return replace(rules, section_extra=None) if material.stuff or is_begun else rules


def _stand(
    material: Material,
    blanks: tuple[Blank, ...],
    standing: tuple[StockPiece, ...],
    is_ripped: bool,
) -> Standing:
    items = take_apart(tuple(blank for blank in blanks if blank.material == material.id))
    own = tuple(piece for piece in standing if piece.material == material.id)
    if not own or material.form not in _RULES:
        return Standing((), items)
    if material.form is Form.SHEET:
        return stand_sheets(own, items, _RULES[material.form])
    return stand_boards(own, items, _RULES[material.form], is_ripped=is_ripped)


def _beside(
    laid: list[StockPiece], stood: Standing, again: tuple[Blank, ...], is_whole: bool
) -> list[StockPiece]:
    """New pieces beside those that stand: numbered on, and marked where the batch needs them after
    the others were cut up."""
    if not stood.pieces:
        return laid
    of_batch = Counter((item.part, item.hand) for item in stood.left)
    of_batch.subtract({(blank.part, blank.hand): blank.count for blank in again})
    bought = sum(not piece.from_rack for piece in stood.pieces)
    return [
        replace(
            piece,
            id=piece.id if piece.from_rack else _number_on(piece.id, bought),
            late=bool(piece.planed_from),
            is_added=not is_whole and any(of_batch[cut.part, cut.hand] > 0 for cut in piece.cuts),
        )
        for piece in laid
    ]


def _number_on(name: str, by: int) -> str:
    """ "buy-board-3" for the first new board where two stand."""
    kind, _, number = name.rpartition("-")
    return f"{kind}-{int(number) + by}"


def _unlisted(blanks: tuple[Blank, ...], materials: tuple[Material, ...]) -> list[Finding]:
    known = [material.id for material in materials]
    return [
        Finding(
            Level.STOP,
            "no_such_material",
            say(
                "{part} is to be cut from {material}, which the build does not list",
                part=blank.part,
                material=blank.material,
            ),
            Where(name=blank.part),
            say("name one of: {known}", known=", ".join(known)),
        )
        for blank in blanks
        if blank.material not in known
    ]


def _lay_lanes(
    items: list[Item],
    material: Material,
    rack: list[RackPiece],
    kerf: Length,
    _display: str,
    rules: Rules,
    spares: list[Item],
) -> Layout:
    """Boards and sheets: length along the grain, kerfs between, as few bought as found."""
    found = search_sparing(items, material, rack, kerf, rules)
    for piece in found.laid.pieces:
        piece.stop_sawing()
    lay_spares(found.laid.pieces, spares)
    pieces = [piece.close() for piece in found.laid.pieces]
    return Layout(pieces, list(found.laid.misfits), found.least * unit_of(material))


def _lay_roll(
    items: list[Item],
    material: Material,
    rack: list[RackPiece],
    _kerf: Length,
    display: str,
    _rules: Rules,
    _spares: list[Item],
) -> Layout:
    """Cloth: fill what is on the rack, then one length off the roll. Snips leave no kerf.

    Where that is not proved least, all ways of cutting it straight are looked at.
    """
    laid: list[StockPiece] = []
    left = items
    for piece in rack:
        cuts, left = fill_piece(left, piece.length, piece.width)
        if cuts:
            laid.append(_cloth_piece(piece.id, material, piece.length, piece.width, cuts))
    wide = material.sold_width
    misfits = [item for item in left if min(item.length, item.width) > wide]
    left = [item for item in left if item not in misfits]
    bought = ZERO
    if left:
        cuts, used = pack_roll(left, wide)
        bought = roll_to_buy(used, material, display)
        laid.append(_cloth_piece("", material, bought, wide, cuts))
    used = least_off_roll(items, wide, rack)
    least = roll_to_buy(used, material, display) if used else ZERO
    if misfits or bought <= least:
        return Layout(laid, misfits, least.nm)
    proved = lay_cloth(items, wide, rack, lengths_sold(least, bought, material, display))
    if proved is None:
        return Layout(laid, [], least.nm)
    if proved.length < bought:
        laid = _cloth_pieces(proved, material)
    return Layout(laid, [], proved.length.nm)


def _cloth_pieces(proved: ClothLayout, material: Material) -> list[StockPiece]:
    laid = [_cloth_piece(p.id, material, p.length, p.width, cuts) for p, cuts in proved.rack]
    if proved.roll:
        laid.append(_cloth_piece("", material, proved.length, material.sold_width, proved.roll))
    return laid


def _cloth_piece(
    rack_id: str, material: Material, length: Length, width: Length, cuts: tuple[Cut, ...]
) -> StockPiece:
    """``rack_id``: empty where it comes off the roll."""
    name = rack_id or f"buy-{material.id}-1"
    return StockPiece(name, material.id, bool(rack_id), length, width, cuts, ZERO)


_LayOut = Callable[[list[Item], Material, list[RackPiece], Length, str, Rules, list[Item]], Layout]
_BY_FORM: dict[Form, _LayOut] = {
    Form.BOARD: _lay_lanes,
    Form.SHEET: _lay_lanes,
    Form.ROLL: _lay_roll,
}


def _misfit_findings(misfits: list[Item], material: Material, display: str) -> list[Finding]:
    """One finding for each part that is larger than what is sold."""

    def size(length: Length, width: Length) -> str:
        return f"{format_length(length, display)} × {format_length(width, display)}"

    return [
        Finding(
            Level.STOP,
            "larger_than_stock",
            say(
                "{part} needs {length}, but {material_title} is sold as "
                "{sold_as} ({sold_length})"
                "{less_ends}",
                part=item.part,
                length=size(item.length, item.width),
                material_title=material.title,
                sold_as=material.sold_as,
                sold_length=size(material.sold_length, material.sold_width),
                less_ends=_less_ends(material, display),
            ),
            Where(name=item.part),
            say(
                "choose stock that is sold longer or wider, put a large enough piece on the rack, "
                "or make the part smaller"
            ),
        )
        for item in dict.fromkeys(misfits)
    ]


def _less_ends(material: Material, display: str) -> str:
    extra = _RULES[material.form].rough_extra if material.form in _RULES else ZERO
    return (
        say(", less {extra} for square ends", extra=format_length(extra, display)) if extra else ""
    )
