"""``voice``: the phrases, the microphone, and a model of one's own voice."""

from __future__ import annotations

from pathlib import Path

import click

from shopstep.cli.main import NearestGroup
from shopstep.cli.options import now_option, session_name
from shopstep.wiring.problems import ExitCode
from shopstep.words import say


@click.group("voice", cls=NearestGroup, short_help="Phrases, microphone, your own voice.")
def voice_command() -> None:
    """What is heard at the bench, and by which phrases.

    \b
    Examples:
      shopstep voice words
      shopstep voice test
      shopstep voice enrol
      shopstep voice follow LAST
    """


@voice_command.command("words", short_help="Every phrase and what it does.")
@click.option(
    "--file", "file", type=click.Path(path_type=Path), help="Check this file, not the kept one."
)
def words_command(file: Path | None) -> int:
    """Print every phrase in force; your own file is checked first."""
    from shopstep.voice.vocabulary import ACTIONS
    from shopstep.wiring.hearing import load_vocabulary, needs_extra, voice_words_file

    needs_extra()
    vocabulary = load_vocabulary(file)
    for action, meaning in ACTIONS.items():
        for words in vocabulary.of(action):
            click.echo(f"{words:28} {action}: {meaning}")
    click.echo(say("\nYour own phrases: {file}", file=file or voice_words_file()))
    return ExitCode.OK


@voice_command.command("test", short_help="Microphone, level, noise, one phrase.")
@click.option("--seconds", default=8.0, show_default=True, help="How long to listen.")
def test_command(seconds: float) -> int:
    """Listen for some seconds: say what the level is, what runs in the shop, and what was heard."""
    from shopstep.wiring.hearing import test_microphone

    for line in test_microphone(seconds):
        click.echo(line)
    return ExitCode.OK


@voice_command.command("enrol", short_help="Learn your voice, microphone and noise.")
@click.option(
    "--from",
    "folder",
    type=click.Path(path_type=Path),
    help="A folder of WAVs: mark-it-done-1.wav … three of each phrase, and noise-1.wav.",
)
def enrol_command(folder: Path | None) -> int:
    """Learn from you: each phrase three times, and once the noise alone, in your own shop. What is
    learned stays on this machine; the recordings are not kept."""
    from shopstep.wiring.hearing import enrol_from, enrol_here

    for line in enrol_here() if folder is None else enrol_from(folder):
        click.echo(line)
    return ExitCode.OK


@voice_command.command("forget", short_help="Delete what was learned of your voice.")
def forget_command() -> int:
    """Delete the model of your voice; the phrases are then heard as from anybody."""
    from shopstep.wiring.hearing import forget_voice

    was_there = forget_voice()
    click.echo(
        say("Forgotten.") if was_there else say("Nothing was learned, so nothing is forgotten.")
    )
    return ExitCode.OK


@voice_command.command("follow", short_help="Follow a session by voice, push-to-talk.")
@click.argument("session", required=False)
@click.option(
    "--listen", "way", type=click.Choice(["push", "open"]), default="push", show_default=True,
    help="push: after each Enter; open: always, until Ctrl-C (needs the extra 'open-ear').",
)  # fmt: skip
@now_option
def follow_command(session: str | None, way: str, now: str | None) -> int:
    """Follow SESSION (a file, a name, or LAST) by voice: Enter, or a pedal that sends it, opens the
    microphone for some seconds; what is heard does what a tap does.

    \b
    Examples:
      shopstep voice follow LAST
      shopstep voice follow LAST --listen open
    """
    import time

    from shopstep.cli.voice_follow import follow_always, follow_lines
    from shopstep.wiring.benches import open_session
    from shopstep.wiring.clocks import make_clock
    from shopstep.wiring.hearing import listen_always, listen_once, make_follower, needs_second_ear

    if way == "open":
        needs_second_ear()
    opened = open_session(session_name(session), make_clock(now), "voice", must_write=True)
    follower = make_follower(opened, is_always_open=way == "open")
    if way == "open":
        follow_always(opened, follower, listen_always(click.echo), time.monotonic)
    else:
        follow_lines(opened, follower, lambda: listen_once(click.echo), time.monotonic)
    opened.leave()
    return ExitCode.OK
