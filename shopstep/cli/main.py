"""The ``shopstep`` command: its commands by name, and its exit codes."""

from __future__ import annotations

import io
import os
import sys
from importlib import import_module
from typing import Any

import click

from shopstep.cli.output import say_problem
from shopstep.wiring.languages import speak_as_chosen
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import manner, say

_ROOMS = {
    "demo": "demo_command",
    "builds": "design_commands",
    "measure": "measure_commands",
    "check": "design_commands",
    "plan": "design_commands",
    "picture": "solid_commands",
    "drawing": "solid_commands",
    "prove": "solid_commands",
    "solid": "solid_commands",
    "rack": "rack_commands",
    "start": "start_command",
    "resume": "bench_commands",
    "do": "do_command",
    "tonight": "tonight_command",
    "board": "board_command",
    "remind": "remind_command",
    "print": "print_command",
    "log": "log_command",
    "unit": "unit_command",
    "tablet": "tablet_command",
    "devices": "tablet_command",
    "say": "say_command",
    "hear": "hear_command",
    "voice": "voice_command",
    "lessons": "lesson_commands",
    "check-session": "file_commands",
    "salvage": "file_commands",
    "new": "build_commands",
    "schema": "build_commands",
    "compare": "build_commands",
    "fit": "build_commands",
    "pack": "package_commands",
    "unpack": "package_commands",
    "where": "design_commands",
    "doctor": "doctor_command",
    "completion": "completion_command",
}

EXAMPLES = """\
\b
Examples:
  shopstep
  shopstep demo
  shopstep builds
  shopstep measure screened-floor
  shopstep plan screened-floor --units 2
  shopstep plan screened-floor --set box_width="16 1/2 in" --set box_length="20 1/4 in"
  shopstep start screened-floor --units 2 --temperature "18 C"
  shopstep resume
  shopstep do LAST done

Bench-side assistant for small wooden outdoor equipment: from your own measurements to a
finished batch, step by step.

\b
Exit codes: 0 ok, 1 plan refused or a rule broken, 2 usage or bad build file,
3 session conflict, 4 files, 130 interrupted.
"""


class NearestGroup(click.Group):
    """A group that answers a mistyped command with the nearest one, or with all that there are."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, with the nearest word for a mistyped command."""
        known = self.list_commands(ctx)
        if args and args[0] not in known and not args[0].startswith("-"):
            import difflib

            near = difflib.get_close_matches(args[0], known, n=1, cutoff=0.5)
            tail = (
                say("; did you mean '{near}'?", near=near[0])
                if near
                else say("; known: {rooms}", rooms=", ".join(known))
            )
            raise click.UsageError(
                say("there is no command '{args}'{tail}", args=args[0], tail=tail), ctx
            )
        return super().resolve_command(ctx, args)


class LateGroup(NearestGroup):
    """Imports a command's module when the command is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Every command, in the order of the work."""
        del ctx
        return list(_ROOMS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """One command by name; None where there is none."""
        del ctx
        room = _ROOMS.get(cmd_name)
        if room is None:
            return None
        found: click.Command = getattr(
            import_module(f"shopstep.cli.{room}"), f"{cmd_name.replace('-', '_')}_command"
        )
        if manner().catalogue is None:
            return found
        from shopstep.cli.help_words import in_words

        return in_words(found)

    def get_help(self, ctx: click.Context) -> str:
        """As click does, in the language that is spoken."""
        if manner().catalogue is None:
            return super().get_help(ctx)
        from shopstep.cli.help_words import in_words

        return click.Group.get_help(in_words(self), ctx)


def _version() -> str:
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("shopstep")
    except PackageNotFoundError:
        return say("from source")


def _say_version(ctx: click.Context, _: click.Parameter, asked: bool) -> None:
    if asked and not ctx.resilient_parsing:
        click.echo(say("shopstep, version {version}", version=_version()))
        ctx.exit()


@click.group(
    cls=LateGroup,
    help=EXAMPLES,
    invoke_without_command=True,
    context_settings={"max_content_width": 100},
)
@click.option(
    "--version",
    is_flag=True,
    expose_value=False,
    is_eager=True,
    callback=_say_version,
    help="Show the version and exit.",
)
@click.pass_context
def cli(ctx: click.Context) -> int | None:
    """Root of all commands; alone it opens the start screen."""
    if ctx.invoked_subcommand is not None:
        return None
    from shopstep.cli.start_screen import open_start

    return open_start()


def _soften_streams() -> None:
    """What the terminal cannot show is shown escaped; what cannot be read is replaced."""
    for stream, errors in ((sys.stdin, "replace"), (sys.stdout, "backslashreplace"),
                           (sys.stderr, "backslashreplace")):  # fmt: skip
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=errors)


def run(arguments: list[str]) -> int:
    """Run one command line; every known failure becomes a sentence and an exit code."""
    _soften_streams()
    trouble = speak_as_chosen()
    if trouble:
        click.echo(f"shopstep: {trouble}", err=True)
    try:
        with plain_problems():
            result: Any = cli.main(args=arguments, prog_name="shopstep", standalone_mode=False)
        return int(result) if isinstance(result, int) else int(ExitCode.OK)
    except Problem as problem:
        say_problem(problem)
        return int(problem.code)
    except click.ClickException as problem:
        from shopstep.cli.usage import say_usage

        say_usage(problem)
        return int(ExitCode.USAGE)
    except (KeyboardInterrupt, click.Abort):
        click.echo("", err=True)
        return int(ExitCode.INTERRUPTED)
    except BrokenPipeError:
        return _seen_enough()
    except SystemExit:
        # no command ends so; click does, where it meets the broken pipe before us
        return _seen_enough()


def _seen_enough() -> int:
    """The reader has seen enough; keep the interpreter from complaining at exit."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return int(ExitCode.OK)
