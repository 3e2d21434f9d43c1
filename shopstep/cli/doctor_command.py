"""``shopstep doctor``: whether this machine is ready, line by line with what to do."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Sequence

import click

from shopstep.cli.options import json_option
from shopstep.cli.output import is_terminal, say_json
from shopstep.present.columns import fold_item
from shopstep.wiring.checkup import Check, Terminal, Verdict, look_over_machine
from shopstep.wiring.problems import ExitCode
from shopstep.words import say

MARKS = {Verdict.GOOD: "ok", Verdict.LOOK: "look", Verdict.WRONG: "wrong"}
WIDTH = 78


@click.command("doctor", short_help="Whether this machine is ready, and what to do.")
@json_option
def doctor_command(as_json: bool) -> int:
    """Look at screen, colours, sound, folders, locks, settings, extras and clock.

    Nothing is changed. Each line that is not 'ok' says what to do.

    \b
    Example: shopstep doctor
    """
    columns, rows = shutil.get_terminal_size()
    encoding = (getattr(sys.stdout, "encoding", None) or "ascii").lower()
    checks = look_over_machine(Terminal(columns, rows, encoding, is_terminal()))
    is_well = all(check.verdict is not Verdict.WRONG for check in checks)
    if as_json:
        say_json(_document(checks, is_well=is_well))
    else:
        click.echo("\n".join(_lines(checks, is_well=is_well)))
    return ExitCode.OK if is_well else ExitCode.REFUSED


def _lines(checks: Sequence[Check], *, is_well: bool) -> list[str]:
    widest = max(len(check.name) for check in checks)
    lines: list[str] = []
    for check in checks:
        head = f"{MARKS[check.verdict]:<5}  {check.name:<{widest}}  "
        told = [check.found, check.then] if check.then else [check.found]
        for text in told:
            lines += [
                f"{head if text is told[0] and not at else ' ' * len(head)}{row}"
                for at, row in enumerate(fold_item(text, WIDTH - len(head), ""))
            ]
    end = say("Ready for the bench.") if is_well else say("Put right what is marked 'wrong' first.")
    return [*lines, "", end]


def _document(checks: Sequence[Check], *, is_well: bool) -> dict[str, object]:
    return {
        "version": 1,
        "ready": is_well,
        "checks": [
            {
                "name": check.name,
                "verdict": check.verdict.value,
                "found": check.found,
                "then": check.then or None,
            }
            for check in checks
        ],
    }
