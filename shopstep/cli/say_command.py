"""``say``: any words through the voice, to the loudspeaker or to a file."""

from __future__ import annotations

import time
from pathlib import Path

import click

from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import say

LONGEST = 2000
"""Characters of one text; a card is shorter."""


@click.command("say", short_help="Speak words, or keep them as a WAV file.")
@click.argument("text")
@click.option("--to", "file", type=click.Path(path_type=Path), help="WAV file to write.")
@click.option("--slow", is_flag=True, help="Slower.")
def say_command(text: str, file: Path | None, slow: bool) -> int:
    """Say TEXT as the bench says a card: numbers in words, offline.

    \b
    Examples:
      shopstep say "Fence at 2 15/16 in."
      shopstep say "Rip the left rail to 12 3/8 in." --to rail.wav
    """
    from shopstep.wiring.speaking import NO_ENGINE, NORMAL, SLOW, make_voice, sentences_of

    if len(text) > LONGEST:
        raise click.UsageError(
            say(
                "TEXT has {text} characters; at most {longest} are spoken",
                text=len(text),
                longest=LONGEST,
            )
        )
    sentences = sentences_of(text)
    if not sentences:
        raise click.UsageError(
            say("TEXT has no word in it; write for example 'Fence at 3 1/2 in.'")
        )
    voice = make_voice()
    try:
        wav = voice.speak(sentences, SLOW if slow else NORMAL)
        if not wav:
            raise Problem(NO_ENGINE, ExitCode.FILES)
        if file is None:
            _play(wav)
        else:
            with plain_problems():
                file.write_bytes(wav)
    finally:
        voice.stop()
    return ExitCode.OK


def _play(wav: bytes) -> None:
    """Through the loudspeaker, to the end."""
    import tempfile

    from shopstep.wiring.speaking import NO_SOUND, make_player

    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "said.wav"
        file.write_bytes(wav)
        playing = make_player().play(file)
        try:
            while playing is not None and not playing.has_ended():
                time.sleep(0.02)
            if playing is None or playing.has_failed():
                text = NO_SOUND.partition(".")[0]
                raise Problem(say("{text}; --to FILE.wav keeps it.", text=text), ExitCode.FILES)
        finally:
            if playing is not None:
                playing.stop()
