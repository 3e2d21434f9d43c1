"""What to do with the time that is left tonight."""

from __future__ import annotations

import click

from shopstep.cli.completing import offer_sessions
from shopstep.cli.options import now_option
from shopstep.present.tonight import tonight_lines, tonight_of
from shopstep.session.room import LONGEST_EVENING_S, next_moment, why_not_tonight
from shopstep.wiring.benches import open_session
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import say


@click.command("tonight", short_help="The best use of the time that is left tonight.")
@click.argument("session", required=False, shell_complete=offer_sessions)
@click.option("--until", metavar="HH:MM", required=True, help="When you have to stop.")
@click.option("--quiet", is_flag=True, help="No machines.")
@now_option
def tonight_command(session: str | None, until: str, quiet: bool, now: str | None) -> int:
    """What can be finished or safely left before a time, in a session that is under way.

    \b
    Example: shopstep tonight --until 21:00 --quiet
    """
    opened = open_session(None if session == "LAST" else session, make_clock(now), "do")
    bench = opened.bench
    now_s = bench.now_s()
    until_s = _until(until, now_s, bench.plan.zone)
    with plain_problems():
        plan = bench.plan_tonight(until_s, quiet=quiet)
    click.echo("\n".join(tonight_lines(tonight_of(bench.state, plan, now_s, until_s), plan)))
    return ExitCode.OK


def _until(clock: str, now_s: int, zone: str) -> int:
    """The next moment of that time, in UTC seconds; after midnight too, as at the bench."""
    until_s = next_moment(clock, now_s, zone)
    if until_s is None:
        raise Problem(
            say("--until: '{clock}' is no time; write for example 21:00", clock=clock),
            ExitCode.USAGE,
        )
    if until_s - now_s > LONGEST_EVENING_S:
        why = why_not_tonight(clock, until_s, now_s, zone)
        raise Problem(say("--until: {why}", why=why), ExitCode.USAGE)
    return until_s
