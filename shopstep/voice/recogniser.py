"""The recogniser: an utterance against the phrases that may be said now, and how sure it is.

pocketsphinx with a closed grammar and wide beams. Beside it a loop of bare phones says how well
the same sound could be explained by anything at all; a second search without the winner says how
near the next phrase is, or what only sounds like the winner. Imports pocketsphinx, which comes with
the extra ``voice``.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from pocketsphinx import Decoder, get_model_path

from shopstep.voice.hear_audio import Samples
from shopstep.voice.hear_near import near_misses

_BEAMS = {"beam": 1e-120, "wbeam": 1e-80, "pbeam": 1e-120}
"""Narrower ones lose the end of a phrase in noise; measured."""
_LOOP = "loop"
_LEAST = 1e-300
_LONG = 6
"""A sentence of more words has no near miss that stands against it."""
_KEPT = 60
"""Searches that are kept ready."""
NO_RIVAL = 0.05
"""The lead over the next phrase where there is none."""


@dataclass(frozen=True, slots=True)
class Found:
    """The phrase that fits best, whether or not it was said."""

    words: str
    weakest: float
    """The worst word's log score a frame, less that of the loop of phones; 0 is a perfect fit."""
    whole: float
    """The same for the phrase as a whole."""
    lead: float
    """Log score a frame above the next phrase."""
    outside: float
    """The same as ``whole``, for the sound before and after the phrase: speech that is not it."""
    start: int
    """First and last frame (10 ms) of the phrase."""
    end: int


@cache
def dictionary() -> dict[str, tuple[str, ...]]:
    """Every word of the dictionary that comes with the recogniser: how it is said."""
    words: dict[str, list[str]] = {}
    with open(get_model_path("en-us/cmudict-en-us.dict"), encoding="utf-8") as file:
        for line in file:
            word, _, phones = line.strip().partition(" ")
            words.setdefault(word.partition("(")[0], []).append(phones.strip())
    return {word: tuple(said) for word, said in words.items()}


class Recogniser:
    """One decoder and its searches. Use from one thread."""

    def __init__(self, sounds: Iterable[tuple[str, str]] = ()) -> None:
        self._decoder = Decoder(
            lm=None,
            dict=None,
            samprate=16000.0,
            loglevel="FATAL",
            bestpath=False,
            compallsen=True,
            maxhmmpf=-1,
            **_BEAMS,
        )
        self._own: dict[str, list[str]] = {}
        for word, phones in sounds:
            self._own.setdefault(word, []).append(phones)
        self._known: set[str] = set()
        self._searches: dict[tuple[str, ...], str] = {}
        self._decoder.add_allphone_file(_LOOP, None)

    def sounds(self, word: str) -> tuple[str, ...]:
        """How a word is said; empty where nobody knows."""
        own = self._own.get(word)
        return tuple(own) if own else dictionary().get(word, ())

    def find(self, samples: Samples, phrases: Sequence[str]) -> Found | None:
        """The phrase that fits best; None where none of them reaches its end.

        Phrases hold plain words, and ``[a | b]`` or ``(a | b)`` of the grammar format (JSGF).
        """
        said, parts = self._decode(samples, self._search(tuple(phrases)))
        words = [part for part in parts if not part[0].startswith(("<", "[", "+", "("))]
        if not said or not words:
            return None
        _, loop = self._decode(samples, _LOOP)
        if not loop:
            return None
        return _weigh(said, parts, words, loop, self._rival(samples, said, phrases, parts))

    def words(self, samples: Samples, phrases: Sequence[str]) -> str:
        """The phrase that fits best, unweighed; empty where none reaches its end."""
        return self._decode(samples, self._search(tuple(phrases)))[0]

    def _rival(
        self, samples: Samples, said: str, phrases: Sequence[str], parts: list[_Part]
    ) -> float:
        """The log score of the whole above that of the best other phrase."""
        others = tuple(phrase for phrase in phrases if not _is_of(said, phrase))
        if said in phrases and len(said.split()) <= _LONG:
            others += near_misses(said, self.sounds)
        if not others:
            return NO_RIVAL
        hyp, second = self._decode(samples, self._search(others))
        if not hyp:
            return NO_RIVAL * 100
        return sum(p[3] for p in parts) - sum(p[3] for p in second)

    def _search(self, phrases: tuple[str, ...]) -> str:
        name = self._searches.get(phrases)
        if name is not None:
            return name
        for phrase in phrases:
            for word in phrase.translate(_PLAIN).split():
                self._learn(word)
        if len(self._searches) >= _KEPT:
            oldest = next(iter(self._searches))
            self._decoder.remove_search(self._searches.pop(oldest))
        name = f"g{len(self._searches)}-{abs(hash(phrases))}"
        body = " | ".join(f"({phrase})" for phrase in phrases)
        self._decoder.add_jsgf_string(name, f"{_HEAD}public <p> = {body};")
        self._searches[phrases] = name
        return name

    def _learn(self, word: str) -> None:
        if word in self._known:
            return
        for number, phones in enumerate(self.sounds(word), 1):
            self._decoder.add_word(word if number == 1 else f"{word}({number})", phones, False)
        self._known.add(word)

    def _decode(self, samples: Samples, search: str) -> tuple[str, list[_Part]]:
        decoder = self._decoder
        decoder.activate_search(search)
        decoder.start_utt()
        decoder.process_raw(samples.tobytes(), full_utt=True)
        decoder.end_utt()
        hyp = decoder.hyp()
        if hyp is None:
            return "", []
        parts = [
            (seg.word, seg.start_frame, seg.end_frame, math.log(max(seg.ascore, _LEAST)))
            for seg in decoder.seg()
            if seg.word != "(NULL)"
        ]
        return hyp.hypstr, parts


_Part = tuple[str, int, int, float]
"""A word or phone: its frames, first and last, and its log score."""
_HEAD = "#JSGF V1.0;\ngrammar heard;\n"
_PLAIN = str.maketrans("()[]|", "     ")


def _is_of(said: str, phrase: str) -> bool:
    """Whether the words came of this phrase, also where it has numbers in it."""
    start, paren, _ = phrase.partition("(")
    return said.startswith(start) if paren else said == phrase


def _weigh(
    said: str, parts: list[_Part], words: list[_Part], loop: list[_Part], ahead: float
) -> Found:
    frames = 1 + max(parts[-1][2], loop[-1][2])
    free = [0.0] * frames
    for _, first, last, score in loop:
        for frame in range(first, last + 1):
            free[frame] = score / (last - first + 1)
    start, end = words[0][1], words[-1][2]
    within = [p for p in parts if p[1] >= start and p[2] <= end]
    around = [p for p in parts if p[2] < start or p[1] > end]
    length = end - start + 1
    whole = (sum(p[3] for p in within) - sum(free[start : end + 1])) / length
    rest = sum(free) - sum(free[start : end + 1])
    return Found(
        words=said,
        weakest=min((w[3] - sum(free[w[1] : w[2] + 1])) / (w[2] - w[1] + 1) for w in words),
        whole=whole,
        lead=ahead / length,
        outside=(sum(p[3] for p in around) - rest) / max(frames - length, 1),
        start=start,
        end=end,
    )
