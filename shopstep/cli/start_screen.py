"""``shopstep`` alone: the start screen, or in a pipe a few lines on what is possible."""

from __future__ import annotations

import click

from shopstep.cli.bench_commands import look_of_screen, open_face
from shopstep.cli.output import is_terminal
from shopstep.present.columns import fold_item
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.doors import StartDesk
from shopstep.wiring.problems import ExitCode
from shopstep.words import say, to_say

POSSIBLE = to_say(
    (
        ("begin a batch", "shopstep start screened-floor --units 2"),
        ("see the shelf", "shopstep builds"),
        ("measure, once for all builds", "shopstep measure screened-floor"),
        ("try it with a batch that is under way", "shopstep demo"),
        ("all commands", "shopstep --help"),
    )
)


def open_start() -> int:
    """The start screen, then the bench; without a screen, what can be done next."""
    if not is_terminal():
        return _say_possible()
    from shopstep.tui import run_start

    look = look_of_screen("bench")
    door = StartDesk(make_clock(None))
    code = run_start(door, theme=look["theme"])
    if door.opened is None:
        return code
    return open_face(door.opened, "bench", look, is_resumed=door.is_resumed)


def _say_possible() -> int:
    """The last batch with where it stands, and the words to go on or begin."""
    open_ones = [kept for kept in StartDesk(make_clock(None)).sessions() if kept.look.is_open]
    for kept in open_ones[:1]:
        told = say(
            "{look_title}: {where} Last entry: {when}.",
            look_title=kept.look.title,
            where=kept.look.where,
            when=kept.look.when,
        )
        click.echo("\n".join(fold_item(told, 78, "")))
        click.echo(say("to go on: shopstep resume"))
        click.echo(say("to see where every unit stands: shopstep board"))
    for what, words in POSSIBLE:
        click.echo(
            say("to {what}: {words}", what=say(what), words=words)
            if not what.startswith("all")
            else f"{say(what)}: {words}"
        )
    return ExitCode.OK
