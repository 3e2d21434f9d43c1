"""The nearest known word, for complaints. Imports nothing of the project."""

from __future__ import annotations

from shopstep.words import say


def say_near(word: str, known: list[str]) -> str:
    """``; did you mean 'kerf'?``, or all that is known."""
    import difflib

    near = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    return (
        say("; did you mean '{near}'?", near=near[0])
        if near
        else say("; known: {known}", known=", ".join(sorted(known)))
    )
