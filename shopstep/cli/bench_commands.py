"""``resume``, and the face that a session is shown on.

Only what the bench screen shows first is imported here: the plain face and the words of a changed
plan are loaded where they are asked for, because all else stands in the way of the first frame.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from shopstep.cli.completing import offer_sessions
from shopstep.cli.options import (
    far_option,
    listen_option,
    now_option,
    plain_option,
    session_name,
    speak_option,
)
from shopstep.cli.output import is_terminal, read_line
from shopstep.wiring.benches import OnChange, OpenSession, open_session, plans_of_change
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.problems import ExitCode
from shopstep.wiring.screens import (
    keys_problem,
    make_alarm,
    make_pictures,
    put_offcut,
    screen_settings,
)
from shopstep.words import say

if TYPE_CHECKING:
    from shopstep.wiring.listening import ChildEars
    from shopstep.wiring.speaking import Speaker


@click.command("resume", short_help="Go on where you stopped.")
@click.argument("session", required=False, shell_complete=offer_sessions)
@click.option("--keep-plan", is_flag=True, help="The build file changed: keep the session's plan.")
@click.option("--move-plan", is_flag=True, help="The build file changed: plan the rest from it.")
@click.option("--show-change", is_flag=True, help="Only show what that would change.")
@far_option
@speak_option
@listen_option
@plain_option
@now_option
def resume_command(
    session: str | None,
    keep_plan: bool,
    move_plan: bool,
    show_change: bool,
    is_far: bool,
    speaks: bool,
    listens: str | None,
    plain: bool,
    now: str | None,
) -> int:
    """Open a session (a file, a name, or the latest) on the step where it stood.

    \b
    Examples:
      shopstep resume
      shopstep resume screened-floor-2026-01-15
    """
    face = face_of(plain)
    if keep_plan + move_plan + show_change > 1:
        raise click.UsageError(
            say("--keep-plan, --move-plan and --show-change: one of them at a time")
        )
    if show_change:
        from shopstep.present.change_text import change_lines

        old, new = plans_of_change(session_name(session), make_clock(now), face)
        click.echo("\n".join(change_lines(old, new)))
        return ExitCode.OK
    on_change = _on_change(keep_plan, move_plan)
    look = look_of_screen(face, is_far, speaks=speaks, listens=listens)
    opened = open_session(
        session_name(session),
        make_clock(now),
        face,
        on_change,
        must_write=True,
        betters=is_terminal(),
    )
    if face == "plain":
        from shopstep.cli.plain import coming_back_lines

        for line in coming_back_lines(opened.bench):
            click.echo(line)
    return open_face(opened, face, look, is_resumed=True)


def _on_change(keep_plan: bool, move_plan: bool) -> OnChange:
    if move_plan:
        return OnChange.MOVE
    return OnChange.KEEP if keep_plan else OnChange.ASK


def face_of(plain: bool) -> str:
    """``bench`` where a person sits at a screen and asks for nothing else, or ``plain``."""
    return "plain" if plain or not is_terminal() else "bench"


def look_of_screen(
    face: str, is_far: bool = False, *, speaks: bool = False, listens: str | None = None
) -> dict[str, Any]:
    """What settings and options make of the screen; told before a session is made."""
    if face != "bench" and speaks:
        click.echo(
            say("Only the bench screen speaks; these lines are for a reader of yours."), err=True
        )
    if face != "bench" and listens in ("push", "armed", "open"):
        click.echo(say("Only the bench screen listens; on lines: shopstep voice follow."), err=True)
    if face != "bench":
        return {}
    if listens == "open":
        from shopstep.wiring.hearing import needs_second_ear

        needs_second_ear()
    from shopstep.tui.key_map import read_keys

    settings = screen_settings()
    way = listens or settings.listens
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
        "speech": _speech() if speaks or settings.speaks else None,
        "ears": None if way == "off" else _ears(way),
        "listens": way,
    }


def _speech() -> Speaker:
    from shopstep.wiring.speaking import make_speaker

    return make_speaker()


def _ears(way: str) -> ChildEars:
    from shopstep.wiring.listening import ChildEars

    return ChildEars(is_always_open=way == "open")


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
            from shopstep.cli.picture_words import picture_lines
            from shopstep.cli.plain import run_plain

            return run_plain(opened.bench, read_line, click.echo, picture_lines)
        from shopstep.tui import run_bench

        put = put_offcut(opened.bench.plan.display)
        code = run_bench(opened.bench, is_resumed=is_resumed, put_offcut=put, **look)
    finally:
        opened.leave()
    if is_kept:
        click.echo(
            say("All is kept. To go on: shopstep resume {path}", path=opened.journal.path), err=True
        )
    return code
