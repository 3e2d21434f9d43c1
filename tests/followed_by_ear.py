"""A batch followed twice: by taps, and by what a synthetic voice says in the noise of a shop."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopstep.model.plan import Plan
from shopstep.present.card import CardCheck, CardMode, StepCard
from shopstep.present.spoken import say_integer
from shopstep.session import commands as c
from shopstep.session.events import Event
from shopstep.storage.clock import FixedClock
from shopstep.units import Length
from shopstep.voice.hear import Ear, utterances
from shopstep.voice.hear_cautions import open_cautions
from shopstep.voice.hear_follow import Follower
from shopstep.voice.hear_numbers import read_length
from shopstep.workbench import Workbench
from tests.floor import BEGIN_S
from tests.session_bench import MemoryJournal, new_id
from tests.shop_sounds import in_shop, speak

TRIES = 5
"""How often a thing that was refused is said again, before it is tapped."""
_STEP_S = 20


def what_happened(journal: MemoryJournal) -> list[Event]:
    """The events without their ids and faces."""
    return [envelope.event for envelope in journal.stored]


def reading_of(check: CardCheck) -> Length:
    """What is read off the work: what is expected, to half a millimetre."""
    return Length(500_000 * round((check.expected_nm or 0) / 500_000))


def reading_words(length: Length) -> str:
    """``forty point five millimeters``."""
    whole, rest = divmod(length.nm, 1_000_000)
    point = f" point {say_integer(rest // 100_000)}" if rest else ""
    return f"{say_integer(whole).replace('-', ' ')}{point} millimeters"


def to_measure(card: StepCard) -> CardCheck | None:
    """The first check that has no number yet."""
    numbered = [check for check in card.checks if check.expected_nm is not None]
    return next((check for check in numbered if not check.measured), None)


class Worker:
    """Somebody at a bench whose clock stands until they set it."""

    def __init__(self, plan: Plan) -> None:
        self.journal = MemoryJournal(plan)
        self.clock = FixedClock(BEGIN_S)
        self.bench = Workbench(self.journal, self.clock, "bench")

    def follow(self, most: int) -> StepCard:
        """Do what the card asks, at most so many times or until the batch is complete."""
        card = self.bench.card()
        for _ in range(most):
            if card.mode is CardMode.COMPLETE:
                break
            self.clock.at_s += _STEP_S
            if card.mode is CardMode.WAITING:
                due = [t.due_s for t in card.timers if t.due_s >= self.clock.at_s]
                self.clock.at_s = min(due)
            else:
                self.work(card)
            card = self.bench.card()
        return card

    def work(self, card: StepCard) -> None:
        """One thing of the card."""
        ids = [action.id for action in card.actions]
        check = to_measure(card)
        if "ack" in ids:
            self.answer_caution(card)
        elif check is not None:
            self.measure(card, check)
        else:
            self.move(card, "start" if "start" in ids else "done")

    def answer_caution(self, card: StepCard) -> None:
        """By a tap."""
        self.tap(c.AcknowledgeCaution(id=new_id(), step=card.step_id, seen=card.version))

    def measure(self, card: StepCard, check: CardCheck) -> None:
        """By the keys of the pad."""
        value = reading_of(check)
        self.tap(
            c.TakeMeasure(
                id=new_id(), step=card.step_id, seen=card.version, name=check.name, value=value
            )
        )

    def move(self, card: StepCard, name: str) -> None:
        """Start or done by a tap; the label is asked for once."""
        kind = c.StartSpreading if name == "start" else c.FinishStep
        command = kind(id=new_id(), step=card.step_id, seen=card.version)
        if not self.tap(command):
            self.tap(c.ReadLabel(id=new_id(), step=card.step_id, seconds=0))
            assert self.tap(kind(id=new_id(), step=card.step_id))

    def tap(self, command: c.Command) -> bool:
        """Whether it was carried out."""
        outcome = self.bench.do(command)
        assert not isinstance(outcome, c.Refusal) or outcome.rule == "label", outcome
        return not isinstance(outcome, c.Refusal)


@dataclass(slots=True)
class Count:
    """What the ear made of what was said."""

    said: int = 0
    taken: int = 0
    tapped: int = 0


class Speaker(Worker):
    """The same, who speaks."""

    def __init__(self, plan: Plan, ear: Ear, voice: str, noise: str, snr_db: float) -> None:
        super().__init__(plan)
        self.ear, self.voice, self.noise, self.snr_db = ear, voice, noise, snr_db
        self.dice = np.random.default_rng(11)
        self.follower = Follower(self.bench, ear, new_id=new_id)
        self.at_s = 0.0
        self.count = Count()

    def answer_caution(self, card: StepCard) -> None:
        """One sentence for each caution."""
        for words in open_cautions(card).values():
            if not self.say(words):
                super().answer_caution(card)
                return

    def measure(self, card: StepCard, check: CardCheck) -> None:
        """The number, and yes to what was understood; no where it was another."""
        phrase = self.ear.vocabulary.of("measure")[0]
        value = reading_of(check)
        for _ in range(TRIES):
            if not self.say(f"{phrase} {reading_words(value)}"):
                break
            asked = self.follower.state.asked
            if asked is None:  # where the gap is has to be tapped
                break
            assert isinstance(asked.command, c.TakeMeasure)
            is_right = asked.command.value == value
            self.say(self.ear.vocabulary.of("yes" if is_right else "no")[0])
            if is_right:
                return
        self.count.tapped += 1
        super().measure(self.bench.card(), check)

    def move(self, card: StepCard, name: str) -> None:
        """The phrase; glue is confirmed, and the label answered by a tap where it is asked for."""
        before = card.version
        if not self.say(self.ear.vocabulary.of(name)[0]):
            super().move(self.bench.card(), name)
            return
        if self.follower.state.asked is not None:
            self.say(self.ear.vocabulary.of("yes")[0])
        if self.bench.card().version == before:
            super().move(self.bench.card(), name)

    def say(self, words: str) -> bool:
        """Say it until it is taken; False where it never is."""
        for number in range(TRIES):
            self.at_s += 12.0
            self.count.said += 1
            speech = speak(words, self.voice, 150 + 8 * number, 46 + 3 * number)
            sound = in_shop(speech, self.noise, self.snr_db, self.dice)
            for utterance in utterances(sound):
                turn = self.follower.hear(utterance, self.at_s)
                if turn.reply is not None:
                    assert is_meant(turn.hearing.phrase, words), (turn.hearing.phrase, words)
                    self.count.taken += 1
                    return True
        self.count.tapped += 1
        return False


def is_meant(heard: str, words: str) -> bool:
    """Whether it was heard as it was said; a length may be in the singular or the plural."""
    length = read_length(words)
    return heard == words or (length is not None and read_length(heard) == length)
