"""``log``: what was done in a session, when, how long."""

from __future__ import annotations

import click

from shopstep.cli.completing import offer_sessions
from shopstep.cli.options import json_option, now_option, session_name
from shopstep.cli.output import say_json
from shopstep.present.log import (
    log_document,
    log_lines,
    record,
    record_document,
    record_lines,
)
from shopstep.present.log_csv import log_csv
from shopstep.wiring.benches import read_session
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.problems import ExitCode, Problem


@click.command("log", short_help="What was done, when, how long.")
@click.argument("session", required=False, shell_complete=offer_sessions)
@json_option
@click.option("--csv", "as_csv", is_flag=True, help="Print a table for a spreadsheet.")
@now_option
def log_command(session: str | None, as_json: bool, as_csv: bool, now: str | None) -> int:
    """Print what happened in a session: when, which step, how long, what was measured.

    \b
    Examples:
      shopstep log LAST
      shopstep log LAST --csv > log.csv
    """
    if as_json and as_csv:
        raise Problem("--json and --csv are two forms; choose one", ExitCode.USAGE)
    opened = read_session(session_name(session), make_clock(now))
    envelopes = opened.bench.changes_since(0)
    plan = opened.bench.plan
    kept = record(envelopes, plan)
    if as_csv:
        click.echo(log_csv(envelopes, plan), nl=False)
    elif as_json:
        say_json(log_document(envelopes, plan) | {"record": record_document(kept)})
    else:
        click.echo("\n".join([*log_lines(envelopes, plan), "", *record_lines(kept)]))
    return ExitCode.OK
