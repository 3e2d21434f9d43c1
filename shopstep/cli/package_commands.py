"""Commands that hand a build on: pack, unpack."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from shopstep.cli.completing import offer_builds
from shopstep.cli.options import now_option, size_options
from shopstep.desk import Wish
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.packages import Landed, pack_build, plans_of_both, unpack_build
from shopstep.wiring.problems import ExitCode
from shopstep.words import say


@click.command("pack", short_help="A build in one file, for another keeper.")
@click.argument("build", shell_complete=offer_builds)
@click.option(
    "--to", "target", type=click.Path(path_type=Path), required=True, help="The file to write."
)
@click.option("--note", default="", metavar="TEXT", help="What you want to say to them.")
@click.option("--no-measurements", is_flag=True, help="Leave your own numbers out.")
@size_options
def pack_command(build: str, target: Path, note: str, no_measurements: bool, **given: Any) -> int:
    """Put a build, what it is made from and what to measure into one file.

    Your numbers go along, so that the other keeper can see what differs; your name does not,
    unless you write it into the note or have it in the build file.

    \b
    Example: shopstep pack screened-floor --to floor.zip
    """
    wish = Wish(build, **given)
    package = pack_build(wish, target, note, measured=not no_measurements)
    click.echo("\n".join(f"  {text.name}" for text in package.texts))
    count = len(package.measured)
    numbers = (
        say("{count} of your numbers", count=count) if count != 1 else say("1 of your numbers")
    )
    click.echo(
        say(
            "Packed with {numbers}: {target}",
            numbers=numbers if count else say("none of your numbers"),
            target=target,
        )
    )
    return ExitCode.OK


@click.command("unpack", short_help="A build that another keeper packed.")
@click.argument("package", type=click.Path(path_type=Path))
@click.option("--as", "name", metavar="NAME", help="Its name on your shelf.")
@size_options
@now_option
def unpack_command(package: Path, name: str | None, now: str | None, **given: Any) -> int:
    """Look a package over and put its build on your shelf; nothing that you have is changed.

    Where the sender's numbers are in it, each part that differs at your own ones is named. Measure
    first, then unpack it again, or give your numbers with --set.

    \b
    Example: shopstep unpack floor.zip --as club-floor --set box_width="16 1/2 in"
    """
    landed = unpack_build(package, name)
    click.echo("\n".join(_lines(landed)))
    if landed.package.measured:
        from shopstep.present.compare import compare_plans
        from shopstep.present.compare_text import differing_lines

        begin_s = make_clock(now).now().at_s
        theirs, own = plans_of_both(package, Wish(landed.name, **given), begin_s)
        click.echo(say("\nFrom the sender's to yours:"))
        click.echo("\n".join(differing_lines(compare_plans(theirs, own))))
    return ExitCode.OK


def _lines(landed: Landed) -> list[str]:
    found = landed.found
    lines = [
        say(
            "{found_title}, revision {revision}: on your shelf as '{landed_name}'.",
            found_title=found.title,
            revision=found.revision,
            landed_name=landed.name,
        )
    ]
    if landed.package.note:
        lines.append(say("Note: {note}", note=landed.package.note))
    names = ", ".join(question.name for question in found.asks)
    return [
        *lines,
        say("Measure your own: shopstep measure {landed_name}", landed_name=landed.name),
        say("It asks for {names}.", names=names),
    ]
