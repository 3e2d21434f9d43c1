"""The lessons of past sessions."""

from __future__ import annotations

from pathlib import Path

import click

from shopstep.cli.completing import offer_builds
from shopstep.cli.options import json_option
from shopstep.cli.output import say_json
from shopstep.present.lessons import lesson_lines, lessons_document
from shopstep.wiring.pasts import lessons_of
from shopstep.wiring.problems import ExitCode


@click.command("lessons", short_help="What past sessions of a build teach.")
@click.argument("build", shell_complete=offer_builds)
@click.option(
    "--from", "folder", type=click.Path(path_type=Path, exists=True, file_okay=False),
    help="A folder with session files, instead of the usual one.",
)  # fmt: skip
@json_option
def lessons_command(build: str, folder: Path | None, as_json: bool) -> int:
    """Notes for next time, what to get, what was kept outside its tolerance, and your own times.

    \b
    Example: shopstep lessons screened-floor
    """
    found = lessons_of(build, folder)
    if as_json:
        say_json(lessons_document(found))
    else:
        click.echo("\n".join(lesson_lines(found)))
    return ExitCode.OK
