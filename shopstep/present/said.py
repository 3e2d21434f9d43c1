"""What is said of a card, sentence by sentence: the words of the plain face, for ears.

Cautions first, each number twice, a hand said again; what is only for eyes (sources, keys, counts
of steps) is left out. Imports the card, the words of this room and nothing else.
"""

from __future__ import annotations

import re

from shopstep.present.card import CardCaution, CardCheck, CardMode, CardTimer, StepCard
from shopstep.present.moments import TimerStage, timer_stage, timer_words
from shopstep.present.spoken_text import say_words
from shopstep.session.trials import say_where
from shopstep.words import say

URGENT = frozenset({TimerStage.HALF, TimerStage.NEARLY, TimerStage.LATE, TimerStage.READY})
"""Stages that an alarm says."""
MOST_ALARMS = 3
_UNIT = re.compile(r" \(unit \d+\)$")
_STOPS = re.compile(r"(?<=[.!?])\s+")
_HAND = re.compile(
    r"(?<!\bis )(?<!\bare )(?<!(?:nds|tes|urs|ays) )(?<!(?:nd|te|ur|ay) )\b(?P<hand>left|right)\b"
    r"(?! (?:over|away|after|angle|now|past|through|down|up|behind|under|beyond|against|where)\b)"
    r"(?: (?P<thing>(?!of\b|to\b|and\b|in\b|on\b|at\b|as\b|or\b|from\b|is\b|are\b)[a-z]+))?",
    re.IGNORECASE,
)


def card_sentences(card: StepCard) -> tuple[str, ...]:
    """All that is said of a card, in order; each sentence by itself, in words alone."""
    if card.mode is CardMode.CAUTION:
        said = [line for caution in card.cautions for line in _whole_caution(caution)]
        return _finish([*said, _place(card), _headline(card)])
    said = [
        *(_short_caution(caution) for caution in card.cautions),
        _place(card),
        _headline(card),
        *_numbers(card),
    ]
    fasteners = (
        [say("Fasteners, each unit: {fasteners}", fasteners="; ".join(card.fasteners))]
        if card.fasteners
        else []
    )
    return _finish([*said, card.sentence, *fasteners, *_checks(card), card.notice])


def number_sentences(card: StepCard) -> tuple[str, ...]:
    """Only the numbers of a card, each twice; empty where it has none."""
    return _finish([] if card.mode is CardMode.CAUTION else _numbers(card))


def timer_sentences(timer: CardTimer, now_s: int, zone: str) -> tuple[str, ...]:
    """A running limit as an alarm says it: first what is to be done, then of what."""
    name, _, words = timer_words(timer, now_s, zone).rpartition(f"{timer.name}: ")
    what, _, rest = (words or name).partition(", ")
    return _finish([what, timer.name, rest])


def alarm_sentences(card: StepCard, now_s: int, zone: str) -> tuple[str, ...]:
    """The limits that are urgent or over just now, open glue first; empty where none is."""
    urgent = [timer for timer in card.timers if timer_stage(timer, now_s) in URGENT]
    urgent.sort(key=lambda timer: (not timer.is_most, timer.due_s))
    return tuple(s for timer in urgent[:MOST_ALARMS] for s in timer_sentences(timer, now_s, zone))


def _place(card: StepCard) -> str:
    return (
        say("{card_unit}, pencil mark {mark}", card_unit=card.unit, mark=card.mark)
        if card.mark
        else card.unit
    )


def _headline(card: StepCard) -> str:
    return _UNIT.sub("", card.headline)


def _numbers(card: StepCard) -> list[str]:
    return [
        sentence
        for number in card.numbers
        for sentence in (f"{number.label}: {number.spoken}", number.spoken)
    ]


def _whole_caution(caution: CardCaution) -> list[str]:
    hand = say("Other hand: {hand}", hand=caution.hand) if caution.hand else ""
    return [
        f"{say(caution.signal)}: {caution.harm}",
        say("How to avoid it: {avoid}", avoid=caution.avoid),
        hand,
    ]


def _short_caution(caution: CardCaution) -> str:
    """Before the step itself; the harm of one that was answered is not told over again."""
    way = say("Other hand: {hand}", hand=caution.hand) if caution.hand else caution.avoid
    return f"{say(caution.signal)}: {way if caution.must_ack else f'{caution.harm} {way}'}"


def _checks(card: StepCard) -> list[str]:
    if card.check_run is not None and not any(check.measured for check in card.checks):
        return list(card.check_run.spoken)
    return [_check(check) for check in card.checks]


def _check(check: CardCheck) -> str:
    head = say("Check {place}", place=check.place).rstrip()
    if not check.expected:
        return f"{head}: {check.text}"
    text = f"{head}: {check.text}, {check.expected} {check.tolerance}"
    if not check.measured:
        return text
    verdict = (
        say("good") if check.within else say("kept as it is") if check.accepted else say("outside")
    )
    return say(
        "{text}. Measured {measured}{where}: {verdict}",
        text=text,
        measured=check.measured,
        where=say_where(check.where),
        verdict=verdict,
    )


def _finish(texts: list[str]) -> tuple[str, ...]:
    """Whole sentences with a stop and a capital; one that names one hand is followed by it."""
    said: list[str] = []
    for text in texts:
        for sentence in _STOPS.split(say_words(text)):
            if any(sign.isalpha() for sign in sentence):
                said += [_as_sentence(sentence), *_hand_again(sentence)]
    return tuple(said)


def _hand_again(sentence: str) -> list[str]:
    """The hand, and of what, said again where there is one only; both of them need no stress."""
    found = list(_HAND.finditer(sentence))
    if len({match["hand"].lower() for match in found}) != 1:
        return []
    again = _as_sentence(found[0][0])
    return [] if again == _as_sentence(sentence) else [again]


def _as_sentence(text: str) -> str:
    text = text.strip(" ,;:")
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?", "!")) else f"{text}."
