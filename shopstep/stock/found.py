"""Widths that do not matter: what the rack has is taken as it is, without a rip.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.material import Form, Material
from shopstep.model.part import Part
from shopstep.model.stock import Cut, RackPiece, StockPiece
from shopstep.units import ZERO, Length


@dataclass(frozen=True, slots=True)
class Find:
    """What is cut from the rack at its own width."""

    widths: dict[str, Length]
    """By part."""
    pieces: tuple[StockPiece, ...]

    @property
    def ids(self) -> frozenset[str]:
        """The rack pieces that are used."""
        return frozenset(piece.id for piece in self.pieces)


def find_widths(
    parts: tuple[Part, ...],
    materials: tuple[Material, ...],
    rack: tuple[RackPiece, ...],
    units: int,
    kerf: Length,
) -> Find:
    """For each part with a free width the narrowest rack pieces that give all of its pieces.

    All pieces of a part come out alike, so they come from pieces of one width; the most that has
    to be laid end to end, a kerf after each. A rack piece serves one part only.
    """
    boards = {material.id for material in materials if material.form is Form.BOARD}
    widths: dict[str, Length] = {}
    pieces: list[StockPiece] = []
    for name in dict.fromkeys(part.name for part in parts if part.free is not None):
        own = [part for part in parts if part.name == name]
        taken = {piece.id for piece in pieces}
        left = [piece for piece in rack if piece.id not in taken]
        laid = _lay(own, left, units, kerf) if own[0].material in boards else []
        if laid:
            widths[name] = laid[0].width
            pieces += laid
    return Find(widths, tuple(pieces))


def _lay(own: list[Part], rack: list[RackPiece], units: int, kerf: Length) -> list[StockPiece]:
    free = own[0].free
    if free is None:
        return []
    fitting = [
        piece
        for piece in rack
        if piece.material == own[0].material
        and piece.squared
        and free.least <= piece.width <= free.most
    ]
    for width in sorted({piece.width for piece in fitting}):
        same = sorted((p for p in fitting if p.width == width), key=lambda p: (p.length, p.id))
        laid = _lay_alike(own, same, units, kerf)
        if laid:
            return laid
    return []


def _lay_alike(
    own: list[Part], same: list[RackPiece], units: int, kerf: Length
) -> list[StockPiece]:
    """All pieces end to end on rack pieces of one width; nothing where they do not all fit."""
    wanted = [part for part in own for _ in range(part.count(units))]
    laid: list[StockPiece] = []
    for piece in same:
        at, cuts = ZERO, []
        while wanted and at + wanted[0].length + kerf <= piece.length:
            part = wanted.pop(0)
            cuts.append(Cut(part.name, part.hand, at, ZERO, part.length, piece.width))
            at += part.length + kerf
        if cuts:
            laid.append(_close(piece, tuple(cuts), kerf))
    return [] if wanted else laid


def _close(piece: RackPiece, cuts: tuple[Cut, ...], kerf: Length) -> StockPiece:
    return StockPiece(piece.id, piece.material, True, piece.length, piece.width, cuts, kerf)
