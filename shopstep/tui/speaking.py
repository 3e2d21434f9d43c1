"""What the bench screen says: the card as it opens, alarms, what was refused; and again when asked.

Silent while a machine's step runs, as alarms are, but for its cautions, which come before it is
switched on, and for what is asked for by a key. Imports the words of ``present``; the voice itself
is handed in. Loaded only when voice is on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Protocol

from shopstep.present.card import CardMode, CardTimer, StepCard
from shopstep.present.machines import is_at_machine
from shopstep.present.moments import TimerStage, timer_stage
from shopstep.present.said import URGENT, card_sentences, number_sentences, timer_sentences
from shopstep.present.said_ahead import sentences_ahead
from shopstep.present.spoken_text import say_words
from shopstep.tui.clocks import Alarm
from shopstep.tui.hand import Hand
from shopstep.tui.ringing import AGAIN_S
from shopstep.words import say

BEEP_S = 1.0
"""The alarm's own sound goes first, at most so long."""
ONCE_MORE_S = 15.0
"""Asked again within so long: slower, then only the numbers."""
NORMAL, SLOW = 0.9, 0.7


class Speech(Protocol):
    """What speaks; nothing here makes the screen wait."""

    def say(self, sentences: Sequence[str], pace: float = NORMAL) -> None:
        """In place of what was said before; alarms go first."""
        ...

    def say_alarm(self, sentences: Sequence[str], after_s: float = 0.0) -> None:
        """At once, or after the alarm's own sound."""
        ...

    def prepare(self, sentences: Iterable[str]) -> None:
        """To be made ready beside the work."""
        ...

    @property
    def is_talking(self) -> bool:
        """Whether something is said or waits to be."""
        ...

    def take_trouble(self) -> str:
        """Why nothing is heard; told once."""
        ...

    def stop(self) -> None:
        """Silence for good."""
        ...


class Speaking:
    """Notices what is new on the screen and says it."""

    def __init__(
        self, speech: Speech, monotonic: Callable[[], float], *, at_machines: bool
    ) -> None:
        self._speech, self._monotonic = speech, monotonic
        self._at_machines = at_machines
        self._said_for: tuple[object, ...] = ()
        self._notice = ""
        self._plan_number = 0
        self._stages: dict[CardTimer, TimerStage] = {}
        self._alarm_s = 0
        self._asked_s = -ONCE_MORE_S
        self._times = 0

    def look(self, hand: Hand, open_alarms: tuple[Alarm, ...]) -> bool:
        """Say what is new since the last look; True where there is something to tell in words."""
        now_s = hand.bench.now_s()
        self._look_at_card(hand, now_s)
        self._look_at_timers(hand, open_alarms, now_s)
        trouble = self._speech.take_trouble()
        if trouble:
            hand.told = " ".join(said for said in (hand.told, trouble) if said)
        return bool(trouble)

    @property
    def is_talking(self) -> bool:
        """Whether something is said now, so that nobody else is to be heard."""
        return self._speech.is_talking

    def hush(self) -> None:
        """Somebody wants to speak; an alarm is said to its end."""
        self._speech.say(())

    def tell(self, text: str) -> None:
        """Say the answer to what was heard."""
        self._speech.say((say_words(text),))

    def slower(self, card: StepCard) -> str:
        """Say the card again, slower. Gives ""."""
        self._speech.say(card_sentences(card), SLOW)
        return ""

    def again(self, card: StepCard) -> str:
        """Say the card again; asked once more slower, and then only its numbers. Gives ""."""
        now = self._monotonic()
        self._times = self._times + 1 if now - self._asked_s < ONCE_MORE_S else 1
        self._asked_s = now
        numbers = number_sentences(card)
        if self._times == 3 and numbers:
            self._times = 0
            self._speech.say(numbers, SLOW)
            return ""
        is_slower = self._times >= 2
        self._times = 0 if self._times == 3 else self._times
        self._speech.say(card_sentences(card), SLOW if is_slower else NORMAL)
        return ""

    def _look_at_card(self, hand: Hand, now_s: int) -> None:
        card = hand.card
        if card.plan_number != self._plan_number:
            self._plan_number = card.plan_number
            self._speech.prepare(sentences_ahead(hand.bench.state, hand.bench.plan, now_s))
        said_for = (card.step_id, card.mode)
        is_new, self._said_for = said_for != self._said_for, said_for
        notice, self._notice = self._notice, hand.refused
        if is_new:
            self._asked_s = -ONCE_MORE_S
            self._say(hand, card_sentences(card))
        elif hand.refused and hand.refused != notice:
            self._say(hand, (say_words(say("Not done. {refused}", refused=hand.refused)),))

    def _say(self, hand: Hand, sentences: Sequence[str]) -> None:
        """Where no machine runs; a caution is said before it is switched on."""
        is_caution = hand.card.mode is CardMode.CAUTION
        if is_caution or self._at_machines or not self._is_at_machine(hand):
            self._speech.say(sentences)
        else:
            self._speech.say(())

    def _look_at_timers(self, hand: Hand, open_alarms: tuple[Alarm, ...], now_s: int) -> None:
        stages = {timer: timer_stage(timer, now_s) for timer in hand.card.timers}
        news = [timer for timer, stage in stages.items() if self._is_news(timer, stage)]
        self._stages = stages
        if not news and open_alarms and now_s - self._alarm_s >= AGAIN_S:
            news = [open_alarms[0].timer]
        if not news:
            return
        self._alarm_s = now_s
        if self._is_at_machine(hand) and not self._at_machines:
            return
        zone = hand.bench.plan.zone
        for timer in sorted(news, key=lambda t: (not t.is_most, t.due_s)):
            self._speech.say_alarm(timer_sentences(timer, now_s, zone), BEEP_S)

    def _is_news(self, timer: CardTimer, stage: TimerStage) -> bool:
        before = self._stages.get(timer)
        return stage in URGENT and before is not stage and (before is not None or timer.is_most)

    def _is_at_machine(self, hand: Hand) -> bool:
        return is_at_machine(hand.bench.plan, hand.card.step_id)
