"""Commands around a session: start, resume, do, log."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from uuid import uuid4

import click

from shopstep.cli.options import far_option, json_option, now_option, plain_option, wish_options
from shopstep.cli.output import is_terminal, read_line, say_json
from shopstep.cli.picture_words import picture_lines
from shopstep.cli.plain import NO_WHY, run_plain
from shopstep.present.ahead import ahead_lines
from shopstep.present.air import asks_for_air, last_air_line
from shopstep.present.board import board_of
from shopstep.present.board_text import board_lines
from shopstep.present.card import StepCard
from shopstep.present.card_document import card_document
from shopstep.present.change_text import change_lines
from shopstep.present.facts import headline_of
from shopstep.present.lines import card_lines, wrap_lines
from shopstep.present.log import (
    log_document,
    log_lines,
    record,
    record_document,
    record_lines,
)
from shopstep.present.log_csv import log_csv
from shopstep.present.phrases import name_ready, parse_command
from shopstep.present.summary import summary_lines, was_interrupted
from shopstep.session.commands import Refusal
from shopstep.session.flow import index_plan
from shopstep.wiring.benches import (
    OnChange,
    OpenSession,
    open_session,
    plans_of_change,
    read_session,
    start_session,
)
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.wiring.screens import keys_problem, make_alarm, make_pictures, screen_settings

LAST = "LAST"
"""Stands for the latest session where a name is needed."""


@click.command("start", short_help="Begin a batch at the bench.")
@click.argument("builds", nargs=-1, required=True)
@wish_options
@click.option("--session", "file", type=click.Path(path_type=Path), help="Session file to make.")
@far_option
@plain_option
@now_option
def start_command(
    builds: tuple[str, ...],
    file: Path | None,
    is_far: bool,
    plain: bool,
    now: str | None,
    **given: Any,
) -> int:
    """Plan a batch, make its session file and open the bench screen.

    \b
    Example: shopstep start screened-floor --units 2 --temperature "18 C"
    """
    from shopstep.cli.design_commands import make_wish

    clock = make_clock(now)
    face = _face(plain)
    look = look_of_screen(face, is_far)
    betters = is_terminal()
    opened = start_session(make_wish(builds, given), file, clock, face, betters=betters)
    click.echo(f"session: {opened.journal.path}", err=True)
    return open_face(opened, face, look)


@click.command("resume", short_help="Go on where you stopped.")
@click.argument("session", required=False)
@click.option("--keep-plan", is_flag=True, help="The build file changed: keep the session's plan.")
@click.option("--move-plan", is_flag=True, help="The build file changed: plan the rest from it.")
@click.option("--show-change", is_flag=True, help="Only show what that would change.")
@far_option
@plain_option
@now_option
def resume_command(
    session: str | None,
    keep_plan: bool,
    move_plan: bool,
    show_change: bool,
    is_far: bool,
    plain: bool,
    now: str | None,
) -> int:
    """Open a session (a file, a name, or the latest) on the step where it stood.

    \b
    Examples:
      shopstep resume
      shopstep resume screened-floor-2026-01-15
    """
    face = _face(plain)
    if keep_plan + move_plan + show_change > 1:
        raise click.UsageError("--keep-plan, --move-plan and --show-change: one of them at a time")
    if show_change:
        old, new = plans_of_change(_name(session), make_clock(now), face)
        click.echo("\n".join(change_lines(old, new)))
        return ExitCode.OK
    on_change = _on_change(keep_plan, move_plan)
    look = look_of_screen(face, is_far)
    opened = open_session(
        _name(session),
        make_clock(now),
        face,
        on_change,
        must_write=True,
        betters=is_terminal(),
    )
    if face == "plain":
        _say_coming_back(opened)
    return open_face(opened, face, look, is_resumed=True)


@click.command(
    "do",
    short_help="One command without the screen.",
    context_settings={"ignore_unknown_options": True},
)
@click.argument("session")
@click.argument("words", nargs=-1, required=True)
@click.option("--step", metavar="ID", help="The step that is meant; the one at the bench if not.")
@click.option("--keep-plan", is_flag=True, help="The build file changed: keep the session's plan.")
@json_option
@now_option
def do_command(
    session: str,
    words: tuple[str, ...],
    step: str | None,
    keep_plan: bool,
    as_json: bool,
    now: str | None,
) -> int:
    """Carry out one command in SESSION (a file, a name, or LAST) and print the card.

    \b
    Commands: done, start, ack, back, hold, resume, measure NAME VALUE [WHERE],
    accept NAME [REASON], take STEP, note TEXT, conditions T RH, aside, spoiled, scraped,
    closed, next, get, stop; to look: status, summary, board, why, picture,
    more
    \b
    Examples:
      shopstep do LAST status
      shopstep do LAST measure diagonals_differ "1/32 in"
      shopstep do LAST measure gap_bevel "1/16 in" toe
      shopstep do LAST done --step u1/glue/square_frame
    """
    opened = open_session(_name(session), make_clock(now), "do", _on_change(keep_plan))
    if words[0] in _LOOKS and not as_json:
        _LOOKS[words[0]](opened)
        return ExitCode.OK
    outcome = opened.bench.card() if words[0] in _LOOKS else _carry_out(opened, list(words), step)
    refused = outcome if isinstance(outcome, Refusal) else None
    if as_json:
        _say_card_document(opened, outcome)
    elif isinstance(outcome, Refusal):
        click.echo(f"shopstep: {outcome.in_words}", err=True)
    else:
        _say_card(opened, outcome)
    return ExitCode.REFUSED if refused else ExitCode.OK


def _on_change(keep_plan: bool, move_plan: bool = False) -> OnChange:
    if move_plan:
        return OnChange.MOVE
    return OnChange.KEEP if keep_plan else OnChange.ASK


def _carry_out(opened: OpenSession, words: list[str], step: str | None) -> StepCard | Refusal:
    """The card after the command, with what is to be said about it."""
    card = opened.bench.card()
    named = name_ready(words, opened.bench.ready())
    command = parse_command(named, card, step, uuid4().hex) if isinstance(named, list) else named
    if isinstance(command, str):
        raise Problem(command, ExitCode.USAGE)
    outcome = opened.bench.do(command)
    return outcome if isinstance(outcome, Refusal) else outcome.card


def _say_card(opened: OpenSession, card: StepCard | None = None) -> None:
    bench = opened.bench
    shown = card or bench.card()
    click.echo("\n".join(card_lines(shown, bench.now_s(), bench.plan.zone)))


def _say_why(opened: OpenSession) -> None:
    click.echo(opened.bench.card().why or NO_WHY)


def _say_ready(opened: OpenSession) -> None:
    bench = opened.bench
    for number, step in enumerate(bench.ready(), 1):
        headline = headline_of(step, index_plan(bench.plan).kind_of(step))
        click.echo(f"{number}. {headline}: take {number}, or take {step.id}")


def _say_summary(opened: OpenSession) -> None:
    bench = opened.bench
    bench.card()
    click.echo("\n".join(summary_lines(bench.state, bench.plan, bench.now_s())))


def _say_coming_back(opened: OpenSession) -> None:
    """After an interruption where the work stands; on another day also what the air was."""
    bench = opened.bench
    if was_interrupted(bench.state, bench.now_s()):
        _say_summary(opened)
    if asks_for_air(bench.state, bench.plan, bench.now_s()):
        click.echo("\n".join(wrap_lines([last_air_line(bench.state, bench.plan)], 78)))


def _say_board(opened: OpenSession) -> None:
    bench = opened.bench
    bench.card()
    click.echo("\n".join(board_lines(board_of(bench.state, bench.plan, bench.now_s()))))


def _say_picture(opened: OpenSession) -> None:
    bench = opened.bench
    step_id = bench.card().step_id
    click.echo("\n".join(picture_lines(bench.plan, step_id)))


def _say_ahead(opened: OpenSession) -> None:
    bench = opened.bench
    with plain_problems():
        ahead = bench.ahead()
    click.echo("\n".join(ahead_lines(bench.state, bench.plan, ahead)))


_LOOKS = {
    "summary": _say_summary,
    "board": _say_board,
    "ahead": _say_ahead,
    "status": _say_card,
    "why": _say_why,
    "picture": _say_picture,
    "more": _say_ready,
}
"""Words that only look."""


def _say_card_document(opened: OpenSession, outcome: StepCard | Refusal) -> None:
    bench = opened.bench
    refused = outcome if isinstance(outcome, Refusal) else None
    card = bench.card() if isinstance(outcome, Refusal) else outcome
    document = card_document(card, bench.now_s(), bench.state.title)
    document["refused"] = (
        {"rule": refused.rule, "text": refused.in_words} if refused is not None else None
    )
    document["ready"] = [step.id for step in bench.ready()]
    say_json(document)


@click.command("log", short_help="What was done, when, how long.")
@click.argument("session", required=False)
@json_option
@click.option("--csv", "as_csv", is_flag=True, help="Print a table for a spreadsheet.")
@now_option
def log_command(session: str | None, as_json: bool, as_csv: bool, now: str | None) -> int:
    """Print what happened in a session: when, which step, how long, what was measured.

    \b
    Examples:
      shopstep log LAST
      shopstep log LAST --csv > log.csv
    """
    if as_json and as_csv:
        raise Problem("--json and --csv are two forms; choose one", ExitCode.USAGE)
    opened = read_session(_name(session), make_clock(now))
    envelopes = opened.bench.changes_since(0)
    plan = opened.bench.plan
    kept = record(envelopes, plan)
    if as_csv:
        click.echo(log_csv(envelopes, plan), nl=False)
    elif as_json:
        say_json(log_document(envelopes, plan) | {"record": record_document(kept)})
    else:
        click.echo("\n".join([*log_lines(envelopes, plan), "", *record_lines(kept)]))
    return ExitCode.OK


def _name(session: str | None) -> str | None:
    return None if session == LAST else session


def _face(plain: bool) -> str:
    return "plain" if plain or not is_terminal() else "bench"


def look_of_screen(face: str, is_far: bool = False) -> dict[str, Any]:
    """What the settings and ``--far`` make of the screen; told before a session is made."""
    if face != "bench":
        return {}
    from shopstep.tui.key_map import read_keys

    settings = screen_settings()
    try:
        key_map = read_keys(settings.keys)
    except ValueError as problem:
        raise keys_problem(problem) from None
    return {
        "theme": settings.theme,
        "is_far": is_far or settings.view == "far",
        "rings_at_machines": settings.alarms_at_machines == "sound",
        "key_map": key_map,
        "alarm": make_alarm(),
        "pictures": make_pictures(),
    }


def open_face(
    opened: OpenSession,
    face: str,
    look: dict[str, Any],
    *,
    is_resumed: bool = False,
    is_kept: bool = True,
) -> int:
    """The bench screen, or line by line, until the person leaves; the exit code."""
    try:
        if face != "bench":
            return run_plain(opened.bench, read_line, click.echo, picture_lines)
        from shopstep.tui import run_bench

        code = run_bench(opened.bench, is_resumed=is_resumed, **look)
    finally:
        opened.leave()
    if is_kept:
        click.echo(f"All is kept. To go on: shopstep resume {opened.journal.path}", err=True)
    return code
