"""Whether phrases can be told apart: words that have no sound, phrases that sound alike.

Imports ``vocabulary``; pronunciations are handed in.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from shopstep.voice.vocabulary import Phrase, Vocabulary
from shopstep.words import say

Sounds = Callable[[str], tuple[str, ...]]
"""A word to the ways it is said, each as phones; empty for a word that has none."""
LEAST_APART = 0.45
"""Distance of two phrases below which they are taken for one another too often in noise. Of the
phrases that ship the nearest two are further apart (see the tests); measured, not published."""
_KINDS = (
    "AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW",
    "P T K",
    "B D G",
    "F TH S SH HH CH",
    "V DH Z ZH JH",
    "M N NG",
    "L R W Y",
)
_KIND = {phone: kind for kind, row in enumerate(_KINDS) for phone in row.split()}
_VOICED = {(1, 2), (2, 1), (3, 4), (4, 3)}
_NEAR, _SOME, _FAR = 0.4, 0.6, 1.0


def say_phones(words: str, sounds: Sounds) -> tuple[str, ...]:
    """The phones of a phrase, each word said the first way; unknown words give none."""
    return tuple(p for word in words.split() for said in sounds(word)[:1] for p in said.split())


@cache
def phone_distance(first: tuple[str, ...], second: tuple[str, ...]) -> float:
    """0 for the same, 1 for nothing in common: edit distance over the longer one's length.

    Phones of one kind (two vowels, two hard stops) count less than others.
    """
    row = [float(place) for place in range(len(second) + 1)]
    for number, one in enumerate(first, 1):
        before, row[0] = row[0], float(number)
        for place, other in enumerate(second, 1):
            change = before + _apart(one, other)
            before, row[place] = row[place], min(change, row[place] + 1, row[place - 1] + 1)
    return row[-1] / max(len(first), len(second), 1)


def _apart(one: str, other: str) -> float:
    if one == other:
        return 0.0
    kinds = (_KIND.get(one, -1), _KIND.get(other, -2))
    return _NEAR if kinds[0] == kinds[1] else _SOME if kinds in _VOICED else _FAR


def check_vocabulary(vocabulary: Vocabulary, sounds: Sounds, name: str) -> list[str]:
    """Sentences on what cannot be heard rightly, in the order of the file; empty where all can.

    Only phrases with a line (those of the person's own file) are complained of.
    """
    problems = [
        say(
            "{place}'{word}' of '{words}' is in no dictionary; take another "
            "word, or say how it sounds: sound {word}: …",
            place=_place(name, phrase),
            word=word,
            words=phrase.words,
        )
        for phrase in vocabulary.phrases
        for word in phrase.words.split()
        if not sounds(word)
    ]
    for number, phrase in enumerate(vocabulary.phrases):
        for other in vocabulary.phrases[:number]:
            if phrase.action == other.action:
                continue
            apart = phone_distance(
                say_phones(phrase.words, sounds), say_phones(other.words, sounds)
            )
            if apart < LEAST_APART:
                problems.append(
                    say(
                        "{place}'{words}' ({action}) sounds too much "
                        "like '{words_2}' ({action_2}); take other words for one of them.",
                        place=_place(name, phrase),
                        words=phrase.words,
                        action=phrase.action,
                        words_2=other.words,
                        action_2=other.action,
                    )
                )
    return problems


def _place(name: str, phrase: Phrase) -> str:
    return say("{name}, line {line}: ", name=name, line=phrase.line) if phrase.line else f"{name}: "
