"""Reminders of a session for a calendar."""

from __future__ import annotations

from pathlib import Path

import click

from shopstep.cli.completing import offer_sessions
from shopstep.cli.options import now_option
from shopstep.paper.reminders import Reminder, make_reminders
from shopstep.present.moments import day_words, local_date, local_time
from shopstep.wiring.benches import open_session
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import say


@click.command("remind", short_help="Dry, cured, next evening: for your calendar.")
@click.argument("session", required=False, shell_complete=offer_sessions)
@click.option(
    "--to", "target", type=click.Path(path_type=Path), help="The calendar file (.ics) to write."
)
@click.option("--all-evenings", is_flag=True, help="Every evening to come, not only the next one.")
@now_option
def remind_command(
    session: str | None, target: Path | None, all_evenings: bool, now: str | None
) -> int:
    """When glue is cured and paint is dry, and the next evening, as a file that calendars read.

    Write it again after a change of plan: a second import moves the entries of the first.

    \b
    Example: shopstep remind LAST --to reminders.ics
    """
    opened = open_session(None if session == "LAST" else session, make_clock(now), "do")
    bench = opened.bench
    with plain_problems():
        plan = bench.ahead()
    now_s = bench.now_s()
    first = bench.changes_since(0)[0].command_id
    reminders = make_reminders(first, bench.state, plan, now_s, all_evenings=all_evenings)
    if not reminders:
        text = say("there is nothing to remind of: no wait runs and no evening is to come")
        raise Problem(text, ExitCode.REFUSED)
    click.echo("\n".join(_line(each, plan.zone) for each in reminders))
    if target is not None:
        from shopstep.paper.calendar_file import calendar_text

        with plain_problems():
            target.write_bytes(calendar_text(reminders, bench.state.version, now_s))
        click.echo(say("Written for your calendar: {target}", target=target))
    return ExitCode.OK


def _line(reminder: Reminder, zone: str) -> str:
    day = day_words(local_date(reminder.start_s, zone))
    return f"{day} {local_time(reminder.start_s, zone)}  {reminder.title}"
