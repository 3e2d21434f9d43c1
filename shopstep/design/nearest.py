"""The known word that is nearest to a mistyped one, as the tail of a sentence."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from shopstep.words import say


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """``"; did you mean 'width'?"``, or the known words where none is near."""
    names = sorted(set(known))
    near = difflib.get_close_matches(word, names, n=1, cutoff=0.6)
    if near:
        return say("; did you mean '{near}'?", near=near[0])
    if names and len(names) <= 12:
        return say("; known here: {names}", names=", ".join(names))
    return ""
