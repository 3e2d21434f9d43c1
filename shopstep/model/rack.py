"""What lies on the keeper's rack, as it was measured. Imports ``shopstep.model`` only."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.units import Length
from shopstep.words import say


class Stuff(StrEnum):
    """What a piece on the rack is made of."""

    WOOD = "wood"
    """A board of solid wood."""
    PLYWOOD = "plywood"
    HARDBOARD = "hardboard"
    CLOTH = "cloth"
    """Wire cloth off a roll."""
    FOAM = "foam"
    METAL = "metal"


@dataclass(frozen=True, slots=True)
class Answers:
    """What a look at a reclaimed piece found; None: nobody has looked yet."""

    metal: bool | None = None
    """Nails, screws, staples still in it."""
    old_paint: bool | None = None
    preservative: bool | None = None
    """Treated against rot: green or brown, end marks, an old sleeper or fence."""
    damp: bool | None = None

    @property
    def is_complete(self) -> bool:
        """Whether all four were answered."""
        return None not in (self.metal, self.old_paint, self.preservative, self.damp)


NOT_ASKED = Answers()


@dataclass(frozen=True, slots=True)
class KeptPiece:
    """One piece on the rack, as the keeper measured it."""

    id: str
    stuff: Stuff
    length: Length
    """Along the grain."""
    width: Length
    thickness: Length
    defects: tuple[tuple[Length, Length], ...] = ()
    """Zones along the length that are not to be used, begin and end."""
    note: str = ""
    reclaimed: bool = False
    answers: Answers = NOT_ASKED
    promised_to: str = ""
    """The batch that is to have it; empty where it is free."""
    gone: str = ""
    """How it left the rack: ``used``, ``dropped``, ``cut``; empty while it is there."""
    left_of: str = ""
    """What it is the rest of: ``R3 (screened floor, 2 units)``."""


def barred_words(piece: KeptPiece) -> str:
    """Why a piece must not be cut for a plan; empty where it may.

    Metal ruins a blade and throws pieces, old paint may hold lead (16 CFR 1303), and damp wood
    shrinks after it is cut. Treated wood: "Do not use treated wood for construction of those
    portions of beehives which may come into contact with the honey" (EPA Consumer Information
    Sheet, as reprinted in NAVFAC MO-312).
    """
    if piece.promised_to:
        return say("promised to {promised_to}", promised_to=piece.promised_to)
    found = piece.answers
    reasons = {
        "treated wood, which no hive may have": found.preservative,
        "metal in it": found.metal,
        "old paint, which may hold lead": found.old_paint,
        "damp": found.damp,
    }
    known = [reason for reason, is_so in reasons.items() if is_so]
    if known:
        return "; ".join(known)
    if piece.reclaimed and not found.is_complete:
        return say("reclaimed, and not looked over yet")
    return ""
