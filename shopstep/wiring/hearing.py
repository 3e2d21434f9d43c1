"""The ear of this machine: shipped and own phrases, the recogniser, a person's own model.

Only this module and the commands that listen load the room ``voice``; without the extra ``voice``
they say so in one sentence.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Generator, Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from shopstep.model.plan import Where
from shopstep.storage.folders import shipped_folder, voice_model_file
from shopstep.storage.folders import voice_words_file as voice_words_file
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import figure, say, to_say

if TYPE_CHECKING:
    from shopstep.voice.enrol import Takes
    from shopstep.voice.hear import Ear
    from shopstep.voice.hear_again import SecondOpinion
    from shopstep.voice.hear_audio import Samples
    from shopstep.voice.hear_endpoint import Utterance
    from shopstep.voice.hear_follow import Follower
    from shopstep.voice.recogniser import Recogniser
    from shopstep.voice.vocabulary import Vocabulary
    from shopstep.wiring.benches import OpenSession

WORDS_FILE = "voice-words.txt"
NOISE_S, TAKE_S = 10.0, 3.5
"""How long is recorded: the noise alone, and one take."""
SILENT_S = 5
"""Seconds without a sample after which a microphone is given up."""
ALWAYS = to_say(
    "Always listening, until Ctrl-C: everybody who speaks here is heard; no sound is kept."
)
NO_EXTRA = to_say("hearing needs the extra 'voice'; install it: pip install 'shopstep[voice]'")
NO_SECOND_EAR = to_say(
    "open listening needs a second ear, the extra 'open-ear'; install it: "
    "pip install 'shopstep[voice,open-ear]', or listen by push or armed"
)


def needs_extra() -> None:
    """Problem where the extra is not installed. On one core: what is heard is short, and threads
    that wait for each other make a busy machine crawl."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if find_spec("pocketsphinx") is None or find_spec("numpy") is None:
        raise Problem(say(NO_EXTRA), ExitCode.USAGE)


def needs_second_ear() -> None:
    """Problem where open listening cannot be offered."""
    needs_extra()
    if find_spec("hama") is None:
        raise Problem(say(NO_SECOND_EAR), ExitCode.USAGE)


def load_vocabulary(own: Path | None = None) -> Vocabulary:
    """The phrases in force, checked. Problem with the line for what cannot be followed."""
    from shopstep.voice.vocabulary import read_vocabulary, with_own

    shipped = read_vocabulary(
        (shipped_folder("assets") / WORDS_FILE).read_text(encoding="utf-8"), WORDS_FILE
    )
    path = own or voice_words_file()
    text = _text_of(path, must_exist=own is not None)
    if text is None:
        return shipped
    return with_own(shipped, _checked(text, path, shipped))


def _text_of(path: Path, *, must_exist: bool) -> str | None:
    try:
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        if not must_exist:
            return None
        raise Problem(say("{path} is not there", path=path), ExitCode.FILES) from None
    except (OSError, UnicodeDecodeError) as problem:
        why = getattr(problem, "strerror", None) or say("it is no UTF-8 text")
        raise Problem(
            say("{path} cannot be read: {why}", path=path, why=why), ExitCode.FILES
        ) from None


def _checked(text: str, path: Path, shipped: Vocabulary) -> Vocabulary:
    from shopstep.voice.recogniser import Recogniser
    from shopstep.voice.vocabulary import VocabularyError, read_vocabulary, with_own
    from shopstep.voice.vocabulary_check import check_vocabulary

    try:
        own = read_vocabulary(text, str(path))
    except VocabularyError as problem:
        raise Problem(say("\nshopstep: ").join(problem.problems), ExitCode.USAGE) from None
    whole = with_own(shipped, own)
    sounds = Recogniser((s.word, s.phones) for s in whole.sounds).sounds
    problems = check_vocabulary(whole, sounds, str(path))
    if problems:
        raise Problem(say("\nshopstep: ").join(problems), ExitCode.USAGE)
    return own


def open_ear(words: Path | None = None, *, is_always_open: bool = False) -> Ear:
    """The ear as it is set up on this machine, with the second ear where that is installed. Problem
    without the extra, or with bad phrases; and where it is to listen always without a second ear.
    """
    (needs_second_ear if is_always_open else needs_extra)()
    from shopstep.voice.enrol import EnrolError, load_model
    from shopstep.voice.hear import Ear
    from shopstep.voice.recogniser import Recogniser

    vocabulary = load_vocabulary(words)
    try:
        model = load_model(voice_model_file())
    except EnrolError as problem:
        raise Problem(str(problem).removesuffix("."), ExitCode.FILES) from None
    recogniser = Recogniser((s.word, s.phones) for s in vocabulary.sounds)
    again = _second_ear(recogniser, must_be=is_always_open)
    return Ear(vocabulary, recogniser, model, again, is_always_open)


def _second_ear(recogniser: Recogniser, *, must_be: bool) -> SecondOpinion | None:
    """None where it is not installed, or does not run here."""
    if find_spec("hama") is None:
        return None
    from shopstep.voice.hear_again import NoNet, PhoneNet, SecondOpinion

    try:
        return SecondOpinion(recogniser.sounds, PhoneNet())
    except NoNet as problem:
        if must_be:
            raise Problem(str(problem).removesuffix("."), ExitCode.USAGE) from None
        return None


def enrol_from(folder: Path) -> Iterator[str]:
    """Learn from a folder of recordings; lines as it goes. Problem with each file that is wrong."""
    needs_extra()
    from shopstep.voice.enrol import EnrolError, fixed_phrases, read_takes

    phrases = fixed_phrases(load_vocabulary())
    try:
        takes = read_takes(folder, phrases)
    except EnrolError as problem:
        text = say("\nshopstep: ").join(each.removesuffix(".") for each in problem.problems)
        raise Problem(text, ExitCode.FILES) from None
    yield from _learn(takes)


def enrol_here() -> Iterator[str]:
    """Ask for every take at the microphone. Problem without one."""
    needs_extra()
    from shopstep.voice.enrol import Takes, fixed_phrases
    from shopstep.voice.microphone import NoMicrophone, open_microphone

    takes = Takes(fixed_phrases(load_vocabulary()))
    try:
        with open_microphone() as microphone:
            yield say(
                "First the noise: let run what runs as you work, and say nothing for ten seconds."
            )
            takes.noises.append(microphone.record(NOISE_S))
            while missing := takes.missing():
                for phrase, count in missing.items():
                    yield say("Say ({count} left): {phrase}", count=count, phrase=phrase)
                    problem = takes.add(phrase, microphone.record(TAKE_S))
                    if problem:
                        yield problem
    except NoMicrophone as problem:
        raise Problem(str(problem).removesuffix("."), ExitCode.FILES) from None
    yield from _learn(takes)


def _learn(takes: Takes) -> Iterator[str]:
    from shopstep.voice.enrol import learn, save_model

    yield say("Learning; this takes about half a minute.")
    model = learn(takes)
    with plain_problems():
        place = voice_model_file()
        save_model(model, place)
    yield say(
        "{phrases} phrases learned; kept in {place}, the recordings are not.",
        phrases=len(model.phrases),
        place=place,
    )


def forget_voice() -> bool:
    """Delete what was learned; whether there was anything."""
    with plain_problems():
        try:
            voice_model_file().unlink()
        except FileNotFoundError:
            return False
    return True


def load_audio(path: Path) -> Samples:
    """The samples of a WAV file. Problem for anything that cannot be heard."""
    needs_extra()
    from shopstep.voice.hear_audio import AudioError, read_wav

    try:
        return read_wav(path)
    except AudioError as problem:
        raise Problem(str(problem).removesuffix("."), ExitCode.FILES, Where()) from None


def test_microphone(seconds: float) -> Iterator[str]:
    """Lines on microphone, noise and what was heard, as it goes. Problem without a microphone."""
    ear = open_ear()
    from shopstep.voice.hear_endpoint import Endpointer
    from shopstep.voice.microphone import NoMicrophone, open_microphone
    from shopstep.voice.vocabulary import ACTIONS

    pointer = Endpointer()
    try:
        with open_microphone() as microphone:
            yield say(
                "Listening for {seconds} s; say for example: {of}",
                seconds=figure(seconds, "g"),
                of=ear.vocabulary.of("done")[0],
            )
            for block in microphone.blocks(seconds):
                for spoken in pointer.feed(block):
                    hearing = ear.judge(spoken, tuple(ACTIONS))
                    yield (
                        say("Heard: {phrase}", phrase=hearing.phrase)
                        if hearing.why is None
                        else hearing.text
                    )
    except NoMicrophone as problem:
        raise Problem(str(problem).removesuffix("."), ExitCode.FILES) from None
    yield noise_words(pointer.floor_db)


def make_follower(opened: OpenSession, *, is_always_open: bool = False) -> Follower:
    """The ear at a session, with the face's name ``voice``."""
    ear = open_ear(is_always_open=is_always_open)
    from shopstep.voice.hear_follow import Follower

    return Follower(opened.bench, ear)


def listen_once(say: Callable[[str], object]) -> Utterance | None:
    """The first utterance after a push of the key; None where nobody spoke in time. Problem without
    a microphone. Sound is heard only meanwhile, and none is kept."""
    from shopstep.voice.hear_audio import RATE
    from shopstep.voice.hear_endpoint import Endpointer
    from shopstep.voice.listening import Listening, Way, push
    from shopstep.voice.microphone import NoMicrophone, open_microphone

    state, pointer, heard_s = push(Listening(Way.PUSH), 0.0), Endpointer(), 0.0
    try:
        with open_microphone() as microphone:
            say(f"Listening; speak now ({state.words(0.0)}).")
            while state.is_open(heard_s, in_speech=pointer.in_speech):
                block = microphone.read()
                if block is None:
                    break
                heard_s += len(block) / RATE
                found = pointer.feed(block)
                if found:
                    return found[0]
    except NoMicrophone as problem:
        raise Problem(str(problem).removesuffix("."), ExitCode.FILES) from None
    say(noise_words(pointer.floor_db))
    return next(iter(pointer.finish()), None)


def listen_always(tell: Callable[[str], object]) -> Generator[Utterance]:
    """Every utterance from now on, until the microphone gives nothing any more. Problem without
    one. No sound is kept."""
    from shopstep.voice.hear_endpoint import Endpointer
    from shopstep.voice.microphone import NoMicrophone, open_microphone

    pointer, silent = Endpointer(), 0
    try:
        with open_microphone() as microphone:
            tell(say(ALWAYS))
            while silent < SILENT_S:
                block = microphone.read()
                silent = silent + 1 if block is None else 0
                yield from () if block is None else pointer.feed(block)
    except NoMicrophone as problem:
        raise Problem(str(problem).removesuffix("."), ExitCode.FILES) from None
    tell(say("The microphone gives no sound any more."))


def noise_words(floor_db: float) -> str:
    """How loud the shop is, and what that means for hearing."""
    from shopstep.voice.hear import TOO_LOUD_DB

    if floor_db > TOO_LOUD_DB:
        return say(
            "The shop is at {floor_db} dB: too loud to hear anybody; tap instead.",
            floor_db=figure(floor_db, ".0f"),
        )
    return say(
        "The shop is at {floor_db} dB; above {too_loud_db} dB nobody is heard.",
        floor_db=figure(floor_db, ".0f"),
        too_loud_db=figure(TOO_LOUD_DB, ".0f"),
    )
