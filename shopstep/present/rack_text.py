"""Pieces of the rack in words. Imports ``model``."""

from __future__ import annotations

from collections.abc import Iterable

from shopstep.model.rack import KeptPiece, barred_words
from shopstep.present.columns import INDENT, align_rows, fold_item
from shopstep.units import format_length
from shopstep.words import say, to_say

ASKED = to_say(
    {
        "metal": "Is there metal in it: nails, screws, staples?",
        "old_paint": "Is there old paint on it?",
        "preservative": "Is it treated against rot, or might it be (green or brown, an old fence)?",
        "damp": "Is it damp?",
    }
)
"""What is asked once of a reclaimed piece, by the name of the answer."""


def size_words(piece: KeptPiece, display: str) -> str:
    """ "34 in × 5 1/2 in × 3/4 in"."""
    sizes = (piece.length, piece.width, piece.thickness)
    return " × ".join(format_length(size, display) for size in sizes)


def put_words(piece: KeptPiece, display: str) -> str:
    """What is said of a piece that was just put there: its number, and why no plan gets it."""
    barred = barred_words(piece)
    said = say(
        "{piece_id}: {size}. Write {piece_id} on it.",
        piece_id=piece.id,
        size=size_words(piece, display),
    )
    return say("{said} No plan gets it: {barred}.", said=said, barred=barred) if barred else said


def told_words(told: Iterable[KeptPiece | str], display: str) -> str:
    """What a tick brought to the rack, as it stands on a card: write its id on each piece."""
    pieces = [each for each in told if isinstance(each, KeptPiece)]
    troubles = [each for each in told if isinstance(each, str)]
    said = []
    if pieces:
        named = "; ".join(
            f"{p.id} {format_length(p.length, display)} × {format_length(p.width, display)}"
            for p in pieces
        )
        write = (
            say("Write {pieces_id} on it.", pieces_id=pieces[0].id)
            if len(pieces) == 1
            else say("Write its number on each.")
        )
        said.append(say("Back to the rack: {named}. {write}", named=named, write=write))
    said += [each if each.endswith(("check", ".")) else _as_sentence(each) for each in troubles]
    return " ".join(said)


def _as_sentence(text: str) -> str:
    return say("{text}{text_2}: see shopstep rack check.", text=text[0].upper(), text_2=text[1:])


def rack_lines(pieces: Iterable[KeptPiece], display: str, width: int = 78) -> list[str]:
    """A table of pieces; beneath each what there is to say of it."""
    there = tuple(pieces)
    if not there:
        return [
            say("Nothing lies on the rack. Put a board on it: shopstep rack add 38in 5.5in 3/4in")
        ]
    rows = [[piece.id, piece.stuff.value, size_words(piece, display)] for piece in there]
    lines: list[str] = []
    for piece, row in zip(there, align_rows(rows), strict=True):
        remark = _remark(piece, display)
        lines += [f"{INDENT}{row}", *(fold_item(remark, width, INDENT * 3) if remark else ())]
    return lines


def _origin(left_of: str) -> str:
    """ "left of R3 (Screened hive floor, 2 units)"; what was bought has no number on the rack."""
    stock, _, batch = left_of.partition(" (")
    named = say("a bought piece") if stock.startswith("buy-") else stock
    return say("left of {named} ({batch}", named=named, batch=batch)


def _remark(piece: KeptPiece, display: str) -> str:
    zones = ", ".join(
        say(
            "{begin} to {end}", begin=format_length(begin, display), end=format_length(end, display)
        )
        for begin, end in piece.defects
    )
    barred = barred_words(piece)
    said = (
        say("left: {gone}", gone=piece.gone) if piece.gone else "",
        say("not offered: {barred}", barred=barred) if barred and not piece.gone else "",
        say("not to be used: {zones}", zones=zones) if zones else "",
        _origin(piece.left_of) if piece.left_of else "",
        piece.note,
    )
    return "; ".join(text for text in said if text)
