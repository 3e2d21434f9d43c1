"""The one door of all words that people see, and the manner in which numbers are written.

This module stands at the very bottom and loads nothing. A sentence is written in English where it
is used, with named places: ``say("Set the fence at {fence}.", fence=...)``. Without a catalogue
that very sentence is shown. A translated sentence whose places are not those of the English one is
not used, so no number can get lost or change its place by a translation.

Sentences that stand in a table when a module is loaded are marked by ``to_say`` and go through
``say`` where they are used. ``python -m tests.make_words`` gathers both in
``assets/words/shopstep.pot``.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Protocol, TypeVar

T = TypeVar("T")


class Catalogue(Protocol):
    """Sentences by their English ones, as ``gettext.GNUTranslations`` has them."""

    def gettext(self, message: str, /) -> str:
        """The sentence for a sentence; the same one where there is none."""

    def ngettext(self, one: str, many: str, n: int, /) -> str:
        """The sentence for so many; one of the two given where there is none."""


@dataclass(frozen=True, slots=True)
class Manner:
    """In which words and forms the program speaks now."""

    language: str = "en"
    catalogue: Catalogue | None = None
    point: str = "."
    """What stands before the decimals."""
    dates: str = ""
    """The locale of dates and times of day; empty for the program's own form."""
    edition: str = ""
    """Which version of the catalogue it is; empty for English."""

    @property
    def mark(self) -> str:
        """Another for other words or forms, for what keeps them; empty for the plain ones."""
        differs = (self.edition, self.point.replace(PLAIN.point, ""), self.dates)
        return " ".join(differs) if any(differs) else ""


PLAIN = Manner()
"""English, decimals with a point: what files and JSON keep everywhere."""
_manner = PLAIN
_checked: dict[tuple[str, str], bool] = {}
"""Whether a translation fills the places of its sentence; looked at once."""


def speak(manner: Manner) -> None:
    """From now on all words are said so."""
    global _manner
    _manner = manner
    _checked.clear()


def manner() -> Manner:
    """In which words and forms the program speaks now."""
    return _manner


@contextmanager
def plainly() -> Iterator[None]:
    """Inside, all is said as in files and JSON."""
    before = _manner
    speak(PLAIN)
    try:
        yield
    finally:
        speak(before)


def to_say(messages: T) -> T:
    """Marks sentences of a table for translation and gives them back as they are."""
    return messages


def say(message: str, /, **places: object) -> str:
    """The sentence in the language that is spoken, its places filled."""
    catalogue = _manner.catalogue
    if catalogue is not None and message:
        message = _kept(catalogue.gettext(message), message)
    return message.format_map(places) if places else message


def say_count(one: str, many: str, n: int, /, **places: object) -> str:
    """The sentence for ``n`` of something; ``{n}`` is a place of it."""
    catalogue = _manner.catalogue
    message = one if n == 1 else many
    if catalogue is not None:
        message = _kept(catalogue.ngettext(one, many, n), message, (many, frozenset("n")))
    return message.format_map({"n": n, **places})


def figure(number: float, form: str = "") -> str:
    """A number as it is shown: ``form`` is a format of Python's, the decimals are the place's."""
    return as_here(format(number, form))


def as_here(shown: str) -> str:
    """The text of one number with the decimal mark of the place, and a blank between thousands."""
    if _manner.point == PLAIN.point:
        return shown
    return shown.replace(",", "\N{NO-BREAK SPACE}").replace(".", _manner.point)


def _kept(translated: str, english: str, asked: tuple[str, frozenset[str]] | None = None) -> str:
    """The translation where its places are those that are asked for; else the English sentence."""
    pattern, may_lack = asked or (english, frozenset())
    if translated == english:
        return english
    known = _checked.get((pattern, translated))
    if known is None:
        known = bool(translated) and has_same_places(pattern, translated, may_lack)
        _checked[pattern, translated] = known
    return translated if known else english


def places_of(text: str) -> frozenset[str]:
    """The names of the places in a sentence; ValueError where one is more than a name."""
    from string import Formatter

    found = set()
    for _, name, form, conversion in Formatter().parse(text):
        if name is None:
            continue
        if form or conversion or not name.isidentifier():
            raise ValueError(f"'{name}' is no plain place")
        found.add(name)
    return frozenset(found)


def has_same_places(english: str, translated: str, may_lack: frozenset[str] = frozenset()) -> bool:
    """Whether a translation fills the same places; those that may be said in words may lack."""
    try:
        asked = places_of(english)
    except ValueError:
        return english.count("{") == translated.count("{")
    try:
        filled = places_of(translated)
    except ValueError:
        return False
    return asked - may_lack <= filled <= asked
