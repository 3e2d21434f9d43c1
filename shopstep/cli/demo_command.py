"""A batch that is under way, to try the screen with."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

import click

from shopstep.cli.bench_commands import look_of_screen, open_face
from shopstep.cli.options import now_option, plain_option
from shopstep.cli.output import is_terminal
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.demo import make_demo
from shopstep.words import say


@click.command("demo", short_help="Try it with a batch that is under way.")
@click.option("--keep", is_flag=True, help="Keep the session to go on with it later.")
@plain_option
@now_option
def demo_command(keep: bool, plain: bool, now: str | None) -> int:
    """Open a batch of floors that is well under way, in a place of its own.

    Its shop and its history are invented; all you do in it is real. Your own sessions,
    measurements and settings stay as they are.

    \b
    Examples:
      shopstep demo
      shopstep demo --keep
    """
    face = "plain" if plain or not is_terminal() else "bench"
    look = look_of_screen(face)
    click.echo(say("Making a batch to try…"), err=True)
    place = Path(tempfile.mkdtemp(prefix="shopstep-demo-"))
    try:
        opened = make_demo(place, make_clock(now))
        code = open_face(opened, face, look, is_resumed=True, is_kept=keep)
        opened.journal.close()
    finally:
        if not keep:
            shutil.rmtree(place, ignore_errors=True)
    if not keep:
        click.echo(
            say("The demo was in {place}; it is thrown away. To keep it: --keep.", place=place),
            err=True,
        )
    elif face == "plain":
        click.echo(
            say("The demo is kept: shopstep resume {path}", path=opened.journal.path), err=True
        )
    return code
