"""The board of a session, without the screen."""

from __future__ import annotations

from shutil import get_terminal_size

import click

from shopstep.cli.completing import offer_sessions
from shopstep.cli.options import json_option, now_option
from shopstep.cli.output import say_json
from shopstep.model.plan import Plan, PlanRefused
from shopstep.present.board import board_of
from shopstep.present.board_text import board_document, board_lines
from shopstep.wiring.benches import OpenSession, read_session
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.problems import ExitCode

PIPE_WIDTH = 78
WIDEST = 120


@click.command("board", short_help="One look at the whole batch.")
@click.argument("session", required=False, shell_complete=offer_sessions)
@json_option
@now_option
def board_command(session: str | None, as_json: bool, now: str | None) -> int:
    """Print where every unit of a session (a file, a name, or LAST) stands, and what is left.

    Units by stages, what waits until when, what is ready, what is planned for today, what is to be
    made again. Nothing in the session changes.

    \b
    Examples:
      shopstep board
      shopstep board LAST --json
    """
    opened = read_session(None if session == "LAST" else session, make_clock(now), "board")
    bench = opened.bench
    bench.card()
    board = board_of(bench.state, bench.plan, bench.now_s(), _ahead(opened))
    if as_json:
        say_json(board_document(board))
    else:
        click.echo("\n".join(board_lines(board, _width())))
    return ExitCode.OK


def _ahead(opened: OpenSession) -> Plan | None:
    """The times from now on; None where there are none, which the board then leaves out."""
    try:
        return opened.bench.ahead()
    except PlanRefused:
        return None


def _width() -> int:
    return max(40, min(WIDEST, get_terminal_size((PIPE_WIDTH + 2, 24)).columns - 2))
