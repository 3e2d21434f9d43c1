"""``start``: plan a batch, and begin it at the bench."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from shopstep.cli.bench_commands import face_of, look_of_screen, open_face
from shopstep.cli.completing import offer_builds
from shopstep.cli.options import (
    far_option,
    listen_option,
    now_option,
    plain_option,
    speak_option,
    wish_options,
)
from shopstep.cli.output import is_terminal
from shopstep.wiring.benches import start_session
from shopstep.wiring.clocks import make_clock
from shopstep.words import say


@click.command("start", short_help="Begin a batch at the bench.")
@click.argument("builds", nargs=-1, required=True, shell_complete=offer_builds)
@wish_options
@click.option("--session", "file", type=click.Path(path_type=Path), help="Session file to make.")
@far_option
@speak_option
@listen_option
@plain_option
@now_option
def start_command(
    builds: tuple[str, ...],
    file: Path | None,
    is_far: bool,
    speaks: bool,
    listens: str | None,
    plain: bool,
    now: str | None,
    **given: Any,
) -> int:
    """Plan a batch, make its session file and open the bench screen.

    \b
    Example: shopstep start screened-floor --units 2 --temperature "18 C"
    """
    from shopstep.cli.design_commands import make_wish

    clock = make_clock(now)
    face = face_of(plain)
    look = look_of_screen(face, is_far, speaks=speaks, listens=listens)
    betters = is_terminal()
    opened = start_session(make_wish(builds, given), file, clock, face, betters=betters)
    click.echo(say("session: {path}", path=opened.journal.path), err=True)
    return open_face(opened, face, look)
