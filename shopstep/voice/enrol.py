"""A person's own takes: from a folder of recordings or one by one, and the model kept of them.

The recordings are not kept, only what was learned. Imports the training and the endpointer.
"""

from __future__ import annotations

import json
import re
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from shopstep.voice.enrol_features import BANDS
from shopstep.voice.enrol_net import CHANNELS, WIDTH
from shopstep.voice.enrol_training import PersonModel, Take, train_person
from shopstep.voice.hear import utterances
from shopstep.voice.hear_audio import AudioError, Samples, read_wav
from shopstep.voice.vocabulary import Vocabulary
from shopstep.words import say

TAKES = 3
"""Of each phrase."""
KIND, VERSION = "shopstep voice model", 1
_NAME = re.compile(r"(?P<words>[a-z][a-z'-]*?)[-_ ]?(?P<take>\d*)")
NOISE = "noise"


class EnrolError(Exception):
    """Takes that nothing can be learned of, in sentences."""

    def __init__(self, problems: Sequence[str]) -> None:
        super().__init__(problems[0])
        self.problems = tuple(problems)


@dataclass(slots=True)
class Takes:
    """What was recorded so far."""

    phrases: tuple[str, ...]
    spoken: dict[str, list[Take]] = field(default_factory=dict)
    noises: list[Samples] = field(default_factory=list)

    def add(self, phrase: str, samples: Samples) -> str:
        """Keep one take; a sentence where nobody, or more than one phrase, is heard in it."""
        found = utterances(samples)
        if not found:
            return say("Nobody was heard; say it once more, a little louder.")
        longest = max(found, key=lambda one: one.end_s - one.start_s)
        if longest.is_too_long or longest.snr_db < 6:
            return say("There was too much noise; say it once more when it is quieter.")
        self.spoken.setdefault(phrase, []).append(Take(longest.samples, longest.lead))
        return ""

    def missing(self) -> dict[str, int]:
        """Phrase to the number of takes that are still needed."""
        left = {phrase: TAKES - len(self.spoken.get(phrase, ())) for phrase in self.phrases}
        return {phrase: count for phrase, count in left.items() if count > 0}


def fixed_phrases(vocabulary: Vocabulary) -> tuple[str, ...]:
    """The phrases that are learned: those without a number in them."""
    numbered = ("measure", "take")
    return tuple(p.words for p in vocabulary.phrases if p.action not in numbered)


def read_takes(folder: Path, phrases: Sequence[str]) -> Takes:
    """All takes of a folder: ``mark-it-done-1.wav``, ``noise-1.wav``. EnrolError for what cannot be
    used, with the file's name."""
    takes, problems = Takes(tuple(phrases)), []
    if not folder.is_dir():
        raise EnrolError([say("{folder} is no folder of recordings.", folder=folder)])
    for path in sorted(folder.glob("*.wav")):
        problem = _read_take(path, takes)
        if problem:
            problems.append(problem)
    problems += [
        say(
            "{folder}: '{phrase}' lacks {count} of {takes} takes ({file_name}-1.wav …).",
            folder=folder,
            phrase=phrase,
            count=count,
            takes=TAKES,
            file_name=_file_name(phrase),
        )
        for phrase, count in takes.missing().items()
    ]
    if not takes.noises:
        problems.append(say("{folder}: the noise alone is missing (noise-1.wav).", folder=folder))
    if problems:
        raise EnrolError(problems)
    return takes


def _file_name(phrase: str) -> str:
    return phrase.replace(" ", "-")


def _read_take(path: Path, takes: Takes) -> str:
    """A sentence where the file cannot be used."""
    try:
        samples = read_wav(path)
    except AudioError as bad:
        return str(bad)
    match = _NAME.fullmatch(path.stem.lower())
    words = match["words"].replace("-", " ").replace("_", " ") if match else path.stem
    if words == NOISE:
        takes.noises.append(samples)
        return ""
    if words not in takes.phrases:
        return say(
            "{path}: '{words}' is no phrase; `shopstep voice words` lists them.",
            path=path,
            words=words,
        )
    problem = takes.add(words, samples)
    return f"{path}: {problem}" if problem else ""


def learn(takes: Takes, seed: int = 0) -> PersonModel:
    """The model of these takes; some 30 s on one core."""
    spoken: Mapping[str, Sequence[Take]] = takes.spoken
    return train_person(spoken, takes.noises, seed)


def save_model(model: PersonModel, path: Path) -> None:
    """Keep a model; a reader sees the old one or the new one whole."""
    path.parent.mkdir(parents=True, exist_ok=True)
    head = json.dumps({"kind": KIND, "version": VERSION, "phrases": model.phrases})
    fresh = path.with_name(f"{path.name}.new")
    with fresh.open("wb") as file:
        np.savez(file, head=np.array(head), **model.weights)  # type: ignore[arg-type]
    fresh.replace(path)


def load_model(path: Path) -> PersonModel | None:
    """The kept model; None where there is none. EnrolError where the file is no such model."""
    if not path.exists():
        return None
    wrong = EnrolError(
        [
            say(
                "{path} is no model of a voice; make it anew (shopstep voice enrol) or delete it.",
                path=path,
            )
        ]
    )
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as kept:
            head = json.loads(str(kept["head"]))
            weights = {name: np.asarray(kept[name], np.float32) for name in _shapes(2)}
    except (OSError, EOFError, ValueError, KeyError, TypeError, zipfile.BadZipFile):
        raise wrong from None
    phrases = tuple(str(words) for words in head.get("phrases", ()))
    if head.get("kind") != KIND or head.get("version") != VERSION:
        raise wrong
    if any(weights[name].shape != shape for name, shape in _shapes(len(phrases) + 1).items()):
        raise wrong
    return PersonModel(phrases, weights)


def _shapes(classes: int) -> dict[str, tuple[int, ...]]:
    first, second = CHANNELS
    return {
        "w1": (WIDTH * BANDS, first),
        "b1": (first,),
        "w2": (WIDTH * first, second),
        "b2": (second,),
        "w3": (2 * second, classes),
        "b3": (classes,),
    }
