"""The keeper's rack against a build's materials: which pieces are offered, and which are not.

What a defect parts is offered as clear pieces, each with an end to be squared. Imports stock,
``model`` and the planing of this room.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from shopstep.model.material import Form, Material
from shopstep.model.plan import Finding, Level, Where
from shopstep.model.rack import Stuff
from shopstep.model.stock import RackPiece, StockPiece
from shopstep.planner.planing import Planing, materials_to_plane_for
from shopstep.stock.clear import clear_zones, planed_zones
from shopstep.units import Length, format_length, plain_length
from shopstep.words import say

THICKNESS_OFF: dict[Stuff, Length] = {
    Stuff.WOOD: Length.inches("1/64"),
    Stuff.PLYWOOD: Length.inches("1/64"),
    Stuff.HARDBOARD: Length.inches("1/64"),
    Stuff.FOAM: Length.inches("1/16"),
}
"""So much thicker or thinner than the build's material may a piece be: grooves and shoulders are
cut to 1/64 in (common practice, no source); of cloth and metal the thickness does not count."""
NOTHING_PLANED = Planing()


@dataclass(frozen=True, slots=True)
class Offer:
    """What of the rack may be cut for a build."""

    pieces: tuple[RackPiece, ...]
    """Their ``material`` is the build's; a piece that serves two materials stands there twice."""
    findings: tuple[Finding, ...]
    """One note about what was left out, where something was."""


def offer_rack(
    rack: tuple[RackPiece, ...],
    materials: tuple[Material, ...],
    display: str,
    planing: Planing = NOTHING_PLANED,
) -> Offer:
    """The pieces that a build can be cut from, by its own materials.

    What is as thick as one of them is not planed for another.
    """
    offered: list[RackPiece] = []
    left_out: dict[str, list[str]] = {}
    for piece in rack:
        if not piece.thickness:
            offered.append(piece)
            continue
        alike = [material for material in materials if _is_made_of(material, piece)]
        fitting = [material for material in alike if _is_as_thick(material, piece)]
        reason = piece.barred if alike else ""
        if alike and not reason and not fitting:
            planed_for, why_not = materials_to_plane_for(piece, alike, planing, display)
            if planed_for and planing.planer is not None:
                snipe = planing.planer.snipe
                thick = list(_clear_planed(piece, snipe, display))
                offered += [replace(c, material=m.id) for m in planed_for for c in thick]
                continue
            reason = say(", and ").join(
                r for r in (_thickness_words(piece, alike, display), why_not) if r
            )
        if reason:
            left_out.setdefault(reason, []).append(piece.id)
        else:
            offered += [replace(c, material=m.id) for m in fitting for c in _clear(piece, display)]
    return Offer(tuple(offered), _left_out_finding(left_out))


def _is_made_of(material: Material, piece: RackPiece) -> bool:
    is_hardboard = Stuff.HARDBOARD in material.title.lower()
    stuff = {
        (Form.BOARD, ""): Stuff.WOOD,
        (Form.SHEET, ""): Stuff.HARDBOARD if is_hardboard else Stuff.PLYWOOD,
        (Form.ROLL, ""): Stuff.CLOTH,
    }.get((material.form, material.stuff), material.stuff)
    return stuff == piece.material


def _is_as_thick(material: Material, piece: RackPiece) -> bool:
    allowed = THICKNESS_OFF.get(Stuff(piece.material))
    return allowed is None or abs(material.thickness - piece.thickness) <= allowed


def _thickness_words(piece: RackPiece, alike: list[Material], display: str) -> str:
    wanted = sorted({material.thickness for material in alike})
    said = say(" or ").join(format_length(thickness, display) for thickness in wanted)
    return say(
        "{thickness} thick, not {said}",
        thickness=format_length(piece.thickness, display),
        said=said,
    )


def _clear(piece: RackPiece, display: str) -> Iterator[RackPiece]:
    """The piece itself, or the clear lengths between its defects."""
    if not piece.defects:
        yield replace(piece, rack_id=piece.id)
        return
    for start, end in clear_zones(piece.length, piece.defects):
        yield replace(
            piece,
            id=f"{piece.id} from {plain_length(start, display)}",
            length=end - start,
            defects=(),
            squared=False,
            rack_id=piece.id,
            starts_at=start,
        )


def _clear_planed(piece: RackPiece, snipe: Length, display: str) -> Iterator[RackPiece]:
    """What is left of the piece once it is planed, its ends off; their ends are still to be squared
    and no edge is straight."""
    for start, end in planed_zones(piece.length, piece.defects, snipe):
        place = say(" from {start}", start=format_length(start, display)) if piece.defects else ""
        yield replace(
            piece,
            id=f"{piece.id}{place}",
            length=end - start,
            defects=(),
            squared=False,
            rack_id=piece.id,
            starts_at=start,
            planed=True,
            snipe=snipe,
        )


def _left_out_finding(left_out: dict[str, list[str]]) -> tuple[Finding, ...]:
    """``left_out``: ids of pieces by the reason."""
    if not left_out:
        return ()
    said = "; ".join(f"{', '.join(ids)} ({reason})" for reason, ids in left_out.items())
    return (
        Finding(
            Level.NOTE,
            "rack_left_out",
            say("not offered from the rack: {said}", said=said),
            Where(name="rack"),
            say("see shopstep rack list"),
        ),
    )


def named_on_rack(
    pieces: tuple[StockPiece, ...], offered: tuple[RackPiece, ...]
) -> tuple[StockPiece, ...]:
    """The stock pieces with the ids that they have on the rack."""
    known = {piece.id: piece for piece in offered}
    return tuple(
        replace(piece, rack_id=known[piece.id].rack_id, starts_at=known[piece.id].starts_at)
        if piece.from_rack and piece.id in known
        else piece
        for piece in pieces
    )
