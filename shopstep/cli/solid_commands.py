"""Commands that look at the solids: picture, drawing, prove, solid."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import click

from shopstep.cli.completing import offer_builds
from shopstep.cli.design_commands import CHECKED_FROM_S, make_wish
from shopstep.cli.options import json_option, wish_options
from shopstep.cli.output import place_text, say_json
from shopstep.cli.picture_words import dots_problem
from shopstep.model.plan import Level, Plan
from shopstep.wiring.desks import open_desk
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import say

_MOST_COLUMNS, _MOST_ROWS = 100, 32


def _plan_of(build: str, given: dict[str, Any]) -> Plan:
    return open_desk().plan(make_wish((build,), given), CHECKED_FROM_S)


@click.command("picture", short_help="What a step looks like.")
@click.argument("build", shell_complete=offer_builds)
@click.argument("step", required=False)
@click.option(
    "--to", "target", type=click.Path(path_type=Path),
    help="Write SVG: one step, or all on one sheet, to FILE.svg; each step by itself to a folder.",
)  # fmt: skip
@wish_options
def picture_command(build: str, step: str | None, target: Path | None, **given: Any) -> int:
    """Show the picture of a step, or of every step: what is there, what comes now and from where.

    \b
    Examples:
      shopstep picture screened-floor glue/close_right
      shopstep picture screened-floor --to floor.svg
      shopstep picture screened-floor --to pictures/
    """
    from shopstep.wiring import pictures

    with plain_problems():
        plan = _plan_of(build, given)
        kind = pictures.find_kind(plan, step) if step else None
        if target is not None:
            return _write_pictures(plan, kind, target)
        _refuse_without_dots()
        kinds = (kind,) if kind else pictures.pictured_kinds(plan)
        titles = {each.id: each.title for each in plan.kinds}
        columns, rows = _room()
        for each in kinds:
            lines = pictures.picture_of(plan, each, columns, rows)
            shown = lines or (say("This step has nothing to show."),)
            click.echo("\n".join((f"{each}: {titles[each]}", *shown, "")))
    return ExitCode.OK


def _refuse_without_dots() -> None:
    """Problem where what reads the output knows no braille."""
    text = dots_problem()
    if text:
        raise Problem(
            say("{text}, or write a file with --to picture.svg", text=text), ExitCode.USAGE
        )


def _room() -> tuple[int, int]:
    """Columns and rows of a picture, with room for the line above and the prompt."""
    size = shutil.get_terminal_size((80, 26))
    return min(size.columns, _MOST_COLUMNS), min(size.lines - 3, _MOST_ROWS)


def _write_pictures(plan: Plan, kind: str | None, target: Path) -> int:
    from shopstep.wiring import pictures

    if target.suffix.lower() == ".svg":
        text = pictures.picture_file(plan, kind) if kind else pictures.contact_file(plan)
        target.write_text(text, encoding="utf-8")
        click.echo(str(target))
        return ExitCode.OK
    target.mkdir(parents=True, exist_ok=True)
    for each in (kind,) if kind else pictures.pictured_kinds(plan):
        file = target / f"{each.replace('/', '-').replace('#', '-')}.svg"
        file.write_text(pictures.picture_file(plan, each), encoding="utf-8")
        click.echo(str(file))
    return ExitCode.OK


@click.command("drawing", short_help="A part in three views, with its measures.")
@click.argument("build", shell_complete=offer_builds)
@click.argument("part")
@click.option("--to", "target", type=click.Path(path_type=Path), required=True, help="FILE.svg")
@wish_options
def drawing_command(build: str, part: str, target: Path, **given: Any) -> int:
    """Draw one part on a sheet of A4: three views to scale, every measure from its named face.

    \b
    Example: shopstep drawing screened-floor "left side_rail" --to left-rail.svg
    """
    from shopstep.wiring import pictures

    with plain_problems():
        plan = _plan_of(build, given)
        text = pictures.drawing_file(plan, pictures.find_part(plan, part))
        target.write_text(text, encoding="utf-8")
    click.echo(str(target))
    return ExitCode.OK


@click.command("prove", short_help="Whether nothing collides and the order can be done.")
@click.argument("build", shell_complete=offer_builds)
@wish_options
@json_option
def prove_command(build: str, as_json: bool, **given: Any) -> int:
    """Prove a build from its solids: no two parts share space, every joint's faces meet, left and
    right are mirror images, and everything has a free straight way in, in the order of the steps.

    \b
    Example: shopstep prove screened-floor --set box_width="16 1/2 in"
    """
    from shopstep.present.proof_text import proof_document, proof_lines

    with plain_problems():
        wish = make_wish((build,), given)
        proof = open_desk().prove(wish, CHECKED_FROM_S)
    if as_json:
        say_json(proof_document(proof))
    else:
        click.echo("\n".join(proof_lines(proof, place_text)))
    stopped = any(finding.level is Level.STOP for finding in proof.findings)
    return ExitCode.REFUSED if stopped else ExitCode.OK


@click.command("solid", short_help="The finished thing as a 3MF or STL file.")
@click.argument("build", shell_complete=offer_builds)
@click.option(
    "--to", "target", type=click.Path(path_type=Path), required=True, help="FILE.3mf or FILE.stl"
)
@wish_options
def solid_command(build: str, target: Path, **given: Any) -> int:
    """Write every part where it stands as a solid, in millimetres, to look at it elsewhere.

    \b
    Example: shopstep solid screened-floor --to floor.3mf
    """
    from shopstep.wiring import pictures

    with plain_problems():
        plan = _plan_of(build, given)
        target.write_bytes(pictures.solid_file(plan, target.suffix.lower()))
    click.echo(str(target))
    return ExitCode.OK
