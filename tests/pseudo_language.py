"""A language made up for tests: every letter of a sentence has an accent, every place is kept.

"Set the fence at {fence}." becomes "Šéţ ţĥé ƒéñçé áţ {fence}.". What is shown without an accent
was not translated, or comes from a build file, a person or a table of sources.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path

from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

from shopstep.words import Manner
from tests.make_words import TEMPLATE

PLAIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
ACCENTED = "áƀçðéƒğĥíĵķļɱñóþǫŕšţúṽŵẋýžÁɃÇÐÉƑĞĤÍĴĶĻⱮÑÓÞɊŔŠŢÚṼŴẊÝŽ"
_LETTERS = str.maketrans(PLAIN, ACCENTED)
_KEPT = re.compile(r"(\{[^{}]*\}|`[^`]*`)")
WORD = re.compile(r"[^\W\d_]{3,}(?:['’][^\W\d_]+)?")
ROOT = Path(__file__).parent.parent


def accent(sentence: str) -> str:
    """The sentence with an accent on every letter; places and what is typed stay."""
    return "".join(
        piece if _KEPT.fullmatch(piece) else piece.translate(_LETTERS)
        for piece in _KEPT.split(sentence)
    )


@cache
def _sentences() -> frozenset[str]:
    with TEMPLATE.open("rb") as file:
        catalogue = read_po(file)
    return frozenset(
        text
        for message in catalogue
        if message.id
        for text in ((message.id,) if isinstance(message.id, str) else message.id)
    )


class Pseudo:
    """The catalogue: what is in the template, and nothing else."""

    def gettext(self, message: str, /) -> str:
        """The sentence with accents, where the template has it."""
        return accent(message) if message in _sentences() else message

    def ngettext(self, one: str, many: str, n: int, /) -> str:
        """The one for so many."""
        return self.gettext(one if n == 1 else many)


PSEUDO = Manner("xx", Pseudo(), edition="pseudo")


@cache
def words_of_builds() -> frozenset[str]:
    """All words that a keeper wrote: they are shown as they stand in the build file."""
    text = " ".join(path.read_text(encoding="utf-8") for path in (ROOT / "builds").glob("*.yaml"))
    return frozenset(word.casefold() for word in WORD.findall(text.replace("_", " ")))


CODES = frozenset(
    ["min", "utc", "pva", "acl", "osha", "cfr", "niosh", "dhhs", "nds", "ansi", "eur", "rev"]
)
"""Units, codes and names of standards."""


class Shown:
    """What was shown, and which of its words were not translated."""

    def __init__(self, known: Iterable[str] = ()) -> None:
        self.known = words_of_builds() | CODES | {word.casefold() for word in known}
        self.translated = 0
        self.left: dict[str, str] = {}
        self.count_left = 0

    def look(self, text: str, place: str = "") -> None:
        """Count the words of a text; what is typed (in backticks) is none."""
        for word in WORD.findall(re.sub(r"`[^`]*`", " ", text)):
            if not word.isascii():
                self.translated += 1
            elif word.casefold() not in self.known:
                self.count_left += 1
                self.left.setdefault(word, f"{place}: {text[:90]}")

    @property
    def share(self) -> float:
        """The part of all words that can be translated which are."""
        return self.translated / max(1, self.translated + self.count_left)


def keep_pseudo(folder: Path) -> None:
    """Puts the language ``xx`` into a person's own folder, compiled as any translation is."""
    with TEMPLATE.open("rb") as file:
        catalogue = read_po(file)
    for message in catalogue:
        if message.id:
            texts = (message.id,) if isinstance(message.id, str) else message.id
            accented = tuple(accent(text) for text in texts)
            message.string = accented if len(accented) > 1 else accented[0]
    made = folder / "shopstep" / "words" / "xx" / "LC_MESSAGES" / "shopstep.mo"
    made.parent.mkdir(parents=True)
    with made.open("wb") as out:
        write_mo(out, catalogue)
