"""``unit``: the log of one unit, found by the code that is written on it."""

from __future__ import annotations

import click

from shopstep.cli.options import json_option, now_option
from shopstep.cli.output import say_json
from shopstep.present.columns import align_rows
from shopstep.present.moments import day_words, local_date
from shopstep.present.unit_log import unit_document, unit_lines
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.problems import ExitCode, Problem
from shopstep.wiring.unit_logs import known_units, logs_of, note_unit
from shopstep.words import say
from shopstep.workbench import Clock

NOTE = "note"


@click.command("unit", short_help="A unit's log by its code, and notes from service.")
@click.argument("code", required=False)
@click.argument("words", nargs=-1, metavar="[note TEXT]")
@json_option
@now_option
def unit_command(code: str | None, words: tuple[str, ...], as_json: bool, now: str | None) -> int:
    """Show what is known of the unit with CODE, or add a dated note; without CODE list all codes.

    \b
    Examples:
      shopstep unit
      shopstep unit HK4RT
      shopstep unit HK4RT note "swelled in May, planed 1/32 in off the door"
    """
    clock = make_clock(now)
    if code is None:
        return _list_all(clock, as_json=as_json)
    if words and (words[0] != NOTE or len(words) < 2):
        raise Problem(say('after the code write: note "what you saw"'), ExitCode.USAGE)
    logs = [note_unit(code, " ".join(words[1:]), clock)] if words else logs_of(code, clock)
    if as_json:
        say_json({"version": 1, "units": [unit_document(log) for log in logs]})
    else:
        click.echo("\n\n".join("\n".join(unit_lines(log)) for log in logs))
    return ExitCode.OK


def _list_all(clock: Clock, *, as_json: bool) -> int:
    units = known_units(clock)
    rows = [
        (
            each.code,
            day_words(local_date(each.begun_s, each.zone)),
            say("unit {each_unit}", each_unit=each.unit),
            each.title,
        )
        for each in units
    ]
    if as_json:
        found = [{"code": r[0], "begun": r[1], "unit": u.unit, "title": r[3]} for r, u in
                 zip(rows, units, strict=True)]  # fmt: skip
        say_json({"version": 1, "units": found})
    else:
        click.echo(
            "\n".join(align_rows(rows)) if rows else say("No session is on this machine yet.")
        )
    return ExitCode.OK
