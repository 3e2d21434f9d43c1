"""The sentence that answers a caution by voice: what the card says about the hand.

A full sentence that repeats how the harm is kept away; nobody says it by chance. Imports present.
"""

from __future__ import annotations

import re

from shopstep.present.card import CardCaution, StepCard
from shopstep.present.spoken import say_integer, say_text

FEWEST_WORDS = 4
_ENDS = re.compile(r"[.;:](?:\s|$)")


def caution_words(caution: CardCaution) -> str:
    """The answer in plain words: the hand's place, or how the harm is avoided where no hand is
    named; its first clause, and more of it where that has fewer than four words."""
    words: list[str] = []
    for clause in _ENDS.split(say_text(caution.hand or caution.avoid)):
        words += _plain(clause)
        if len(words) >= FEWEST_WORDS:
            break
    return " ".join(words)


def _plain(text: str) -> list[str]:
    """Words as the dictionary has them: small, without marks, numbers said."""
    spelt = re.sub(r"\d+", lambda match: f" {say_integer(int(match.group()))} ", text)
    return re.findall(r"[a-z][a-z']*", spelt.lower().replace("’", "'"))


def open_cautions(card: StepCard) -> dict[str, str]:
    """Caution id to the sentence that answers it: those that are new, or else the first."""
    asked = [caution for caution in card.cautions if caution.must_ack]
    new = [caution for caution in asked if not caution.known] or asked[:1]
    return {caution.id: caution_words(caution) for caution in new}
