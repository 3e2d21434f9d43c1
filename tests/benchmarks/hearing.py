"""How well the ear hears, and how often it hears what nobody said.

    python -m tests.benchmarks.hearing [--minutes N] [--voices N] [--enrol N] [--parts …]

Synthetic voices (espeak-ng) say every phrase in the noises of a shop; none of these voices was
used when the bounds were set. Each way of listening is told with the grammar alone and with the
second ear; open listening has both always. ``--enrol N`` lets N of them enrol first: other takes of
the same voice are the test, and the voice after it says the same phrases as a stranger. The part
``recorded`` fetches recorded sentences (Debian's asterisk-core-sounds-en-g722, CC BY-SA; the
package G722 has to be installed to decode them); 25 minutes of them, 44 with the pauses between, so
that with ten minutes each of talk and of noise it is more than an hour. Same seed, same numbers.
"""

from __future__ import annotations

import argparse
import importlib
import subprocess
import tempfile
import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from shopstep.voice.enrol import fixed_phrases
from shopstep.voice.enrol_training import PersonModel, Take, train_person
from shopstep.voice.hear import OPEN_FIT, Ear, Hearing, utterances, whole_push
from shopstep.voice.hear_audio import RATE, Samples
from shopstep.voice.hear_endpoint import END_QUIET, Utterance
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
WAYS = ("alone", "both", "open")
"""Who judges: the grammar alone, both ears, both where the microphone is always open."""


@dataclass(slots=True)
class Tally:
    """What became of what was said."""

    right: int = 0
    wrong: int = 0
    refused: int = 0

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


def ears_of(ear: Ear) -> dict[str, Ear]:
    """By the name of WAYS: the grammar alone, both ears, and both where it listens always."""
    return {
        "alone": replace(ear, again=None),
        "both": ear,
        "open": replace(ear, is_always_open=True),
    }


def heard_in(
    ear: Ear, sound: Samples, card: tuple[str, ...], *, push: bool = False
) -> dict[str, list[Hearing]]:
    """What is made of a recording, by the name of WAYS."""
    heard: dict[str, list[Hearing]] = {way: [] for way in WAYS}
    for utterance in [whole_push(sound)] if push else utterances(sound):
        first = ear.judge_alone(utterance, card)
        for way, each in ears_of(ear).items():
            heard[way].append(each.judge_again(utterance, card, (), first))
    return heard


def accuracy(
    ear: Ear, voices: Sequence[str], noise: str, snr_db: float, *, push: bool
) -> dict[str, Tally]:
    """Every phrase by every voice once, by the name of WAYS."""
    dice, tallies = np.random.default_rng(21), {way: Tally() for way in WAYS}
    for voice in voices:
        for number, (action, words) in enumerate(sayings(ear.vocabulary)):
            speech = voice_says(words, voice, number)
            around_s = 0.35 if push else 0.8
            sound = in_shop(speech, noise, snr_db, dice, around_s, around_s)
            for way, heard in heard_in(ear, sound, card_of(action), push=push).items():
                tallies[way].add(words, heard)
    return tallies


def time_to_hear(ear: Ear, voice: str) -> dict[str, list[float]]:
    """Processor seconds from the end of an utterance to the command, by the name of WAYS."""
    dice, found = np.random.default_rng(27), {way: list[float]() for way in WAYS}
    for number, (action, words) in enumerate(sayings(ear.vocabulary)):
        sound = in_shop(voice_says(words, voice, number), "vacuum", 20, dice)
        for way, each in ears_of(ear).items():
            for utterance in utterances(sound):
                begin = time.process_time()
                each.judge(utterance, card_of(action))
                found[way].append(time.process_time() - begin)
    return found


def near_misses(
    ear: Ear, voices: Sequence[str], noise: str, snr_db: float
) -> tuple[dict[str, int], int]:
    """Near misses that were taken for a phrase, by the name of WAYS, and how many were said."""
    dice, taken = np.random.default_rng(22), dict.fromkeys(WAYS, 0)
    for voice in voices:
        for number, words in enumerate(NEAR):
            sound = in_shop(voice_says(words, voice, number), noise, snr_db, dice)
            heard = [heard_in(ear, sound, card) for card in CARDS[:2]]
            for way in WAYS:
                taken[way] += any(h.heard is not None for each in heard for h in each[way])
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


def false_accepts(ear: Ear, sounds: Iterable[Samples]) -> tuple[dict[str, list[str]], float]:
    """What was taken for a phrase, by the name of WAYS, and in how many seconds."""
    taken: dict[str, list[str]] = {way: [] for way in WAYS}
    length_s = 0.0
    for sound in sounds:
        length_s += len(sound) / RATE
        for way, heard in heard_in(ear, sound, CARDS[0]).items():
            taken[way] += [each.phrase for each in heard if each.heard]
    return taken, length_s


def opens_take(ear: Ear, utterance: Utterance) -> str:
    """What is taken where it listens always: what both ears take, so that the slower one is asked
    only about what the second one would take. Empty for nothing."""
    assert ear.again is not None
    phrases = [p.words for p in ear.vocabulary.among(CARDS[0])]
    if max(ear.again.fits(utterance.samples, phrases).values()) < OPEN_FIT:
        return ""
    found = replace(ear, is_always_open=True).judge(utterance, CARDS[0])
    return found.phrase if found.heard else ""


def open_accepts(ear: Ear, sounds: Iterable[Samples]) -> tuple[dict[str, list[str]], float]:
    """As ``false_accepts``, of open listening only and in a third of the time."""
    taken, length_s = list[str](), 0.0
    for sound in sounds:
        length_s += len(sound) / RATE
        taken += [words for each in utterances(sound) if (words := opens_take(ear, each))]
    return {"open": taken}, length_s


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
    options.add_argument(
        "--parts", default="accuracy,time,near,talk,noise", help="also: recorded, floor"
    )
    options.add_argument("--only-open", action="store_true", help="false accepts: open only")
    chosen = options.parse_args()
    accepts = open_accepts if chosen.only_open else false_accepts
    ear, voices, parts = open_ear(), VOICES[: chosen.voices], chosen.parts.split(",")
    if "accuracy" in parts:
        print_accuracy(ear, voices)
    if "time" in parts:
        print_time(ear, voices[0])
    if "near" in parts:
        print_near(ear, voices[:3])
    if "talk" in parts:
        print_accepts("synthetic talk", accepts(ear, talk_for(chosen.minutes * 60, voices)))
    if "noise" in parts:
        print_accepts("noise alone", accepts(ear, noise_for(chosen.minutes * 60)))
    if "recorded" in parts:
        with tempfile.TemporaryDirectory() as folder:
            print_accepts("recorded sentences", accepts(ear, recorded(Path(folder))))
    for voice in voices[: chosen.enrol]:
        print_enrolled(voice, voices)
    if "floor" in parts:
        print_floor(ear, voices[0])


def print_accuracy(ear: Ear, voices: Sequence[str]) -> None:
    """The table of right, wrong and refused."""
    print(f"{'way':6} {'ears':6} {'noise':8} {'dB':>3}   right  wrong  refused (%)")
    for noise, snr_db in ROWS:
        for push in (True, False):
            tallies = accuracy(ear, voices, noise, snr_db, push=push)
            for way, tally in tallies.items():
                if push and way == "open":
                    continue
                name = "open" if way == "open" else "push" if push else "armed"
                print(f"{name:6} {way:6} {noise:8} {snr_db:3}   {tally.line}", flush=True)


def print_time(ear: Ear, voice: str) -> None:
    """How long somebody waits."""
    for way, times in time_to_hear(ear, voice).items():
        print(
            f"{way}: from the end of speech {END_QUIET / 100:.2f} s of silence, then "
            f"{np.median(times):.2f} s of processor time (95 %: {np.quantile(times, 0.95):.2f} s)"
        )


def print_near(ear: Ear, voices: Sequence[str]) -> None:
    """Near misses."""
    for noise, snr_db in (("clean", 0.0), ("vacuum", 20.0)):
        taken, count = near_misses(ear, voices, noise, snr_db)
        print(f"near misses, {noise} {snr_db:g}: taken {taken} of {count}", flush=True)


def print_accepts(name: str, found: tuple[dict[str, list[str]], float]) -> None:
    """A line of false accepts for each of WAYS."""
    taken, length_s = found
    for way, phrases in taken.items():
        rate = len(phrases) / length_s * 3600
        print(
            f"{name}, {way}: {len(phrases)} taken in {length_s / 60:.1f} min "
            f"({rate:.0f} an hour) {sorted(set(phrases))}",
            flush=True,
        )


def print_enrolled(voice: str, voices: Sequence[str]) -> None:
    """What a model of one voice is worth, for this voice and for a stranger."""
    begin = time.process_time()
    ear = open_ear()
    ear.second = enrolled(voice, load_vocabulary())
    print(f"{voice} enrolled in {time.process_time() - begin:.0f} s of processor time")
    for noise, snr_db in ROWS:
        for way, tally in accuracy(ear, [voice], noise, snr_db, push=False).items():
            print(f"own    {way:6} {noise:8} {snr_db:3}   {tally.line}", flush=True)
    print_near(ear, [voice])
    other = voices[(voices.index(voice) + 1) % len(voices)]
    for way, tally in accuracy(ear, [other], "clean", 0, push=False).items():
        print(f"stranger {other} {way}: {tally.line}", flush=True)


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
