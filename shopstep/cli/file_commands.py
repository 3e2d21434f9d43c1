"""Commands for session files: look one over, get back what is whole of a damaged one."""

from __future__ import annotations

from pathlib import Path

import click

from shopstep.cli.completing import offer_sessions
from shopstep.cli.options import json_option
from shopstep.cli.output import say_json
from shopstep.present.moments import utc_text
from shopstep.wiring.problems import ExitCode
from shopstep.wiring.session_files import Salvaged, SessionReport, look_over, salvage_session
from shopstep.words import say


@click.command("check-session", short_help="Whether a session file is whole.")
@click.argument("session", required=False, shell_complete=offer_sessions)
@json_option
def check_session_command(session: str | None, as_json: bool) -> int:
    """Look a session file over (a file, a name, or the latest): pages, events, plans, copies.

    \b
    Example: shopstep check-session LAST
    """
    report = look_over(None if session == "LAST" else session)
    if as_json:
        say_json(_document(report))
    else:
        click.echo("\n".join(_lines(report)))
    return ExitCode.OK if report.is_whole else ExitCode.FILES


def _lines(report: SessionReport) -> list[str]:
    lines = [str(report.path)]
    if report.events:
        last = utc_text(report.last_s)
        lines.append(
            say(
                "{report_title}: {events} events, {count}, the last at {last}",
                report_title=report.title,
                events=report.events,
                count=_count(report.plans, "plan"),
                last=last,
            )
        )
    lines += [say("copy: {copy}", copy=copy) for copy in report.copies]
    if report.is_whole:
        return [*lines, say("Whole: every page, event and plan can be read.")]
    return [
        *lines,
        say("Not whole: {problem}", problem=report.problem),
        say("Then: shopstep salvage {path}", path=report.path),
    ]


def _document(report: SessionReport) -> dict[str, object]:
    return {
        "version": 1,
        "file": str(report.path),
        "whole": report.is_whole,
        "problem": report.problem or None,
        "title": report.title,
        "events": report.events,
        "plans": report.plans,
        "last": utc_text(report.last_s) if report.last_s else None,
        "copies": [str(copy) for copy in report.copies],
    }


@click.command("salvage", short_help="What is whole of a damaged session file.")
@click.argument("session", shell_complete=offer_sessions)
@click.option("--to", "target", type=click.Path(path_type=Path), help="The new file.")
def salvage_command(session: str, target: Path | None) -> int:
    """Write all whole events of a session file and its copies into a new file.

    The damaged file stays as it is.

    \b
    Example: shopstep salvage screened-floor-2026-01-15
    """
    click.echo("\n".join(_salvaged_lines(salvage_session(session, target))))
    return ExitCode.OK


def _salvaged_lines(found: Salvaged) -> list[str]:
    where = (
        say(" and {count}", count=_count(found.copies, "copy", "copies")) if found.copies else ""
    )
    lines = [
        say(
            "{file}: {events} events, found in the file{where}.",
            file=found.file,
            events=found.events,
            where=where,
        )
    ]
    if found.lost:
        lines.append(
            say(
                "{count} stood behind a gap and could not be taken over.",
                count=_count(found.lost, say("later event")),
            )
        )
    return [*lines, say("Go on with it: shopstep resume {file}", file=found.file)]


def _count(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"
