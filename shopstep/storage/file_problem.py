"""What goes wrong with files of ours, as one plain sentence. Imports nothing of the project."""

from __future__ import annotations

from shopstep.words import say


class SessionFileError(Exception):
    """A session file cannot be made, read or written; ``text`` is one plain sentence."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text


def salvage_hint(path: object) -> str:
    """What a person can do about a damaged session file."""
    return say("Get back what is whole: shopstep salvage {path}", path=path)
