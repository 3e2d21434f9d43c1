"""``do``: one command without the screen, and the words that only look.

What such a word shows is imported with it, so that a tick does not pay for the board.
"""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import click

from shopstep.cli.completing import offer_sessions
from shopstep.cli.options import json_option, now_option, pairs, session_name
from shopstep.cli.output import NO_WHY, WIDTH, say_json
from shopstep.present.card import StepCard
from shopstep.present.facts import headline_of
from shopstep.present.lines import card_lines
from shopstep.present.phrases import COMMAND_USAGE, explain_unknown, name_ready, parse_command
from shopstep.session.commands import Refusal
from shopstep.session.flow import index_plan
from shopstep.wiring.benches import OnChange, OpenSession, open_session
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import say

ENTER = "done-until"


@click.command(
    "do",
    short_help="One command without the screen.",
    context_settings={"ignore_unknown_options": True},
)
@click.argument("session", shell_complete=offer_sessions)
@click.argument("words", nargs=-1, required=True)
@click.option("--step", metavar="ID", help="The step that is meant; the one at the bench if not.")
@click.option("--keep-plan", is_flag=True, help="The build file changed: keep the session's plan.")
@click.option(
    "--closed",
    multiple=True,
    callback=pairs,
    metavar="JOINT=TIME",
    help="With done-until: when a joint was closed.",
)
@click.option(
    "--ended",
    multiple=True,
    callback=pairs,
    metavar="COAT=TIME",
    help="With done-until: when a coat ended.",
)
@click.option(
    "--read",
    multiple=True,
    callback=pairs,
    metavar="CHECK=VALUE",
    help="With done-until: a check's number.",
)
@click.option(
    "--cautions-read",
    is_flag=True,
    help="With done-until: each caution was read and kept.",
)
@json_option
@now_option
def do_command(
    session: str,
    words: tuple[str, ...],
    step: str | None,
    keep_plan: bool,
    as_json: bool,
    now: str | None,
    **paper: Any,
) -> int:
    """Carry out one command in SESSION (a file, a name, or LAST) and print the card.

    \b
    Commands: done, start, ack, back, hold, resume, measure NAME VALUE [WHERE],
    accept NAME [REASON], take STEP, note TEXT, conditions T RH, aside, spoiled, scraped,
    closed, next, get, stop, done-until STEP (ticked on paper, entered in one go);
    to look: status, summary, board, why, picture, more
    \b
    Examples:
      shopstep do LAST status
      shopstep do LAST measure diagonals_differ "1/32 in"
      shopstep do LAST measure gap_bevel "1/16 in" toe
      shopstep do LAST done --step u1/glue/square_frame
      shopstep do LAST done-until glue/close_right --closed "right glue, unit 1=19:42"
    """
    on_change = OnChange.KEEP if keep_plan else OnChange.ASK
    opened = open_session(session_name(session), make_clock(now), "do", on_change)
    if words[0] in _LOOKS and not as_json:
        _LOOKS[words[0]](opened)
        return ExitCode.OK
    if any(paper.values()) and words[0] != ENTER:
        raise Problem(
            say("{named} goes with '{enter}' only", named=_named(paper), enter=ENTER),
            ExitCode.USAGE,
        )
    if words[0] == ENTER:
        from shopstep.cli.paper_entry import enter_paper

        outcome = enter_paper(opened.bench, words[1:], paper, as_json=as_json)
    elif words[0] in _LOOKS:
        outcome = opened.bench.card()
    else:
        outcome = _carry_out(opened, list(words), step)
    refused = outcome if isinstance(outcome, Refusal) else None
    if as_json:
        _say_card_document(opened, outcome)
    elif isinstance(outcome, Refusal):
        click.echo(say("shopstep: {why}", why=outcome.in_words), err=True)
    else:
        _say_card(opened, outcome)
    return ExitCode.REFUSED if refused else ExitCode.OK


def _carry_out(opened: OpenSession, words: list[str], step: str | None) -> StepCard | Refusal:
    """The card after the command, with what is to be said about it."""
    card = opened.bench.card()
    if words[0].lower() not in COMMAND_USAGE:
        raise Problem(explain_unknown(words[0], [*_LOOKS, *COMMAND_USAGE]), ExitCode.USAGE)
    named = name_ready(words, opened.bench.ready())
    command = parse_command(named, card, step, uuid4().hex) if isinstance(named, list) else named
    if isinstance(command, str):
        raise Problem(command, ExitCode.USAGE)
    outcome = opened.bench.do(command)
    return outcome if isinstance(outcome, Refusal) else outcome.card


def _named(paper: dict[str, Any]) -> str:
    """The first option that was given."""
    return next(f"--{name.replace('_', '-')}" for name, value in paper.items() if value)


def _say_card(opened: OpenSession, card: StepCard | None = None) -> None:
    bench = opened.bench
    shown = card or bench.card()
    click.echo("\n".join(card_lines(shown, bench.now_s(), bench.plan.zone)))


def _say_why(opened: OpenSession) -> None:
    click.echo(opened.bench.card().why or say(NO_WHY))


def _say_ready(opened: OpenSession) -> None:
    bench = opened.bench
    for number, step in enumerate(bench.ready(), 1):
        headline = headline_of(step, index_plan(bench.plan).kind_of(step))
        click.echo(
            say(
                "{number}. {headline}: take {number}, or take {step_id}",
                number=number,
                headline=headline,
                step_id=step.id,
            )
        )


def _say_summary(opened: OpenSession) -> None:
    from shopstep.present.summary import summary_lines

    bench = opened.bench
    bench.card()
    lines = summary_lines(bench.state, bench.plan, bench.now_s())
    if bench.state.completed_s is not None:
        from shopstep.present.lines import wrap_lines
        from shopstep.wiring.price_list import took_lines

        lines += wrap_lines(took_lines(opened), WIDTH)
    click.echo("\n".join(lines))


def _say_board(opened: OpenSession) -> None:
    from shopstep.present.board import board_of
    from shopstep.present.board_text import board_lines

    bench = opened.bench
    bench.card()
    click.echo("\n".join(board_lines(board_of(bench.state, bench.plan, bench.now_s()))))


def _say_picture(opened: OpenSession) -> None:
    from shopstep.cli.picture_words import picture_lines

    bench = opened.bench
    step_id = bench.card().step_id
    click.echo("\n".join(picture_lines(bench.plan, step_id)))


def _say_ahead(opened: OpenSession) -> None:
    from shopstep.present.ahead import ahead_lines

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
    from shopstep.present.card_document import card_document

    bench = opened.bench
    refused = outcome if isinstance(outcome, Refusal) else None
    card = bench.card() if isinstance(outcome, Refusal) else outcome
    document = card_document(card, bench.now_s(), bench.state.title)
    document["refused"] = (
        {"rule": refused.rule, "text": refused.in_words} if refused is not None else None
    )
    document["ready"] = [step.id for step in bench.ready()]
    say_json(document)
