"""Sheets of a batch on paper."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from shopstep.cli.completing import offer_both
from shopstep.cli.options import now_option, wish_options
from shopstep.paper.sheets import SHEETS
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.printing import (
    Printout,
    is_session,
    make_sheets,
    make_tonight,
    printout_of_builds,
    printout_of_session,
    usual_paper,
    write_sheets,
)
from shopstep.wiring.problems import ExitCode
from shopstep.words import say

NAMES = tuple(SHEETS)


def _names(_: click.Context, option: click.Parameter, value: str | None) -> tuple[str, ...]:
    """In the order of the work, each once."""
    if value is None:
        return NAMES
    typed = [name.strip() for name in value.split(",")]
    for name in typed:
        if name not in NAMES:
            from difflib import get_close_matches

            near = get_close_matches(name, NAMES, n=1, cutoff=0.0)[0]
            raise click.BadParameter(
                say(
                    "there is no sheet '{name}'; nearest is '{near}' of {names}",
                    name=name,
                    near=near,
                    names=", ".join(NAMES),
                ),
                param=option,
            )
    return tuple(name for name in NAMES if name in typed)


@click.command("print", short_help="Sheets on paper: parts, cuts, setups, steps to tick.")
@click.argument(
    "what", nargs=-1, required=True, metavar="BUILDS|SESSION", shell_complete=offer_both
)
@click.option(
    "--to",
    "target",
    type=click.Path(path_type=Path),
    required=True,
    help="The PDF file, or a folder for one file a sheet.",
)
@click.option(
    "--sheets",
    "names",
    metavar="NAMES",
    callback=_names,
    help=f"Only these, e.g. parts,steps. All: {', '.join(NAMES)}.",
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    help="Size of the page.  [default: letter where the plan shows inches, else a4]",
)
@click.option("--both", is_flag=True, help="Sizes in inches and in millimetres.")
@click.option("--tonight", is_flag=True, help="One sheet: what is left to do tonight.")
@wish_options
@now_option
def print_command(
    what: tuple[str, ...],
    target: Path,
    names: tuple[str, ...],
    paper: str | None,
    both: bool,
    tonight: bool,
    now: str | None,
    **given: Any,
) -> int:
    """Print a build, or a session as far as it has come: a whole batch can be done from paper.

    \b
    Examples:
      shopstep print screened-floor --units 2 --to floor.pdf
      shopstep print screened-floor --sheets measure --paper letter --to measure.pdf
      shopstep print LAST --tonight --to tonight.pdf
    """  # fmt: skip
    printout = _printout(what, given, now)
    show = "both" if both else ""
    paper = paper or usual_paper(printout)
    sheets = make_tonight(printout) if tonight else make_sheets(printout, names, show, paper)
    for file in write_sheets(printout, sheets, paper, target):
        click.echo(say("Written: {file}", file=file))
    return ExitCode.OK


def _printout(what: tuple[str, ...], given: dict[str, Any], now: str | None) -> Printout:
    clock = make_clock(now)
    if len(what) == 1 and is_session(what[0]):
        return printout_of_session(what[0], clock)
    from shopstep.cli.design_commands import make_wish

    return printout_of_builds(make_wish(what, given), clock)
