"""How work is held while it is nailed, and while only tacks hold it: words for the cards.

Imports ``shopstep.model`` and units.
"""

from __future__ import annotations

from shopstep.model.step import Caution, Check, Handhold, HoldKind
from shopstep.units import ZERO, Length
from shopstep.words import say, to_say

FREE_HAND = Length.inches(12)
"""Least way from the free hand to the nailing point: DHHS (NIOSH) 2011-202, as quoted."""
_WORDS = to_say(
    {
        HoldKind.FREE: "Other hand on the {part}, {end}, 12 in and more from every brad and not "
        "beside the nailer.",
        HoldKind.AWAY: "Other hand on the {part}, at the end away from the brad: 12 in and more, "
        "not beside the nailer.",
        HoldKind.CLEAT: "Nowhere on the {part} is the other hand safe: lay the work against a "
        "cleat or stop block on the bench, one place for all {nails} brads, and keep the hand off.",
        HoldKind.CLAMP: "Nowhere on the {part} is the other hand safe: clamp it down for all its "
        "brads and keep the hand off.",
    }
)
_ONE = to_say(
    {
        HoldKind.CLEAT: "Nowhere on the {part} is the other hand safe: lay the work against a "
        "cleat or stop block on the bench and keep the hand off.",
        HoldKind.CLAMP: (
            "Nowhere on the {part} is the other hand safe: clamp it and keep the hand off."
        ),
    }
)
ON_TACKS = Caution(
    "turn_on_tacks", "CAUTION",
    "Only brads and wet glue hold it: lifted by one piece it comes apart.",
    "Clamps stay on. Slide it over the bench's edge, both hands under it, and roll it. Look again.",
    "Under the longest pieces, one on each side.",
    "Push it together at once, clamp it, measure both diagonals again.",
    "common practice, no source", False,
)  # fmt: skip
"""Before a step that turns the work over while no clamp time has passed and no screw is in."""
FIRST_TACK = Check(
    "first_tack",
    "After the first brad, look: are the edges still aligned?",
    None,
    ZERO,
)
"""Of a step with more brads than one."""


def holding_words(hold: Handhold) -> str:
    """One sentence for a card."""
    words = _ONE.get(hold.how, _WORDS[hold.how]) if hold.nails == 1 else _WORDS[hold.how]
    end = say("at its {end}", end=say(hold.end))
    return say(words, part=hold.part, end=end, nails=hold.nails)
