"""Commands for the rack: what lies there, put on, taken off, looked over, as a table."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from shopstep.cli.main import NearestGroup
from shopstep.cli.options import json_option
from shopstep.cli.output import is_terminal, say_json
from shopstep.model.rack import Answers, KeptPiece, Stuff, barred_words
from shopstep.present.document_values import length_entry
from shopstep.present.rack_text import ASKED, rack_lines, size_words
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.wiring.rack_desk import RackDesk, RackReport
from shopstep.wiring.rack_words import read_piece
from shopstep.words import say, to_say

_SAY_SIZES = to_say(
    'say LENGTH WIDTH THICKNESS, for example: shopstep rack add 38in "5 1/2 in" 3/4in'
)


def _answer_options(command: Any) -> Any:
    for name, question in reversed(ASKED.items()):
        word = name.replace("_", "-")
        command = click.option(f"--{word}/--no-{word}", name, default=None, help=question)(command)
    return command


@click.group("rack", cls=NearestGroup, short_help="Boards and offcuts that you have.")
def rack_command() -> None:
    """What lies on your rack: plans are cut from it first, and what is cut leaves it.

    \b
    Examples:
      shopstep rack add "38 1/2 in" "5 1/2 in" "3/4 in" --defect "12 in..14 in"
      shopstep rack list
      shopstep rack export > rack.csv
    """


@rack_command.command("add", short_help="Put a measured piece on the rack.")
@click.argument("length", required=False)
@click.argument("width", required=False)
@click.argument("thickness", required=False)
@click.option("--material", default="wood", show_default=True,
              type=click.Choice([stuff.value for stuff in Stuff]))  # fmt: skip
@click.option("--id", "id_", default="", help="What is chalked on it; the next number if not.")
@click.option("--defect", "defects", multiple=True, metavar="FROM..TO",
              help="A zone along the length that is not to be used. Repeatable.")  # fmt: skip
@click.option("--note", default="")
@click.option("--count", default=1, type=click.IntRange(1, 200), help="So many alike.")
@click.option("--reclaimed", is_flag=True, help="It was something else before; asked once.")
@click.option("--unit", type=click.Choice(["in", "mm"]), default="in", help="Unit of the keys.")
@_answer_options
def add_command(
    length: str | None,
    width: str | None,
    thickness: str | None,
    material: str,
    id_: str,
    defects: tuple[str, ...],
    note: str,
    count: int,
    reclaimed: bool,
    unit: str,
    **given: bool | None,
) -> int:
    """Put a measured piece on the rack: LENGTH along the grain, WIDTH, THICKNESS.

    Without sizes, at a terminal, all is asked by large keys. A reclaimed piece is asked about
    once; until all is answered, and answered well, no plan gets
    it.

    \b
    Examples:
      shopstep rack add
      shopstep rack add "38 1/2 in" "5 1/2 in" "3/4 in"
      shopstep rack add 1200mm 600mm 12mm --material plywood
      shopstep rack add 40in 7in 3/4in --no-metal --no-old-paint --no-preservative --no-damp
    """
    if length is None and is_terminal():
        return _add_by_keys(unit)
    if length is None or width is None or thickness is None:
        raise click.UsageError(say(_SAY_SIZES))
    if count > 1 and id_:
        raise click.UsageError(say("--count gives each piece its own number; leave --id out"))
    reclaimed = reclaimed or any(value is not None for value in given.values())
    answers = _ask(given) if reclaimed else Answers()
    piece = read_piece(
        id_, material, length, width, thickness, "; ".join(defects), note, reclaimed, answers
    )
    numbers = RackDesk().add([piece] * count)
    for added in numbers:
        click.echo(
            say("{added}: {size}. Write {added} on it.", added=added, size=size_words(piece, "in"))
        )
    _say_barred(piece, numbers[-1])
    return ExitCode.OK


def _add_by_keys(unit: str) -> int:
    from shopstep.tui import run_offcuts
    from shopstep.wiring.screens import put_offcut, screen_settings

    return run_offcuts(unit, put_offcut(unit), theme=screen_settings().theme)


def _ask(given: dict[str, bool | None]) -> Answers:
    """What was given, and at a terminal the rest, asked one by one."""
    if not sys.stdin.isatty():
        return Answers(**given)
    return Answers(
        **{
            name: click.confirm(say(ASKED[name])) if value is None else value
            for name, value in given.items()
        }
    )


def _to_answer(id_: str) -> str:
    """How to answer what is asked of a reclaimed piece: at a terminal, and in a pipe."""
    asked = " ".join(f"--[no-]{name.replace('_', '-')}" for name in ASKED)
    return say(
        "Look it over and answer: shopstep rack inspect {id}\n(without a terminal: {asked})",
        id=id_,
        asked=asked,
    )


def _say_barred(piece: KeptPiece, id_: str) -> None:
    barred = barred_words(piece)
    if barred:
        click.echo(say("No plan gets it: {barred}.", barred=barred))
    if piece.reclaimed and not piece.answers.is_complete:
        click.echo(_to_answer(id_))


@rack_command.command("list", short_help="What lies there, and why a piece is not offered.")
@click.option("--all", "is_all", is_flag=True, help="Also what left the rack.")
@click.option("--show", "display", type=click.Choice(["in", "mm"]), default="in")
@json_option
def list_command(is_all: bool, display: str, as_json: bool) -> int:
    """List the pieces, with why a piece is not offered to plans.

    \b
    Example: shopstep rack list
    """
    pieces = RackDesk().kept(is_all=is_all)
    if as_json:
        say_json({"version": 1, "pieces": [_entry(piece, display) for piece in pieces]})
    else:
        click.echo("\n".join(rack_lines(pieces, display)))
    return ExitCode.OK


def _entry(piece: KeptPiece, display: str) -> dict[str, object]:
    found = piece.answers
    return {
        "id": piece.id,
        "material": piece.stuff.value,
        "length": length_entry(piece.length, display),
        "width": length_entry(piece.width, display),
        "thickness": length_entry(piece.thickness, display),
        "defects": [[length_entry(n, display) for n in zone] for zone in piece.defects],
        "note": piece.note,
        "reclaimed": piece.reclaimed,
        "metal": found.metal,
        "old_paint": found.old_paint,
        "preservative": found.preservative,
        "damp": found.damp,
        "offered": not (barred_words(piece) or piece.gone),
        "why_not": barred_words(piece) or None,
        "promised_to": piece.promised_to or None,
        "gone": piece.gone or None,
        "left_of": piece.left_of or None,
    }


@rack_command.command("use", short_help="Take pieces for something else.")
@click.argument("ids", nargs=-1, required=True)
@click.option("--anyway", is_flag=True, help="Although it is promised to a batch.")
def use_command(ids: tuple[str, ...], anyway: bool) -> int:
    """Take pieces for something else; what a plan uses leaves the rack by itself.

    \b
    Example: shopstep rack use R3
    """
    return _remove(ids, "used", is_sure=anyway)


@rack_command.command("drop", short_help="Take off what is burnt, lost or written wrongly.")
@click.argument("ids", nargs=-1, required=True)
@click.option("--anyway", is_flag=True, help="Although it is promised to a batch.")
def drop_command(ids: tuple[str, ...], anyway: bool) -> int:
    """Take pieces off the rack that are burnt, lost, or were written down wrongly.

    \b
    Example: shopstep rack drop R3 R7
    """
    return _remove(ids, "dropped", is_sure=anyway)


def _remove(ids: tuple[str, ...], how: str, *, is_sure: bool) -> int:
    for piece in RackDesk().remove(ids, how, is_sure=is_sure):
        click.echo(f"{piece.id}, {size_words(piece, 'in')}: {how}.")
    return ExitCode.OK


@rack_command.command("inspect", short_help="Look a reclaimed piece over.")
@click.argument("id_", metavar="ID")
@_answer_options
def inspect_command(id_: str, **given: bool | None) -> int:
    """Look a reclaimed piece over, and answer what is asked of it.

    \b
    Example: shopstep rack inspect R4 --no-metal --no-old-paint --no-preservative --no-damp
    """
    piece = RackDesk().answer(id_, _ask(given))
    if barred_words(piece):
        _say_barred(piece, piece.id)
    else:
        click.echo(say("{piece_id} is offered to plans from now on.", piece_id=piece.id))
    return ExitCode.OK


@rack_command.command("export", short_help="Write the rack as a CSV table.")
@click.argument("file", required=False, type=click.Path(path_type=Path))
def export_command(file: Path | None) -> int:
    """Write the rack as CSV, into FILE or to standard output.

    \b
    Example: shopstep rack export rack.csv
    """
    table = RackDesk().table()
    if file is None:
        click.echo(table.replace("\r\n", "\n"), nl=False)
        return ExitCode.OK
    with plain_problems():
        file.write_text(table, encoding="utf-8", newline="")
    click.echo(say("{file}: {count} pieces", file=file, count=table.count(chr(10)) - 1), err=True)
    return ExitCode.OK


@rack_command.command("import", short_help="Read pieces from a CSV table.")
@click.argument("file", type=click.Path(path_type=Path))
def import_command(file: Path) -> int:
    """Read pieces from a CSV file: all of it, or nothing where a line is wrong.

    A row with an id that is on the rack measures that piece anew; without an id it is a new one.
    Columns: id, material, length, width, thickness, defects, note, reclaimed, metal, old_paint,
    preservative, damp. Only length, width and thickness must be there.

    \b
    Example: shopstep rack import rack.csv
    """
    with plain_problems():
        data = file.read_bytes()
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Problem(say("{file} is no text in UTF-8", file=file), ExitCode.USAGE) from None
    try:
        added, changed = RackDesk().read_table(text)
    except Problem as problem:
        raise Problem(
            say("{file}, {problem}; nothing was read in", file=file, problem=problem.text),
            problem.code,
        ) from None
    click.echo(say("{added} new, {changed} measured anew.", added=added, changed=changed))
    return ExitCode.OK


@rack_command.command("check", short_help="Bring rack and sessions in line.")
@json_option
def check_command(as_json: bool) -> int:
    """Look over the rack's file, and bring in what sessions moved and it does not know.

    \b
    Example: shopstep rack check
    """
    report = RackDesk().line_up()
    if as_json:
        say_json(
            {
                "version": 1,
                "file": str(report.path),
                "pieces": report.pieces,
                "sessions": report.sessions,
                "put_right": list(report.put_right),
                "open": list(report.open_questions),
            }
        )
    else:
        click.echo("\n".join(_report_lines(report)))
    return ExitCode.OK if not report.open_questions else ExitCode.CONFLICT


def _report_lines(report: RackReport) -> list[str]:
    lines = [
        say(
            "{path}: {pieces} pieces, {sessions} sessions looked at.",
            path=report.path,
            pieces=report.pieces,
            sessions=report.sessions,
        )
    ]
    lines += [say("put right: {said}.", said=said) for said in report.put_right]
    lines += [say("to look at: {said}", said=said) for said in report.open_questions]
    if not report.put_right and not report.open_questions:
        lines.append(say("Rack and sessions agree."))
    return lines
