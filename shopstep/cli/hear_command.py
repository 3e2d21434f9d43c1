"""``hear``: what a recording is taken for; or a session followed from one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopstep.cli.options import json_option, now_option, session_name
from shopstep.cli.output import VERSION, say_json
from shopstep.cli.voice_follow import outcome_words, turn_lines
from shopstep.wiring.problems import ExitCode, Problem
from shopstep.words import figure, say

if TYPE_CHECKING:
    from shopstep.voice.hear import Ear, Hearing
    from shopstep.voice.hear_endpoint import Utterance
    from shopstep.voice.hear_follow import Turn
    from shopstep.wiring.benches import OpenSession


@click.command("hear", short_help="What a recording is taken for.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--card", "actions", metavar="ACTIONS", help="What may be said: done,back,hold (usual: all)."
)
@click.option("--caution", "cautions", multiple=True, help="A caution's sentence. Repeatable.")
@click.option("--session", metavar="SESSION", help="Follow this session with what is heard.")
@click.option("--push", is_flag=True, help="All of the file is one push of the key.")
@click.option(
    "--open", "is_always_open", is_flag=True,
    help="As where it listens always: only what the second ear takes for the same is taken.",
)  # fmt: skip
@click.option(
    "--words", type=click.Path(path_type=Path), help="Your own phrases, in place of the kept ones."
)
@json_option
@now_option
def hear_command(
    file: Path,
    actions: str | None,
    cautions: tuple[str, ...],
    session: str | None,
    push: bool,
    is_always_open: bool,
    words: Path | None,
    as_json: bool,
    now: str | None,
) -> int:
    """Print each utterance of FILE (a WAV of 16 kHz, mono, 16 bit) with its start and end, and the
    phrase it is taken for or why it is refused. The microphone goes the same way.

    \b
    Examples:
      shopstep hear said.wav
      shopstep hear said.wav --card done,back,hold --json
      shopstep hear said.wav --session LAST
    """
    if session is not None and (actions is not None or cautions):
        raise click.UsageError(
            say("--session takes what may be said from the card; leave --card out")
        )
    if push and is_always_open:
        raise click.UsageError(say("--push and --open: one of them; open listening has no key"))
    from shopstep.wiring.hearing import load_audio, open_ear

    samples = load_audio(file)
    ear = open_ear(words, is_always_open=is_always_open)
    from shopstep.voice.hear import utterances, whole_push

    spoken = [whole_push(samples)] if push else utterances(samples)
    if session is not None:
        return _follow(ear, spoken, session, now, as_json=as_json)
    allowed = _actions(actions, cautions)
    heard = [ear.judge(utterance, allowed, cautions) for utterance in spoken]
    if as_json:
        say_json({"version": VERSION, "utterances": [_document(each) for each in heard]})
    else:
        _say_all(heard)
    return ExitCode.OK


def _actions(text: str | None, cautions: tuple[str, ...]) -> tuple[str, ...]:
    from shopstep.voice.vocabulary import ACK, ACTIONS

    more = (ACK,) if cautions else ()
    if text is None:
        return (*(name for name in ACTIONS if name not in ("yes", "no")), *more)
    names = tuple(name.strip() for name in text.split(",") if name.strip())
    strange = [name for name in names if name not in ACTIONS]
    if strange or not names:
        raise Problem(
            say(
                "'{strange}' is nothing that can be said; there are: {actions}",
                strange=strange[0] if strange else text,
                actions=", ".join(ACTIONS),
            ),
            ExitCode.USAGE,
        )
    return (*names, *more)


def _say_all(heard: list[Hearing]) -> None:
    if not heard:
        click.echo(say("Nobody spoke."))
    for hearing in heard:
        click.echo(f"{_span(hearing)}  {outcome_words(hearing)}{_scores(hearing)}")


def _span(hearing: Hearing) -> str:
    return say(
        "{start} to {end} s",
        start=figure(hearing.start_s, "7.2f"),
        end=figure(hearing.end_s, ".2f"),
    )


def _scores(hearing: Hearing) -> str:
    return "  [" + ", ".join(f"{name} {value:g}" for name, value in hearing.scores.items()) + "]"


def _document(hearing: Hearing) -> dict[str, object]:
    value = hearing.heard.value if hearing.heard else None
    return {
        "start_s": round(hearing.start_s, 2),
        "end_s": round(hearing.end_s, 2),
        "phrase": hearing.phrase if hearing.why is None else None,
        "action": hearing.action if hearing.why is None else None,
        "value_mm": value.nm / 1e6 if value else None,
        "nearest": hearing.phrase or None,
        "refused": {"reason": hearing.why.value, "text": hearing.text} if hearing.why else None,
        "scores": hearing.scores,
    }


def _follow(
    ear: Ear, spoken: list[Utterance], session: str, now: str | None, *, as_json: bool
) -> int:
    """Exit code 1 where something that was heard was refused by the session."""
    from shopstep.voice.hear_follow import Follower
    from shopstep.wiring.benches import open_session
    from shopstep.wiring.clocks import make_clock

    opened = open_session(session_name(session), make_clock(now), "voice")
    follower = Follower(opened.bench, ear)
    turns = [follower.hear(utterance, utterance.end_s) for utterance in spoken]
    if as_json:
        say_json({"version": VERSION, "utterances": [_turn_document(turn) for turn in turns]})
    else:
        for turn in turns:
            click.echo(
                f"{_span(turn.hearing)}  {outcome_words(turn.hearing)}{_scores(turn.hearing)}"
            )
            _say_turn(turn, opened)
    return ExitCode.REFUSED if any(turn.refused for turn in turns) else ExitCode.OK


def _say_turn(turn: Turn, opened: OpenSession) -> None:
    for line in turn_lines(turn, opened):
        click.echo(f"    {line}")
    if turn.reply is not None and turn.reply.command is not None and not turn.refused:
        click.echo(say("    now: {headline}", headline=turn.card.headline))


def _turn_document(turn: Turn) -> dict[str, object]:
    reply = turn.reply
    did = type(reply.command).__name__ if reply and reply.command and not turn.refused else None
    return _document(turn.hearing) | {
        "did": did,
        "asked": reply.text if reply and reply.is_question else None,
        "look": (reply.look or None) if reply else None,
        "said": turn.text or None,
        "not_done": turn.refused or None,
        "step": turn.card.step_id or None,
        "mode": turn.card.mode.value,
    }
