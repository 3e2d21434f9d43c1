"""What is asked of an offcut, one thing after the other, and what each tap makes of it.

Imports the keys of the measuring page and the rack's piece; pure.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopstep.model.rack import Answers, KeptPiece, Stuff
from shopstep.present.rack_text import ASKED
from shopstep.tui.measure_keys import Entry
from shopstep.units import Length
from shopstep.words import say, to_say

STUFF, RECLAIMED, LOOK = "stuff", "reclaimed", "look"
SIZES = ("length", "width", "thickness")
YES, NO = "yes", "no"
_QUESTIONS = to_say(
    {
        STUFF: "What is it?",
        "length": "How long is it, along the grain?",
        "width": "How wide is it?",
        "thickness": "How thick is it?",
        RECLAIMED: "Was it something else before: a pallet, a fence, a shelf?",
        **ASKED,
    }
)
RIGHT = to_say("Is that right?")
_MOST = Length.inches(400)
"""Longer than any stick that comes through a door; as the rack takes it."""


@dataclass(frozen=True, slots=True)
class Offcut:
    """An offcut as far as it was told."""

    unit: str
    """``in`` or ``mm``."""
    stuff: Stuff | None = None
    sizes: tuple[Length, ...] = ()
    """Length, width, thickness, as far as they were taken."""
    reclaimed: bool | None = None
    found: tuple[bool, ...] = ()
    """Answers in the order of ``ASKED``, where it is reclaimed."""

    @property
    def asks(self) -> str:
        """What comes next: STUFF, one of SIZES, RECLAIMED, a name of ``ASKED``; LOOK at the end."""
        if self.stuff is None:
            return STUFF
        if len(self.sizes) < len(SIZES):
            return SIZES[len(self.sizes)]
        if self.reclaimed is None:
            return RECLAIMED
        if self.reclaimed and len(self.found) < len(ASKED):
            return tuple(ASKED)[len(self.found)]
        return LOOK

    @property
    def question(self) -> str:
        """What is asked, in words."""
        return say(_QUESTIONS.get(self.asks, RIGHT))

    def take_size(self, entry: Entry) -> Offcut | str:
        """With the size that was tapped in; a sentence where it cannot be."""
        if entry.is_empty:
            return say("Tap in what the rule says.")
        if entry.value > _MOST:
            return say("That is longer than anything on a rack. Measure again.")
        return replace(self, sizes=(*self.sizes, entry.value))

    def answer(self, choice: str) -> Offcut:
        """With a material, or a yes or no."""
        if self.asks == STUFF:
            return replace(self, stuff=Stuff(choice))
        is_so = choice == YES
        if self.asks == RECLAIMED:
            return replace(self, reclaimed=is_so)
        return replace(self, found=(*self.found, is_so))

    def back(self) -> Offcut | None:
        """Without the last thing that was told; None where nothing was."""
        if self.found:
            return replace(self, found=self.found[:-1])
        if self.reclaimed is not None:
            return replace(self, reclaimed=None)
        if self.sizes:
            return replace(self, sizes=self.sizes[:-1])
        return replace(self, stuff=None) if self.stuff is not None else None

    @property
    def piece(self) -> KeptPiece:
        """The piece for the rack, once all is told; the rack gives it its number."""
        assert self.stuff is not None
        long, wide, thick = self.sizes
        answers = Answers(*self.found) if self.reclaimed else Answers()
        return KeptPiece(
            "", self.stuff, long, wide, thick, reclaimed=bool(self.reclaimed), answers=answers
        )
