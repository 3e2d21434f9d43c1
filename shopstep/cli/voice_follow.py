"""A session followed by ear from the line: Enter (or a pedal that sends it) opens the microphone
for some seconds, what is heard does what a tap does, and the card is printed again.

Imports the words of the cards; what hears is handed in by wiring.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import TYPE_CHECKING

import click

from shopstep.cli.output import NO_WHY, read_line
from shopstep.present.lines import card_lines, wrap_lines
from shopstep.present.moments import timer_words
from shopstep.words import say, to_say

if TYPE_CHECKING:
    from shopstep.voice.hear import Hearing
    from shopstep.voice.hear_endpoint import Utterance
    from shopstep.voice.hear_follow import Follower, Turn
    from shopstep.wiring.benches import OpenSession

HELP = to_say("Enter: listen for some seconds. q and Enter: leave; all is kept.")
WIDTH = 78
NOBODY = to_say("Nobody was heard.")


def follow_lines(
    opened: OpenSession,
    follower: Follower,
    listen: Callable[[], Utterance | None],
    now_s: Callable[[], float],
) -> None:
    """Until the lines end, or q."""
    say_card(opened)
    say_sayings(follower, now_s())
    click.echo(say(HELP))
    while (line := read_line()) is not None and line.strip().lower() not in ("q", "quit"):
        utterance = listen()
        if utterance is None:
            click.echo(say(NOBODY))
            continue
        _hear_one(opened, follower, utterance, now_s())
        say_sayings(follower, now_s())


def follow_always(
    opened: OpenSession,
    follower: Follower,
    spoken: Iterator[Utterance],
    now_s: Callable[[], float],
) -> None:
    """Everything that is said, until the microphone ends or Ctrl-C."""
    say_card(opened)
    say_sayings(follower, now_s())
    with suppress(KeyboardInterrupt):
        for utterance in spoken:
            turn = _hear_one(opened, follower, utterance, now_s())
            if turn.reply is not None:
                say_sayings(follower, now_s())


def _hear_one(opened: OpenSession, follower: Follower, utterance: Utterance, at_s: float) -> Turn:
    """Print what it was taken for and what came of it."""
    turn = follower.hear(utterance, at_s)
    click.echo(outcome_words(turn.hearing))
    for said in turn_lines(turn, opened):
        click.echo(said)
    if turn.reply is not None and turn.reply.command is not None and not turn.refused:
        say_card(opened)
    return turn


def say_sayings(follower: Follower, now_s: float) -> None:
    """What may be said now."""
    for line in wrap_lines(
        [say("To say: {sayings}", sayings="; ".join(follower.sayings(now_s)))], WIDTH
    ):
        click.echo(line)


def say_card(opened: OpenSession) -> None:
    """The card as it stands."""
    bench = opened.bench
    click.echo("\n".join(card_lines(bench.card(), bench.now_s(), bench.plan.zone)))


def outcome_words(hearing: Hearing) -> str:
    """``done: mark it done``, or why it was refused and what came nearest."""
    if hearing.why is None:
        return f"{hearing.action}: {hearing.phrase}"
    nearest = say(" (nearest: {phrase})", phrase=hearing.phrase) if hearing.phrase else ""
    return say("refused: {hearing}{nearest}", hearing=hearing.text, nearest=nearest)


def turn_lines(turn: Turn, opened: OpenSession) -> Iterator[str]:
    """What is said back about an utterance that was taken."""
    if turn.reply is None:
        return
    if turn.text:
        yield turn.text
    if turn.reply.look:
        yield from _look(turn.reply.look, opened)


def _look(look: str, opened: OpenSession) -> list[str]:
    """The answer to what changes nothing."""
    bench = opened.bench
    card = bench.card()
    match look:
        case "why":
            return [card.why or say(NO_WHY)]
        case "number":
            return [f"{number.label}: {number.text}" for number in card.numbers]
        case "left":
            return [timer_words(t, bench.now_s(), bench.plan.zone) for t in card.timers]
        case "more":
            return [f"{n}. {step.id}" for n, step in enumerate(bench.ready(), 1)]
        case "quiet":
            return [say("No alarm sounds here.")]
        case _:
            return card_lines(card, bench.now_s(), bench.plan.zone)
