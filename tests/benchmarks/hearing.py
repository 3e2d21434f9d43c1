"""How well the ear hears, and how often it hears what nobody said.

    python -m tests.benchmarks.hearing [--minutes N] [--voices N] [--enrol N] [--floor]

Synthetic voices (espeak-ng) say every phrase in the noises of a shop; none of these voices was
used when the bounds were set. ``--enrol N`` lets N of them enrol first: other takes of the same
voice are the test, and the voice after it says the same phrases as a stranger. ``--recorded``
fetches recorded sentences (Debian's asterisk-core-sounds-en-g722, CC BY-SA; the package G722 has to
be installed to decode them). Same seed, same numbers.
"""

from __future__ import annotations

import argparse
import importlib
import subprocess
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from shopstep.voice.enrol import fixed_phrases
from shopstep.voice.enrol_training import PersonModel, Take, train_person
from shopstep.voice.hear import Ear, Hearing, utterances, whole_push
from shopstep.voice.hear_audio import RATE, Samples
from shopstep.voice.hear_endpoint import END_QUIET
from shopstep.voice.vocabulary import Vocabulary
from shopstep.wiring.hearing import load_vocabulary, open_ear
from tests.shop_sounds import NOISES, Sound, as_samples, hiss, in_shop, noise_alone, speak

VOICES = ("en-us+m3", "en-us+f2", "en+m7", "en+f4", "en-us+f5", "en+m4")
"""Voices of the test. The bounds were set with m1, f1, Annie and a diphone voice."""
ROWS = (
    ("clean", 0), ("vacuum", 20), ("vacuum", 10), ("vacuum", 5), ("saw", 20), ("saw", 10),
    ("bangs", 10), ("bangs", 5), ("bangs", 0),
)  # fmt: skip
CARDS = (
    ("done", "back", "hold", "why", "more", "again", "slower", "number", "left", "aside", "start",
     "quiet"),
    ("yes", "no", "again"),
    ("resume", "again", "slower"),
    ("accept", "done", "back", "hold", "why", "more", "again", "number", "measure", "take"),
)  # fmt: skip
"""What cards allow together: at a step, with a question, on hold, at a check."""
NEAR = (
    "pause the music", "mark it down", "make it done", "mark it down please", "go back on stage",
    "hold the bat here", "hold the match here", "what is the season", "what else was there",
    "say that a game", "only the lumber please", "put this on the side", "quiet the farm now",
    "no leaf is a loan", "glue comes on cows", "how long is it left to dry", "presume the work now",
    "speak more softly now", "go back home", "the glue is on now", "mark the board",
    "hold this for me", "what is the time", "keep it as a treasure", "how wrong is that",
    "say hello again", "yes do that cow", "know leave me alone", "quite an alarm now",
    "peak hour slowly grows",
)  # fmt: skip
"""What sounds like a phrase and is none."""
TALK = (
    "I think the board is a little too short for this", "could you hand me the pencil over there",
    "the weather is going to turn cold tonight", "we should stop and have some tea",
    "did you hear the news this morning", "my brother bought a new truck last week",
    "the bees were very busy in the garden today", "turn the radio down a bit I cannot hear",
    "that cut is not square at all", "I will be back in ten minutes",
    "how much does a sheet of plywood cost now", "let me look for the other clamp",
    "there is glue all over my hands", "the dog wants to go out again",
    "please close the door behind you", "this one goes on the left side of the box",
    "it took me an hour to find that screw", "who left the light on in the shed",
    "the second coat has to dry over night", "nobody told me that it was raining",
)  # fmt: skip
FIXED = {"measure", "take"}


@dataclass(slots=True)
class Tally:
    """What became of what was said."""

    right: int = 0
    wrong: int = 0
    refused: int = 0
    slow_s: list[float] = field(default_factory=list)

    def add(self, wanted: str, heard: Sequence[Hearing]) -> None:
        """One saying and all that was heard of it: wrong counts before right."""
        taken = [each.phrase for each in heard if each.heard is not None]
        if any(phrase != wanted for phrase in taken):
            self.wrong += 1
        elif taken:
            self.right += 1
        else:
            self.refused += 1

    @property
    def line(self) -> str:
        """Right, wrong and refused in per cent, and how many."""
        count = max(self.right + self.wrong + self.refused, 1)
        parts = (self.right, self.wrong, self.refused)
        return "  ".join(f"{100 * part / count:5.1f}" for part in parts) + f"   of {count}"


def card_of(action: str) -> tuple[str, ...]:
    """A card that allows an action."""
    return next(card for card in CARDS if action in card)


def sayings(vocabulary: Vocabulary) -> list[tuple[str, str]]:
    """Action and words of every phrase without a number."""
    return [(p.action, p.words) for p in vocabulary.phrases if p.action not in FIXED]


def voice_says(words: str, voice: str, take: int) -> Sound:
    """A take of a voice: speed and pitch differ from take to take."""
    return speak(words, voice, 150 + 7 * (take % 6), 42 + 3 * (take % 5))


def heard_in(ear: Ear, sound: Samples, card: tuple[str, ...], *, push: bool) -> list[Hearing]:
    """What the ear makes of a recording."""
    found = [whole_push(sound)] if push else utterances(sound)
    return [ear.judge(utterance, card) for utterance in found]


def accuracy(ear: Ear, voices: Sequence[str], noise: str, snr_db: float, *, push: bool) -> Tally:
    """Every phrase by every voice once."""
    dice, tally = np.random.default_rng(21), Tally()
    for voice in voices:
        for number, (action, words) in enumerate(sayings(ear.vocabulary)):
            speech = voice_says(words, voice, number)
            around_s = 0.35 if push else 0.8
            sound = in_shop(speech, noise, snr_db, dice, around_s, around_s)
            begin = time.process_time()
            tally.add(words, heard_in(ear, sound, card_of(action), push=push))
            tally.slow_s.append(time.process_time() - begin)
    return tally


def near_misses(ear: Ear, voices: Sequence[str], noise: str, snr_db: float) -> tuple[int, int]:
    """Near misses that were taken for a phrase, and how many were said."""
    dice, taken = np.random.default_rng(22), 0
    for voice in voices:
        for number, words in enumerate(NEAR):
            sound = in_shop(voice_says(words, voice, number), noise, snr_db, dice)
            heard = [h for card in CARDS[:2] for h in heard_in(ear, sound, card, push=False)]
            taken += any(each.heard is not None for each in heard)
    return taken, len(voices) * len(NEAR)


def talk_for(seconds: float, voices: Sequence[str]) -> Iterator[Samples]:
    """Other people's talk, sentence by sentence with pauses, in a quiet shop or beside a vacuum."""
    dice, told_s, number = np.random.default_rng(23), 0.0, 0
    while told_s < seconds:
        words = TALK[number % len(TALK)]
        voice = voices[number // len(TALK) % len(voices)]
        noise = ("clean", "vacuum")[number % 2]
        sound = in_shop(voice_says(words, voice, number), noise, 20, dice)
        told_s += len(sound) / RATE
        number += 1
        yield sound


def noise_for(seconds: float) -> Iterator[Samples]:
    """Machines and bangs with nobody speaking, in stretches of 20 s."""
    dice = np.random.default_rng(24)
    for number in range(max(1, round(seconds / 20))):
        noise = tuple(NOISES)[number % len(NOISES)]
        yield noise_alone(noise, 20, float(dice.uniform(0.01, 0.06)), dice)


def recorded(folder: Path) -> Iterator[Samples]:
    """Recorded sentences of a person, fetched as a package; see the module's words."""
    package = "asterisk-core-sounds-en-g722"
    subprocess.run(["apt-get", "download", package], cwd=folder, check=True, capture_output=True)
    (file,) = folder.glob(f"{package}*.deb")
    subprocess.run(["dpkg", "-x", str(file), str(folder / "sounds")], check=True)
    coder = importlib.import_module("G722")
    for path in sorted((folder / "sounds").rglob("*.g722")):
        sound = np.asarray(coder.G722(RATE, 64000).decode(path.read_bytes()), np.float64) / 32768
        padded = np.concatenate([np.zeros(RATE), sound, np.zeros(RATE)])
        yield as_samples(padded + 0.0006 * hiss(len(padded), np.random.default_rng(25), -0.3))


def false_accepts(ear: Ear, sounds: Iterator[Samples]) -> tuple[int, float, list[str]]:
    """How often something was taken for a phrase, in how many seconds, and for which."""
    taken: list[str] = []
    length_s = 0.0
    for sound in sounds:
        length_s += len(sound) / RATE
        taken += [h.phrase for h in heard_in(ear, sound, CARDS[0], push=False) if h.heard]
    return len(taken), length_s, taken


def enrolled(voice: str, vocabulary: Vocabulary) -> PersonModel:
    """The model of a voice: three takes of each phrase in a quiet shop, and each noise alone."""
    dice = np.random.default_rng(26)
    takes: dict[str, list[Take]] = {}
    for words in fixed_phrases(vocabulary):
        for number in range(3):
            speech = speak(words, voice, 152 + 15 * number, 44 + 7 * number)
            (found, *_) = utterances(in_shop(speech, "clean", 0, dice))
            takes.setdefault(words, []).append(Take(found.samples, found.lead))
    noises = [noise_alone(noise, 10, 0.03, dice) for noise in ("vacuum", "saw")]
    return train_person(takes, [*noises, as_samples(0.0006 * hiss(5 * RATE, dice, -0.3))])


def main() -> None:
    """Print the tables."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--minutes", type=float, default=10.0, help="of talk and of noise, each")
    options.add_argument("--voices", type=int, default=len(VOICES))
    options.add_argument("--enrol", type=int, default=0, help="so many voices enrol")
    options.add_argument("--floor", action="store_true", help="follow a whole floor by ear")
    options.add_argument("--recorded", action="store_true", help="fetch recorded sentences")
    chosen = options.parse_args()
    ear, voices = open_ear(), VOICES[: chosen.voices]
    print_accuracy(ear, voices)
    print_false_accepts(ear, voices, chosen.minutes * 60)
    if chosen.recorded:
        with tempfile.TemporaryDirectory() as folder:
            print_accepts("recorded sentences", false_accepts(ear, recorded(Path(folder))))
    for voice in voices[: chosen.enrol]:
        print_enrolled(voice, voices)
    if chosen.floor:
        print_floor(ear, voices[0])


def print_accuracy(ear: Ear, voices: Sequence[str]) -> None:
    """The table of right, wrong and refused."""
    print(f"{'way':6} {'noise':8} {'dB':>3}   right  wrong  refused (%)")
    times: list[float] = []
    for push in (True, False):
        for noise, snr_db in ROWS:
            tally = accuracy(ear, voices, noise, snr_db, push=push)
            times += tally.slow_s
            way = "push" if push else "armed"
            print(f"{way:6} {noise:8} {snr_db:3}   {tally.line}", flush=True)
    wait_s = END_QUIET / 100
    print(
        f"from the end of speech: {wait_s:.2f} s of silence, then {np.median(times):.2f} s of "
        f"processor time (95 %: {np.quantile(times, 0.95):.2f} s)"
    )


def print_false_accepts(ear: Ear, voices: Sequence[str], seconds: float) -> None:
    """Near misses, talk and noise."""
    for noise, snr_db in (("clean", 0.0), ("vacuum", 20.0)):
        taken, count = near_misses(ear, voices[:3], noise, snr_db)
        print(f"near misses, {noise} {snr_db:g}: {taken} of {count} taken", flush=True)
    print_accepts("synthetic talk", false_accepts(ear, talk_for(seconds, voices)))
    print_accepts("noise alone", false_accepts(ear, noise_for(seconds)))


def print_accepts(name: str, found: tuple[int, float, list[str]]) -> None:
    """One line of false accepts."""
    taken, length_s, phrases = found
    rate = taken / length_s * 3600
    print(f"{name}: {taken} taken in {length_s / 60:.1f} min ({rate:.0f} an hour) {phrases[:6]}")


def print_enrolled(voice: str, voices: Sequence[str]) -> None:
    """What a model of one voice is worth, for this voice and for a stranger."""
    begin = time.process_time()
    ear = open_ear()
    ear.second = enrolled(voice, load_vocabulary())
    print(f"{voice} enrolled in {time.process_time() - begin:.0f} s of processor time")
    for noise, snr_db in ROWS:
        tally = accuracy(ear, [voice], noise, snr_db, push=False)
        print(f"own    {noise:8} {snr_db:3}   {tally.line}", flush=True)
    taken, count = near_misses(ear, [voice], "clean", 0)
    print(f"near misses: {taken} of {count} taken")
    other = voices[(voices.index(voice) + 1) % len(voices)]
    print(f"stranger {other}: {accuracy(ear, [other], 'clean', 0, push=False).line}")


def print_floor(ear: Ear, voice: str) -> None:
    """A whole floor by ear at 20 dB beside the same by taps."""
    from tests.floor import floor_plan
    from tests.followed_by_ear import Speaker, Worker, what_happened

    tapped, spoken = (
        Worker(floor_plan(units=1)),
        Speaker(floor_plan(units=1), ear, voice, "vacuum", 20),
    )
    tapped.follow(1000)
    spoken.follow(1000)
    same = what_happened(tapped.journal) == what_happened(spoken.journal)
    print(f"a whole floor by ear: same events {same}; {spoken.count}")


if __name__ == "__main__":
    main()
