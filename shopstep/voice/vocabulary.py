"""The phrases that are heard and what each of them does: the file, and what is wrong in it.

Imports nothing of this program; the dictionary's words are handed in.
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from difflib import get_close_matches

from shopstep.words import say, to_say

ACTIONS: dict[str, str] = to_say(
    {
        "done": "the step is done",
        "start": "glue goes on now",
        "back": "the last step again, or what voice did within ten seconds undone",
        "hold": "stop for now",
        "resume": "go on",
        "accept": "keep a value although it is outside",
        "aside": "do this step when nothing else is left",
        "why": "why the step is done so",
        "more": "what else could be done now",
        "measure": "a number as read; the number follows",
        "take": "another step; its number stands before the last word",
        "again": "say the card again",
        "slower": "say it more slowly",
        "number": "say only the numbers",
        "left": "how long is left",
        "quiet": "end the sound of an alarm",
        "yes": "do what was read back",
        "no": "leave what was read back",
    }
)
"""All that a phrase can do, in words."""
FEWEST_WORDS = 3
LONGEST_FILE = 100_000
ACK = "ack"
"""The answer to a caution: its sentence stands on the card, so no file names it."""
PHONES = frozenset(
    ("AA", "AE", "AH", "AO", "AW", "AY", "B", "CH", "D", "DH", "EH", "ER", "EY", "F", "G", "HH",
     "IH", "IY", "JH", "K", "L", "M", "N", "NG", "OW", "OY", "P", "R", "S", "SH", "T", "TH", "UH",
     "UW", "V", "W", "Y", "Z", "ZH")
)  # fmt: skip
"""The phones of the dictionary (ARPAbet without stress)."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """What is said, and what it does."""

    action: str
    words: str
    line: int = 0
    """Where it stands in its file; 0 where it is of the card."""


@dataclass(frozen=True, slots=True)
class Sound:
    """How one word is said."""

    word: str
    phones: str
    line: int = 0


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """All phrases, and the words that the dictionary does not have."""

    phrases: tuple[Phrase, ...]
    sounds: tuple[Sound, ...] = ()

    def of(self, action: str) -> tuple[str, ...]:
        """The phrases of one action."""
        return tuple(phrase.words for phrase in self.phrases if phrase.action == action)

    def among(self, actions: Container[str]) -> tuple[Phrase, ...]:
        """The phrases of those actions only."""
        return tuple(phrase for phrase in self.phrases if phrase.action in actions)


class VocabularyError(Exception):
    """A vocabulary file that cannot be followed: sentences, each with its line."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__(problems[0])
        self.problems = problems


def read_vocabulary(text: str, name: str) -> Vocabulary:
    """Phrases and sounds of one file. VocabularyError with every line that cannot be read."""
    phrases: list[Phrase] = []
    sounds: list[Sound] = []
    if len(text) > LONGEST_FILE:
        raise VocabularyError(
            [
                say(
                    "{name} has more than {longest_file} characters; make it shorter.",
                    name=name,
                    longest_file=LONGEST_FILE,
                )
            ]
        )
    problems: list[str] = []
    for number, raw in enumerate(text.splitlines(), 1):
        line = raw.partition("#")[0].strip()
        if not line:
            continue
        read = _read_line(" ".join(line.lower().split()), number)
        if isinstance(read, Phrase):
            phrases.append(read)
        elif isinstance(read, Sound):
            sounds.append(read)
        else:
            problems.append(
                say("{name}, line {number}: {read}", name=name, number=number, read=read)
            )
    problems += _said_twice(phrases, name)
    if problems:
        raise VocabularyError(problems)
    return Vocabulary(tuple(phrases), tuple(sounds))


def _read_line(line: str, number: int) -> Phrase | Sound | str:
    head, colon, rest = (part.strip() for part in line.partition(":"))
    if not colon or not head or not rest:
        return say("'{line}' is no phrase; write for example: done: mark it done", line=line)
    if head.startswith("sound "):
        return _read_sound(head.removeprefix("sound ").strip(), rest.upper(), number)
    if head not in ACTIONS:
        near = get_close_matches(head, list(ACTIONS), n=1)
        hint = (
            say("did you mean '{near}'?", near=near[0])
            if near
            else say("there are: {actions}.", actions=", ".join(ACTIONS))
        )
        return say("'{head}' is nothing that a phrase can do; {hint}", head=head, hint=hint)
    if len(rest.split()) < FEWEST_WORDS:
        return say(
            "'{rest}' has fewer than {fewest} words; short phrases are taken for one "
            "another in noise, so make it longer.",
            rest=rest,
            fewest=FEWEST_WORDS,
        )
    return Phrase(head, rest, number)


def _read_sound(word: str, phones: str, number: int) -> Sound | str:
    if " " in word or not word:
        return say(
            "'{word}' is more than one word; write for example: sound riving: R AY V IH NG",
            word=word,
        )
    strange = [phone for phone in phones.split() if phone not in PHONES]
    if strange:
        return say(
            "'{strange}' is no phone; there are: {phones}",
            strange=strange[0],
            phones=" ".join(sorted(PHONES)),
        )
    return Sound(word, phones, number)


def _said_twice(phrases: list[Phrase], name: str) -> list[str]:
    """One phrase for two actions."""
    first: dict[str, Phrase] = {}
    problems = []
    for phrase in phrases:
        other = first.setdefault(phrase.words, phrase)
        if other is not phrase:
            problems.append(
                say(
                    "{name}, line {line}: '{words}' stands for {action} already "
                    "(line {line_2}); every phrase does one thing.",
                    name=name,
                    line=phrase.line,
                    words=phrase.words,
                    action=other.action,
                    line_2=other.line,
                )
            )
    return problems


def with_own(shipped: Vocabulary, own: Vocabulary) -> Vocabulary:
    """The shipped phrases with a person's own in place of those of the same action."""
    changed = {phrase.action for phrase in own.phrases}
    kept = tuple(phrase for phrase in shipped.phrases if phrase.action not in changed)
    said = {sound.word for sound in own.sounds}
    sounds = tuple(sound for sound in shipped.sounds if sound.word not in said)
    return Vocabulary((*kept, *own.phrases), (*sounds, *own.sounds))
