"""A batch followed by what is said into a tablet's microphone, its sound as bytes in the socket."""

from __future__ import annotations

from pathlib import Path
from typing import cast

import numpy as np

from shopstep.model.plan import Plan
from shopstep.present.card import CardCheck, StepCard
from shopstep.voice.hear_cautions import open_cautions
from shopstep.wiring.tablets import LateEars
from shopstep.workbench import Workbench
from tests.fake_bench import FakeBench
from tests.fake_ears import PHRASES
from tests.followed_by_ear import TRIES, Count, Worker, reading_of, reading_words
from tests.shop_sounds import in_shop, speak
from tests.tablet_ear import EarLink, Told, close_all
from tests.tablet_served import Served

AFTER_S = 0.7


class TabletSpeaker(Worker):
    """Speaks to a tablet that is served; what is never taken is tapped at the bench."""

    def __init__(self, plan: Plan, folder: Path, voice: str, noise: str, snr_db: float) -> None:
        super().__init__(plan)
        self.voice, self.noise, self.snr_db = voice, noise, snr_db
        self.dice = np.random.default_rng(11)
        self.count = Count()
        at_server = cast("FakeBench", Workbench(self.journal, self.clock, "tablet"))
        self.served = Served(folder, at_server, ears=LateEars())
        self.web = self.served.paired_web()

    def stop(self) -> None:
        """The server ends, and the ear with it."""
        close_all()
        self.served.stop()

    def answer_caution(self, card: StepCard) -> None:
        """One sentence for each caution."""
        for words in open_cautions(card).values():
            if self.say(words) is None:
                super().answer_caution(self.bench.card())
                return

    def measure(self, card: StepCard, check: CardCheck) -> None:
        """The number, and yes to what was understood; no where it was another."""
        value = reading_words(reading_of(check))
        for _ in range(TRIES):
            told = self.say(f"{PHRASES['measure']} {value}")
            if told is None or "question" not in told:  # where the gap is has to be tapped
                break
            is_right = told["words"].endswith(f" {value}")
            self.say(PHRASES["yes" if is_right else "no"])
            if is_right:
                return
        self.count.tapped += 1
        super().measure(self.bench.card(), check)

    def move(self, card: StepCard, name: str) -> None:
        """The phrase; glue is confirmed, and the label answered by a tap where it is asked for."""
        told = self.say(PHRASES[name])
        if told is not None and "question" in told:
            self.say(PHRASES["yes"])
        if self.bench.card().version == card.version:
            super().move(self.bench.card(), name)

    def say(self, words: str) -> Told | None:
        """Say it until it is taken, and what was told then; None where it never is."""
        for number in range(TRIES):
            self.count.said += 1
            speech = speak(words, self.voice, 150 + 8 * number, 46 + 3 * number)
            sound = in_shop(speech, self.noise, self.snr_db, self.dice, after_s=AFTER_S)
            link = EarLink.open(self.web, self.bench.card().version)
            link.next("open")
            link.say(sound.tobytes())
            for told in link.rest():
                if told["kind"] == "heard" and told["taken"]:
                    assert told["words"] == words, (told, words)
                    self.count.taken += 1
                    return told
        self.count.tapped += 1
        return None
