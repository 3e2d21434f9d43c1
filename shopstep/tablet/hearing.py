"""What a tablet says: the ear beside the server, and what comes of each phrase.

One opening of a microphone is about one card; what was said about another one does nothing. Imports
the policy of ``voice``, which knows no sound, and is itself loaded only when a tablet listens.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from shopstep.model.step import Step
from shopstep.present.card import StepCard
from shopstep.present.face import Answer, Bench
from shopstep.present.moments import TimerStage, timer_stage, timer_words
from shopstep.session.commands import Command, Refusal
from shopstep.tablet.bench_thread import BenchThread
from shopstep.tablet.ports import Ears
from shopstep.tablet.sheet import take_labels
from shopstep.voice.hear_follow import Talk
from shopstep.voice.hear_news import CHANGED, Grammar, Judged, Level, News, Order, Ready, Trouble
from shopstep.voice.hear_policy import ASKED_S, Heard, is_open
from shopstep.voice.listening import ARMED_S, MORE_S, PUSHED_S
from shopstep.voice.vocabulary import ACK
from shopstep.words import say, to_say

LET_GO = to_say("This tablet is not paired any more.")
NOTHING_ASKED = to_say("Nothing waits for an answer any more.")
_MOST_DEVICES = 10
"""What was asked back is remembered of so many devices."""
_PRESSING = (TimerStage.NEARLY, TimerStage.LATE)
_SILENCE = bytes(1600)
"""Fed after the last sound: its level says that all before it was judged."""
Values = dict[str, Any]
Key = tuple[int, str, str]


class EarGone(Exception):
    """The ear has ended, in one sentence."""


@dataclass(slots=True)
class Opening:
    """One time that a tablet's microphone is open."""

    device: str
    key: Key
    grammar: Grammar
    is_begun: bool = False
    is_cut: bool = False
    is_heard: bool = False
    """Something was judged, and the page was told."""
    is_over: bool = False
    """A phrase was taken, or all that was said is judged."""
    told: Level | None = None
    """The level that the page knows of."""


@dataclass(slots=True)
class _Door:
    """The session as what is heard sees it; keeps why a command was refused."""

    bench: Bench
    refusal: Refusal | None = None

    def card(self) -> StepCard:
        return self.bench.card()

    def ready(self) -> tuple[Step, ...]:
        return self.bench.ready()

    def do(self, command: Command) -> Answer | Refusal:
        outcome = self.bench.do(command)
        self.refusal = outcome if isinstance(outcome, Refusal) else None
        return outcome


@dataclass(slots=True)
class _Talker:
    """What was asked back to one device, and what it can take back."""

    door: _Door
    talk: Talk
    asked_back: str = ""


@dataclass(slots=True)
class Hearing:
    """Feeds one ear, and acts on what it takes for certain. Use from one event loop."""

    ears: Ears
    bench: BenchThread
    is_paired: Callable[[str], bool]
    monotonic: Callable[[], float]
    _talkers: dict[str, _Talker] = field(default_factory=dict)
    _phrases: dict[str, str] = field(default_factory=dict)
    _about: int = 0
    _fed: int = 0
    _levels: int = 0
    """Pieces of sound that were fed, and those that the ear is through with."""

    async def open(self, device: str, seen: int) -> Opening | None:
        """A microphone opens at a device that sees the card of that version; None where another
        card stands there by now."""
        self._about += 1
        return await self.bench.use(lambda bench: self._look(bench, device, seen))

    def words_of(self, opening: Opening) -> Values:
        """What the page is told when it opens: how long, and what may be said."""
        grammar = opening.grammar
        said = {name: self._phrases[name] for name in grammar.actions if name in self._phrases}
        if "measure" in said:
            said["measure"] += " …"
        if "take" in said:
            before, _, last = said["take"].rpartition(" ")
            said["take"] = f"{before} … {last}"
        sayings = [*(grammar.cautions if ACK in grammar.actions else ()), *said.values()]
        times = {
            "pushed_s": PUSHED_S,
            "armed_s": ARMED_S,
            "more_s": MORE_S,
            "changed": say(CHANGED),
        }
        return {"kind": "open", "sayings": sayings} | times

    def feed(self, opening: Opening, sound: bytes) -> None:
        """Sound of the opening; the first piece is what was heard just before it."""
        if opening.is_begun:
            self._feed(sound)
            return
        opening.is_begun = True
        self.ears.order(Order(None, is_fresh=True))
        self._feed(sound)
        self.ears.order(Order(opening.grammar))

    def cut(self, opening: Opening) -> None:
        """What was said until now is all."""
        if not opening.is_begun:
            opening.is_over = True
        if not opening.is_cut:
            opening.is_cut = True
            self.ears.order(Order(None, is_cut=True))
            self._feed(_SILENCE)

    def close(self, opening: Opening) -> None:
        """Nothing of it is looked at any more."""
        if not opening.is_cut:
            self.ears.order(Order(None))

    def _feed(self, sound: bytes) -> None:
        self._fed += 1
        self.ears.feed(sound)

    async def news(self, opening: Opening) -> list[Values]:
        """What the page is to be told since the last call. EarGone where nothing is heard any
        more."""
        told: list[Values] = []
        for news in self.ears.news():
            if not opening.is_over or isinstance(news, Level | Trouble):
                told += await self._take(opening, news)
        if opening.is_cut and not opening.is_over and self._levels >= self._fed:
            opening.is_over = True
            told += [] if opening.is_heard else [{"kind": "nobody"}]
        return told

    async def _take(self, opening: Opening, news: News) -> list[Values]:
        if isinstance(news, Trouble):
            raise EarGone(news.text)
        if isinstance(news, Ready):
            for action, words in news.phrases:
                self._phrases.setdefault(action, words)
            return [self.words_of(opening)]
        if isinstance(news, Level):
            self._levels += 1
            return _level(opening, news)
        if news.about != opening.grammar.about:
            return []
        return [await self._judged(opening, news)]

    async def _judged(self, opening: Opening, news: Judged) -> Values:
        heard, opening.is_heard = news.heard, True
        if heard is None:
            return _not_taken(news.text, news.phrase)
        opening.is_over = True
        return await self.bench.use(lambda bench: self._act(bench, opening, heard))

    async def tapped(self, device: str, seen: int, action: str) -> Values:
        """Yes or no by a tap to what was asked back: the same as its phrase."""
        return await self.bench.use(lambda bench: self._tapped(bench, device, seen, action))

    def asked_back(self, device: str) -> str:
        """What a device was asked back last, or told; empty for nothing."""
        talker = self._talkers.get(device)
        return talker.asked_back if talker else ""

    # In the thread of the session

    def _look(self, bench: Bench, device: str, seen: int) -> Opening | None:
        card = bench.card()
        if card.version != seen:
            return None
        talk = self._talker(bench, device).talk
        now_s = bench.now_s()
        talk.rings = any(timer_stage(timer, now_s) in _PRESSING for timer in card.timers)
        actions, cautions = talk.allowed(self.monotonic())
        return Opening(device, _key(card), Grammar(self._about, actions, cautions))

    def _talker(self, bench: Bench, device: str) -> _Talker:
        if device not in self._talkers:
            if len(self._talkers) >= _MOST_DEVICES:
                self._talkers.pop(next(iter(self._talkers)))
            door = _Door(bench)
            self._talkers[device] = _Talker(door, Talk(door))
        return self._talkers[device]

    def _act(self, bench: Bench, opening: Opening, heard: Heard) -> Values:
        if not self.is_paired(opening.device):
            return _not_taken(say(LET_GO))
        if _key(bench.card()) != opening.key:
            return _not_taken(say(CHANGED))
        return self._do(bench, self._talker(bench, opening.device), heard)

    def _tapped(self, bench: Bench, device: str, seen: int, action: str) -> Values:
        talker, card = self._talkers.get(device), bench.card()
        if talker is None or card.version != seen:
            return {"ok": False, "text": say(NOTHING_ASKED)}
        if not is_open(talker.talk.state, card, self.monotonic()):
            return {"ok": False, "text": say(NOTHING_ASKED)}
        told = self._do(bench, talker, Heard(action, self._phrases.get(action, action)))
        return {"ok": not told["refused"]} | {k: told[k] for k in ("text", "ask") if k in told}

    def _do(self, bench: Bench, talker: _Talker, heard: Heard) -> Values:
        talker.door.refusal = None
        done = talker.talk.answer(heard, self.monotonic())
        reply, last = done.reply, talker.talk.state.last
        was_done = reply.command is not None and not done.refused
        if was_done:
            self.bench.was_done()
        talker.asked_back = done.refused or reply.text
        told: Values = {
            "kind": "heard",
            "taken": True,
            "words": heard.words,
            "text": talker.asked_back,
            "refused": bool(done.refused) or reply.is_refusal,
            "undo": "",
            "look": reply.look,
        }
        if was_done and not reply.is_undo and last is not None and last.undo is not None:
            told["undo"] = self._phrases.get("back", "")
        if reply.is_question:
            answers = [self._phrases.get(name, name) for name in ("yes", "no")]
            told["question"] = {"text": reply.text, "answers": answers, "for_s": ASKED_S}
        if reply.look in _LOOKS:
            title, rows = _LOOKS[reply.look](bench)
            talker.asked_back = ". ".join(rows)
            told["page"] = {"title": title, "rows": [["", row] for row in rows]}
        refusal = talker.door.refusal
        return told | (self.bench.way_on(refusal, "") if refusal is not None else {})


def _key(card: StepCard) -> Key:
    """What stands at the bench; an utterance belongs to it."""
    return card.version, card.step_id, card.mode.value


def _level(opening: Opening, news: Level) -> list[Values]:
    """Told where it is another one than the page knows of; it measures how loud it is itself."""
    told, opening.told = opening.told, news
    if told and (told.in_speech, told.is_too_loud) == (news.in_speech, news.is_too_loud):
        return []
    return [{"kind": "level", "in_speech": news.in_speech, "too_loud": news.is_too_loud}]


def _not_taken(text: str, nearest: str = "") -> Values:
    return {"kind": "heard", "taken": False, "text": text, "words": nearest}


def _numbers(bench: Bench) -> tuple[str, list[str]]:
    return say("The numbers"), [f"{number.label} {number.text}" for number in bench.card().numbers]


def _left(bench: Bench) -> tuple[str, list[str]]:
    now_s, zone = bench.now_s(), bench.plan.zone
    return say("What is left"), [timer_words(timer, now_s, zone) for timer in bench.card().timers]


def _ready(bench: Bench) -> tuple[str, list[str]]:
    return say("What else could be done"), [
        f"{number}. {label}" for number, label in enumerate(take_labels(bench), 1)
    ]


_LOOKS: dict[str, Callable[[Bench], tuple[str, list[str]]]] = {
    "number": _numbers,
    "left": _left,
    "more": _ready,
}
"""Pages that answer a phrase; the page itself has the others."""
