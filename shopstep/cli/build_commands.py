"""Commands around build files: new, schema, compare, fit."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from shopstep.cli.completing import offer_builds
from shopstep.cli.design_commands import make_wish
from shopstep.cli.options import json_option, now_option, size_options, wish_options
from shopstep.cli.output import say_json
from shopstep.desk import Wish
from shopstep.present.compare import compare_plans
from shopstep.present.compare_text import comparison_document, comparison_lines
from shopstep.present.together import is_together, together_document, together_lines
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.desks import build_schema, open_desk, write_new_build
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import say


@click.command("new", short_help="A small working build to start from.")
@click.argument("name")
@click.option("--to", "file", type=click.Path(path_type=Path), help="File to write; NAME.yaml.")
def new_command(name: str, file: Path | None) -> int:
    """Write a small, commented, working build file under a name of your own.

    A file that is there already is never written over.

    \b
    Example: shopstep new herb-box
    """
    target = write_new_build(name, file)
    click.echo(say("Wrote {target}. Change it, then: shopstep check {target}", target=target))
    return ExitCode.OK


@click.command("schema", short_help="What may stand in a build file.")
@click.argument("words", nargs=-1)
@click.option("--words", "plain", is_flag=True, help="The blocks of a build file, to read.")
def schema_command(words: tuple[str, ...], plain: bool) -> int:
    """Say what may stand in a build file: WORDS are a block, and what stands in it.

    Without words it is the JSON Schema, every field with its meaning: an editor that knows JSON
    Schema completes and checks build files with it.

    \b
    Examples:
      shopstep schema --words
      shopstep schema parts
      shopstep schema joints groove
      shopstep schema > build.schema.json
    """
    if words or plain:
        _say_words(words)
    else:
        say_json(build_schema())
    return ExitCode.OK


def _say_words(words: tuple[str, ...]) -> None:
    from shopstep.present.build_words import UnknownWord, word_lines

    try:
        click.echo("\n".join(word_lines(build_schema(), words)))
    except UnknownWord as problem:
        known = ", ".join(problem.known)
        text = (
            say("'{word}' is not known here; known are {known}", word=problem.word, known=known)
            if known
            else say("'{word}' has no words of its own", word=problem.word)
        )
        raise Problem(text, ExitCode.USAGE) from None


@click.command("compare", short_help="What changes from one design to another.")
@click.argument("old", shell_complete=offer_builds)
@click.argument("new", shell_complete=offer_builds)
@wish_options
@json_option
@now_option
def compare_command(old: str, new: str, as_json: bool, now: str | None, **given: Any) -> int:
    """Compare two builds (files, or names on the shelf) at the same measurements.

    What only one of them asks for stands at its own value.

    \b
    Examples:
      shopstep compare screened-floor my-floor.yaml
      shopstep compare old.yaml new.yaml --set box_width="16 1/2 in" --json
    """
    with plain_problems():
        begin_s = make_clock(now).now().at_s
        found = compare_plans(*open_desk().compare(old, new, make_wish((new,), given), begin_s))
    if as_json:
        say_json(comparison_document(found))
    else:
        click.echo("\n".join(comparison_lines(found)))
    return ExitCode.OK


@click.command("fit", short_help="Whether builds stack and slide together.")
@click.argument("builds", nargs=-1, required=True, shell_complete=offer_builds)
@size_options
@json_option
def fit_command(
    builds: tuple[str, ...],
    as_json: bool,
    settings: tuple[tuple[str, str], ...],
    shop: str | None,
    display: str | None,
) -> int:
    """Check that builds (files, or names on the shelf) made for the same measurements go together.

    Each says in its file where others meet it, and what must hold there. Name a build twice to
    see whether two of its kind go together.

    \b
    Example: shopstep fit screened-floor my-box.yaml --set box_width="16 1/2 in"
    """
    if len(builds) < 2:
        raise Problem(
            say("'{builds}' alone meets nothing; name two builds or more", builds=builds[0]),
            ExitCode.USAGE,
        )
    with plain_problems():
        wish = Wish(builds[0], settings=settings, shop=shop, display=display)
        report = open_desk().fit(builds, wish)
    if as_json:
        say_json(together_document(report))
    else:
        click.echo("\n".join(together_lines(report)))
    return ExitCode.OK if is_together(report) else ExitCode.REFUSED
