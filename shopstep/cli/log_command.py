"""``log``: what was done in a session, when, how long."""

from __future__ import annotations

import click

from shopstep.cli.completing import offer_sessions
from shopstep.cli.options import json_option, now_option, session_name
from shopstep.cli.output import WIDTH, say_json
from shopstep.present.account import account_document, account_lines, account_of
from shopstep.present.lines import wrap_lines
from shopstep.present.log import (
    log_document,
    log_lines,
    record,
    record_document,
    record_lines,
)
from shopstep.present.log_csv import log_csv
from shopstep.present.record_text import title_lines
from shopstep.wiring.benches import read_session
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.price_list import prices_of
from shopstep.wiring.problems import ExitCode, Problem
from shopstep.wiring.unit_logs import codes_of
from shopstep.words import say


@click.command("log", short_help="What was done, when, how long.")
@click.argument("session", required=False, shell_complete=offer_sessions)
@json_option
@click.option("--csv", "as_csv", is_flag=True, help="Print a table for a spreadsheet.")
@click.option("--summary", is_flag=True, help="Only what the batch took: money, hours, wood.")
@now_option
def log_command(
    session: str | None, as_json: bool, as_csv: bool, summary: bool, now: str | None
) -> int:
    """Print what happened in a session: when, which step, how long, what was measured.

    \b
    Examples:
      shopstep log LAST
      shopstep log LAST --summary
      shopstep log LAST --csv > log.csv
    """
    if as_csv and (as_json or summary):
        other = "--json" if as_json else "--summary"
        raise Problem(
            say("{other} and --csv are two forms; choose one", other=other), ExitCode.USAGE
        )
    opened = read_session(session_name(session), make_clock(now))
    envelopes = opened.bench.changes_since(0)
    plan = opened.bench.plan
    kept = record(envelopes, plan)
    prices = prices_of(opened)
    account = account_of(kept, plan, prices, opened.bench.now_s())
    if summary and not as_json:
        codes = say("Codes: {codes_of}", codes_of=", ".join(codes_of(opened)))
        lines = [*title_lines(kept), codes, *account_lines(account, prices)]
        click.echo("\n".join(wrap_lines(lines, WIDTH)))
    elif as_csv:
        click.echo(log_csv(envelopes, plan), nl=False)
    elif as_json:
        took: dict[str, object] = {
            "record": record_document(kept),
            "account": account_document(account, prices),
        }
        say_json(took if summary else log_document(envelopes, plan) | took)
    else:
        click.echo("\n".join([*log_lines(envelopes, plan), "", *record_lines(kept)]))
    return ExitCode.OK
