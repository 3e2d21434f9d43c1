"""How results and problems are printed: text for people, JSON for programs."""

from __future__ import annotations

import json
import sys

import click

from shopstep.model.plan import Finding, Level, Where
from shopstep.wiring.problems import Problem
from shopstep.words import say, to_say

VERSION = 1
WIDTH = 78
NO_WHY = to_say("No reason was written for this step.")


def say_json(document: dict[str, object]) -> None:
    """One JSON document on standard output."""
    click.echo(json.dumps(document, indent=2, ensure_ascii=False))


def place_text(where: Where) -> str:
    """``builds/x.yaml, line 12: `` or an empty string."""
    if not where.file:
        return ""
    from shopstep.wiring.shelf_names import short_place

    if where.line:
        return say(
            "{short_place}, line {line}: ", short_place=short_place(where.file), line=where.line
        )
    return f"{short_place(where.file)}: "


def say_finding(finding: Finding) -> None:
    """A finding with its level, folded, on standard output."""
    from shopstep.present.columns import fold_text

    told = f"{say(finding.level.value)}: {finding_text(finding)}"
    click.echo("\n".join(fold_text(told, WIDTH, rest="  ")))


def say_problem(problem: Problem) -> None:
    """The sentence on standard error, each stop finding with its place and its remedy."""
    stops = [f for f in problem.findings if f.level is Level.STOP]
    if not stops:
        click.echo(
            say(
                "shopstep: {place}{problem}", place=place_text(problem.where), problem=problem.text
            ),
            err=True,
        )
    from shopstep.present.findings import told_once

    for finding in told_once(stops):
        click.echo(say("shopstep: {finding}", finding=finding_text(finding)), err=True)


def finding_text(finding: Finding) -> str:
    """Place, sentence and remedy of a finding, in one line."""
    return f"{place_text(finding.where)}{finding.sentence}"


def is_terminal() -> bool:
    """Whether a person sits at a screen that can show more than lines."""
    import os

    streams = (sys.stdin, sys.stdout)
    sits = all(stream is not None and stream.isatty() for stream in streams)
    return sits and os.environ.get("TERM", "dumb") != "dumb"


def read_line() -> str | None:
    """The next line that is typed, after a mark where a person types it; None at the end."""
    if sys.stdin is None:
        return None
    if sys.stdin.isatty():
        click.echo("> ", nl=False)
    line = sys.stdin.readline()
    return line.rstrip("\n") if line else None
