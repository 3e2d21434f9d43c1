"""The ear: samples in, utterances out, each with its phrase or with the reason why it is refused.

The same way for a file and for the microphone. Imports the endpointer, the recogniser and numpy.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Protocol

import numpy as np

from shopstep.voice.bangs import without_bangs
from shopstep.voice.hear_audio import RATE, Samples, level_db
from shopstep.voice.hear_disturbed import FIT_WEIGHT, Least, least_for
from shopstep.voice.hear_endpoint import Endpointer, Utterance
from shopstep.voice.hear_judge import POSSIBLE, doubt_of, doubt_of_long, sureness
from shopstep.voice.hear_numbers import COUNT_PATTERN, LENGTH_PATTERN, read_count, read_length
from shopstep.voice.hear_policy import Heard
from shopstep.voice.noise import without_noise
from shopstep.voice.recogniser import Found, Recogniser
from shopstep.voice.vocabulary import ACK, Vocabulary
from shopstep.words import say, to_say

TOO_LOUD_DB = -20.0
"""A floor above this (dB below the loudest) is a machine: nobody is heard beside it."""
LEAST_SNR_DB = 3.0
"""An utterance that stands out less than this is not looked at."""
NAMED = 0.2
"""From these odds of the personal model on it was one of its phrases, if any: no number."""
SURE_MARGIN, SURE_WITH = 0.6, 3.0
"""Where its odds are less, the grammar has to be surer than usual: a bang disturbs the one more
than the other."""
OPEN_FIT, LEAST_FIT = -2.3, -3.0
"""So well the second ear has to find that a phrase fits what was taken for it: where the microphone
is always open, and elsewhere."""
OPEN_LEAD = 0.6
"""And so much better than any other phrase there is, where it is always open: to a sound that is no
speech at all every phrase fits, and one as well as the other."""
SURE_FIT, SURE_LEAD = -1.6, 1.0
"""So well a phrase fits that is taken although the grammar was not sure of it; and so much better
than every other one."""


class Why(StrEnum):
    """Why an utterance is refused."""

    NOISE = "noise"
    LONG = "too long"
    NONE = "no phrase"
    DOUBT = "doubt"
    DISAGREE = "disagree"
    AGAIN = "second ear"
    NO_NUMBER = "no number"


WORDS = to_say(
    {
        Why.NOISE: "A saw or a vacuum is running: I cannot hear; tap instead.",
        Why.LONG: "That was too long for a command.",
        Why.NONE: "That was no phrase of this card.",
        Why.DOUBT: "Not sure enough",
        Why.DISAGREE: "Heard in two ways; say it again, or tap.",
        Why.AGAIN: "The second ear heard something else; say it again, or tap.",
        Why.NO_NUMBER: "The number was not understood; say it again, or type it.",
    }
)


@dataclass(frozen=True, slots=True)
class Hearing:
    """One utterance and what became of it."""

    start_s: float
    end_s: float
    phrase: str
    """What was heard; also where it was refused, as far as anything fits. May be empty."""
    action: str
    heard: Heard | None
    """None where it was refused."""
    why: Why | None
    text: str
    """The refusal in a sentence; empty where it was taken."""
    scores: dict[str, float]


class Second(Protocol):
    """Somebody else's opinion: the personal model."""

    @property
    def phrases(self) -> tuple[str, ...]:
        """The phrases that it knows."""
        ...

    def opinion(self, samples: Samples, lead: int) -> tuple[str, float]:
        """The phrase that an utterance is taken for (empty for none of them), and how sure."""
        ...


class Again(Protocol):
    """The second ear: a net that knows no phrase of ours; see ``hear_again``."""

    def fits(self, samples: Samples, phrases: Sequence[str]) -> dict[str, float]:
        """How well each phrase fits; 0 is perfect."""
        ...


@dataclass(slots=True)
class Ear:
    """Hears one person; use from one thread."""

    vocabulary: Vocabulary
    recogniser: Recogniser
    second: Second | None = None
    """The personal model, where somebody enrolled."""
    again: Again | None = None
    """The second ear, where its extra is installed."""
    is_always_open: bool = False
    """Nobody opened the microphone: only what both ears take for the same is taken."""

    def phrases(self, actions: Sequence[str], cautions: Sequence[str] = ()) -> dict[str, str]:
        """What may be said to what it does, in the recogniser's form."""
        found: dict[str, str] = {}
        for phrase in self.vocabulary.among(actions):
            found[_pattern(phrase.action, phrase.words)] = phrase.action
        if ACK in actions:
            found |= {words: ACK for words in cautions if self.can_hear(words)}
        return found

    def can_hear(self, words: str) -> bool:
        """Whether every word has a sound."""
        return bool(words) and all(self.recogniser.sounds(word) for word in words.split())

    def judge(
        self, utterance: Utterance, actions: Sequence[str], cautions: Sequence[str] = ()
    ) -> Hearing:
        """What an utterance is taken for, among what may be said now."""
        first = self.judge_alone(utterance, actions, cautions)
        return self.judge_again(utterance, actions, cautions, first)

    def judge_alone(
        self, utterance: Utterance, actions: Sequence[str], cautions: Sequence[str] = ()
    ) -> Hearing:
        """The same without the second ear."""
        if utterance.floor_db > TOO_LOUD_DB or utterance.snr_db < LEAST_SNR_DB:
            return _refused(utterance, Why.NOISE)
        if utterance.is_too_long:
            return _refused(utterance, Why.LONG)
        phrases, least = self.phrases(actions, cautions), least_for(utterance)
        first = self._look_at(utterance, phrases, least)
        quieter = without_bangs(utterance.samples) if first.why in _UNSURE else None
        if quieter is None:
            return first
        then = self._look_at(replace(utterance, samples=quieter), phrases, least)
        return first if then.heard is None or then.phrase != first.phrase else then

    def _look_at(self, utterance: Utterance, phrases: dict[str, str], least: Least) -> Hearing:
        if self.second is not None:
            return self._with_person(utterance, phrases, self.second, least)
        return self._by_grammar(utterance, phrases)

    def judge_again(
        self,
        utterance: Utterance,
        actions: Sequence[str],
        cautions: Sequence[str],
        first: Hearing,
    ) -> Hearing:
        """What the second ear makes of the first opinion: it can refuse, and be sure of what the
        first was not, where somebody opened the microphone and noise disturbed."""
        if self.again is None or (first.heard is None and not self._may_rescue(utterance, first)):
            return first
        phrases = self.phrases(actions, cautions)
        if first.heard is not None:
            return self._confirmed(utterance, first, self.again)
        plain = [words for words in phrases if "(" not in words and phrases[words] != ACK]
        return _if_sure(utterance, phrases, first, self.again.fits(utterance.samples, plain))

    def _may_rescue(self, utterance: Utterance, first: Hearing) -> bool:
        """Whether it was the noise that left the first opinion unsure. In quiet it was more likely
        something else that was said; and a personal model is disturbed by bangs only."""
        if self.is_always_open or first.why not in _UNSURE:
            return False
        least = least_for(utterance)
        return least.may_rescue if self.second is None else least.may_rescue_known

    def _confirmed(self, utterance: Utterance, first: Hearing, again: Again) -> Hearing:
        """What was taken, where the second ear agrees; else refused."""
        others = [
            each.words
            for each in (self.vocabulary.phrases if self.is_always_open else ())
            if each.action != first.action
        ]
        fits = again.fits(utterance.samples, [first.phrase, *others])
        fit = fits.pop(first.phrase, _NO_FIT)
        lead = fit - max(fits.values(), default=_NO_FIT)
        scores = first.scores | {"again": round(fit, 2)}
        is_fit = fit >= (OPEN_FIT if self.is_always_open else LEAST_FIT) and lead >= OPEN_LEAD
        if is_fit and self._is_sure_of_both(utterance, first, fit):
            return replace(first, scores=scores)
        return _refused(utterance, Why.AGAIN, first.phrase, first.action, "", scores)

    def _is_sure_of_both(self, utterance: Utterance, first: Hearing, fit: float) -> bool:
        """Whether both ears together are sure enough; what has no near miss is not added up."""
        is_long = first.action == ACK or "(" in _pattern(first.action, first.phrase)
        if is_long or self.second is not None:
            return True
        return first.scores["sure"] + FIT_WEIGHT * fit >= least_for(utterance).both

    def _with_person(
        self, utterance: Utterance, phrases: dict[str, str], second: Second, least: Least
    ) -> Hearing:
        """The personal model names the phrase, the grammar has to agree that it can be it; what the
        model does not know (numbers, cautions) is heard by the grammar alone."""
        words, margin = second.opinion(utterance.samples, utterance.lead)
        if not words or margin < NAMED:
            unknown = {p: action for p, action in phrases.items() if p not in second.phrases}
            return self._by_grammar(utterance, unknown)
        if words not in phrases:
            return _refused(utterance, Why.NONE, words)
        if margin < least.margin:
            return _refused(
                utterance, Why.DOUBT, words, phrases[words], f"{say(WORDS[Why.DOUBT])}."
            )
        found = self.recogniser.find(utterance.samples, (words,))
        if found is None or not self._may_be(utterance, words, phrases):
            return _refused(utterance, Why.DISAGREE, words, phrases[words])
        scores = _scores(utterance, found) | {"margin": round(margin, 3)}
        doubt = doubt_of(found, POSSIBLE if margin >= SURE_MARGIN else SURE_WITH)
        if doubt:
            text = f"{say(WORDS[Why.DOUBT])}: {doubt}."
            return _refused(utterance, Why.DOUBT, words, phrases[words], text, scores)
        return _taken(utterance, words, phrases[words], scores)

    def _may_be(self, utterance: Utterance, words: str, phrases: dict[str, str]) -> bool:
        """Whether the grammar finds the same phrase, with the noise or without it."""
        if self.recogniser.words(utterance.samples, tuple(phrases)) == words:
            return True
        quiet = without_noise(utterance.samples, utterance.lead)
        return self.recogniser.words(quiet, tuple(phrases)) == words

    def _by_grammar(self, utterance: Utterance, phrases: dict[str, str]) -> Hearing:
        """The best of what may be said, found twice: as it sounds, and with the noise taken out."""
        plain = self.recogniser.find(utterance.samples, tuple(phrases)) if phrases else None
        if plain is None:
            return _refused(utterance, Why.NONE)
        quiet = self.recogniser.words(
            without_noise(utterance.samples, utterance.lead), tuple(phrases)
        )
        return self._weigh(utterance, phrases, plain, quiet)

    def _weigh(
        self, utterance: Utterance, phrases: dict[str, str], plain: Found, quiet: str
    ) -> Hearing:
        pattern = _pattern_of(plain.words, phrases)
        action = phrases[pattern]
        is_long = "(" in pattern or action == ACK
        doubt = doubt_of_long(plain) if is_long else doubt_of(plain)
        scores = _scores(utterance, plain)
        if doubt:
            text = f"{say(WORDS[Why.DOUBT])}: {doubt}."
            return _refused(utterance, Why.DOUBT, plain.words, action, text, scores)
        if not _is_same(plain.words, quiet, pattern, action):
            return _refused(utterance, Why.DISAGREE, plain.words, action, "", scores)
        return _taken(utterance, plain.words, action, scores)


_UNSURE = (Why.DOUBT, Why.DISAGREE, Why.NONE)
_NO_FIT = -99.0


def _if_sure(
    utterance: Utterance, phrases: dict[str, str], first: Hearing, fits: dict[str, float]
) -> Hearing:
    """The phrase that fits far better than all others; else as it was refused."""
    ranked = sorted(fits.items(), key=lambda each: -each[1])
    if not ranked or ranked[0][1] < SURE_FIT:
        return first
    words, fit = ranked[0]
    if len(ranked) > 1 and fit - ranked[1][1] < SURE_LEAD:
        return first
    scores = first.scores | {"again": round(fit, 2)}
    return _taken(utterance, words, phrases[words], scores)


def utterances(samples: Samples) -> list[Utterance]:
    """All that was said in a recording."""
    pointer = Endpointer()
    found = [
        utterance
        for at in range(0, len(samples), RATE // 10)
        for utterance in pointer.feed(samples[at : at + RATE // 10])
    ]
    return found + pointer.finish()


def whole_push(samples: Samples) -> Utterance:
    """A recording as one push of the key: all of it is one utterance."""
    hop = RATE // 50
    levels = [level_db(samples[at : at + hop]) for at in range(0, len(samples), hop)] or [-96.0]
    floor_db, loud_db = (float(level) for level in np.quantile(levels, (0.15, 0.8)))
    return Utterance(
        samples=samples,
        start_s=0.0,
        end_s=len(samples) / RATE,
        lead=min(len(samples), RATE // 4),
        snr_db=loud_db - floor_db,
        floor_db=floor_db,
    )


def _pattern(action: str, words: str) -> str:
    """The phrase with the numbers that may follow."""
    if action == "measure":
        return f"{words} {LENGTH_PATTERN}"
    if action == "take":
        before, _, last = words.rpartition(" ")
        return f"{before} {COUNT_PATTERN} {last}"
    return words


def _pattern_of(words: str, phrases: Mapping[str, str]) -> str:
    """The entry that the words came of."""
    if words in phrases:
        return words
    patterns = [each for each in phrases if "(" in each]
    return max(patterns, key=lambda each: words.startswith(each.partition("(")[0]))


def _is_same(words: str, other: str, pattern: str, action: str) -> bool:
    """Whether both say the same; a length may be told in the singular or the plural."""
    if words == other:
        return True
    length = read_length(words) if action == "measure" else None
    begins_alike = other.startswith(pattern.partition("(")[0])
    return length is not None and begins_alike and read_length(other) == length


def _scores(utterance: Utterance, found: Found) -> dict[str, float]:
    return {
        "sure": round(sureness(found), 2),
        "weakest": round(found.weakest, 5),
        "whole": round(found.whole, 5),
        "lead": round(found.lead, 5),
        "outside": round(found.outside, 5),
        "snr_db": round(utterance.snr_db, 1),
    }


def _taken(utterance: Utterance, words: str, action: str, scores: dict[str, float]) -> Hearing:
    value = read_length(words) if action == "measure" else None
    count = read_count(words) if action == "take" else None
    if action == "measure" and value is None:
        return _refused(utterance, Why.NO_NUMBER, words, action, "", scores)
    heard = Heard(action, words, value, count)
    return Hearing(utterance.start_s, utterance.end_s, words, action, heard, None, "", scores)


def _refused(
    utterance: Utterance,
    why: Why,
    words: str = "",
    action: str = "",
    text: str = "",
    scores: dict[str, float] | None = None,
) -> Hearing:
    return Hearing(
        start_s=utterance.start_s,
        end_s=utterance.end_s,
        phrase=words,
        action=action,
        heard=None,
        why=why,
        text=text or say(WORDS[why]),
        scores=scores or {"snr_db": round(utterance.snr_db, 1)},
    )
