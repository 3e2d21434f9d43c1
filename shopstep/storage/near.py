"""The nearest known word, for complaints. Imports nothing of the project."""

from __future__ import annotations


def say_near(word: str, known: list[str]) -> str:
    """``; did you mean 'kerf'?``, or all that is known."""
    import difflib

    near = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    return f"; did you mean '{near[0]}'?" if near else f"; known: {', '.join(sorted(known))}"
