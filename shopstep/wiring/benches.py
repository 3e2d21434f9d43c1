"""Sessions: begun, opened for work, opened to look at.

What only some sessions need is imported with them, for all of it would stand before the first
frame: the desk where a batch begins, the rack where its plan cuts from one, the commands of a
changed build.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING

from shopstep.model.codec import build_digest
from shopstep.model.plan import BuildText, Plan, PlanRequest, Where
from shopstep.storage.folders import sessions_folder
from shopstep.storage.racked_session import RackedSession
from shopstep.wiring.late_planner import LatePlanner
from shopstep.wiring.problems import BuildChanged, ExitCode, Problem, plain_problems
from shopstep.wiring.surroundings import ShopAround
from shopstep.words import say
from shopstep.workbench import BetteringBench, Clock, Improver, Workbench

if TYPE_CHECKING:
    from shopstep.desk import Start, Wish

SESSION_SUFFIX = ".session"


class OnChange(Enum):
    """What is to be done where the build file changed since the session was planned."""

    ASK = "ask"
    KEEP = "keep"
    MOVE = "move"


@dataclass(frozen=True, slots=True)
class OpenSession:
    """A session at the bench, and the file it lives in."""

    bench: Workbench
    journal: RackedSession

    def leave(self) -> None:
        """Nothing goes on in the background after this."""
        if isinstance(self.bench, BetteringBench):
            self.bench.stop_bettering()


def start_session(
    wish: Wish, file: Path | None, clock: Clock, face: str, *, betters: bool = False
) -> OpenSession:
    """Plan a wish, write its session file, and open it. Problem where anything is wrong.

    ``betters``: a person stays at it, so plans made anew are made better afterwards.
    """
    from shopstep.wiring.desks import open_desk
    from shopstep.wiring.racks import promise_to_new

    with plain_problems():
        moment = clock.now()
        start = open_desk().start(wish, moment.at_s)
        path = file or _new_path(start.plan.build_id, moment.at_s, moment.zone)
        if path.exists():
            raise Problem(
                say(
                    "{path} holds a session already; go on with it: shopstep resume {path}",
                    path=path,
                ),
                ExitCode.CONFLICT,
            )
        journal = RackedSession.create(
            path, _with_whole_paths(start), start.plan, start.events, moment, face
        )
        if start.request.kept_rack:
            promise_to_new(journal, start.plan)
        return OpenSession(_bench(journal, clock, face, betters=betters), journal)


def _bench(
    journal: RackedSession, clock: Clock, face: str, *, betters: bool = False
) -> BetteringBench:
    """The session with all that is real around it."""
    request = journal.request()
    improver = _improver() if betters else None
    if not request.kept_rack:
        around = ShopAround(request.shop, request.labels, journal.path)
        return BetteringBench(journal, clock, face, LatePlanner(), around, improver)
    from shopstep.wiring.racks import SessionRack
    from shopstep.workbench.racked import RackedWorkbench

    rack = SessionRack(journal, request.kept_rack)
    around = ShopAround(request.shop, request.labels, journal.path, rack.pieces)
    bench = RackedWorkbench(journal, clock, face, LatePlanner(), around, improver)
    rack.take_up(bench.state, bench.plan)
    bench.rack_words = lambda: rack.words(bench.plan.display)
    return bench


def _improver() -> Improver:
    """Loaded where a person stays only: one command does not pay for it."""
    from shopstep.wiring.improver import ChildImprover

    return ChildImprover()


def _with_whole_paths(start: Start) -> PlanRequest:
    """The request with file names that hold from any folder, to notice a changed build later."""

    def whole(build: BuildText) -> BuildText:
        return BuildText(str(Path(build.name).resolve()), build.text)

    request = start.request
    others = tuple(
        replace(o, build=whole(o.build), parents=tuple(whole(p) for p in o.parents))
        for o in request.others
    )
    return replace(
        request,
        build=whole(request.build),
        parents=tuple(whole(p) for p in request.parents),
        others=others,
    )


def _new_path(build_id: str, at_s: int, zone: str) -> Path:
    from zoneinfo import ZoneInfo

    folder = sessions_folder()
    folder.mkdir(parents=True, exist_ok=True)
    day = datetime.fromtimestamp(at_s, ZoneInfo(zone)).date().isoformat()
    for number in range(1, 1000):
        tail = "" if number == 1 else f"-{number}"
        path = folder / f"{build_id}-{day}{tail}{SESSION_SUFFIX}"
        if not path.exists():
            return path
    raise Problem(
        say("{folder} holds 999 sessions of one day", folder=folder),
        ExitCode.FILES,
        Where(str(folder)),
    )


def find_session(name: str | None) -> Path:
    """The file of a session: a path, a name in the sessions folder, or the latest one."""
    folder = sessions_folder()
    if name is not None:
        typed = Path(name)
        if typed.exists() or typed.suffix or "/" in name or "\\" in name:
            return typed
        return folder / f"{name}{SESSION_SUFFIX}"
    files = sorted(folder.glob(f"*{SESSION_SUFFIX}"), key=lambda p: p.stat().st_mtime)
    if not files:
        raise Problem(
            say("there is no session to resume; begin one: shopstep start screened-floor"),
            ExitCode.FILES,
            Where(str(folder)),
        )
    return files[-1]


def open_session(
    name: str | None,
    clock: Clock,
    face: str,
    on_change: OnChange = OnChange.ASK,
    *,
    must_write: bool = False,
    betters: bool = False,
) -> OpenSession:
    """Open a session for work. Problem where the file is none, or its build has changed since.

    With ``must_write`` also where its place takes no writing: told before any work, not after.
    ``betters``: a person stays at it, so plans made anew are made better afterwards.
    """
    with plain_problems():
        path = find_session(name)
        journal = RackedSession.open(path)
        try:
            if must_write:
                journal.check_place()
            bench = _bench(journal, clock, face, betters=betters)
            _notice_changed_build(bench, path, on_change)
            journal.back_up(clock.now().at_s)
            bench.catch_up()
        except BaseException:
            journal.close()
            raise
        return OpenSession(bench, journal)


def read_session(name: str | None, clock: Clock, face: str = "log") -> OpenSession:
    """Open a session to look at it; a changed build file does not matter."""
    with plain_problems():
        journal = RackedSession.open(find_session(name))
        return OpenSession(Workbench(journal, clock, face, LatePlanner()), journal)


def read_session_ahead(name: str | None, clock: Clock) -> tuple[OpenSession, Plan]:
    """A session to look at, and its plan with times from now on; nothing is stored."""
    with plain_problems():
        journal = RackedSession.open(find_session(name))
        bench = _bench(journal, clock, "print")
        return OpenSession(bench, journal), bench.ahead()


def plans_of_change(name: str | None, clock: Clock, face: str) -> tuple[Plan, Plan]:
    """The session's plan, and the one it would have if it moved over to the build as it stands.

    Nothing is stored. Problem where the build file has not changed, or where no plan follows it.
    """
    with plain_problems():
        path = find_session(name)
        journal = RackedSession.open(path)
        try:
            bench = _bench(journal, clock, face)
            texts, now = _texts_now(bench)
            if now in ("", bench.state.build_digest):
                raise Problem(
                    say(
                        "the build file of {path} is as it was when this session was planned",
                        path=path,
                    ),
                    ExitCode.REFUSED,
                )
            return bench.plan, bench.plan_moved(texts)
        finally:
            journal.close()


def _notice_changed_build(bench: Workbench, path: Path, on_change: OnChange) -> None:
    texts, now = _texts_now(bench)
    if now in ("", bench.state.build_digest):
        return  # as it was; or another machine, or a build that was put away
    from uuid import uuid4

    from shopstep.session.commands import KeepPlan, MoveToBuild, Refusal

    if on_change is OnChange.KEEP:
        bench.do(KeepPlan(id=uuid4().hex, build_digest=now))
        return
    if on_change is OnChange.MOVE:
        answer = bench.move(MoveToBuild(id=uuid4().hex, build_digest=now, texts=texts))
        if isinstance(answer, Refusal):
            raise Problem(
                say(
                    "the session did not move over: {why} The plan in it stands.",
                    why=answer.in_words,
                ),
                ExitCode.CONFLICT,
            )
        return
    raise BuildChanged(texts[0][0], str(path))


def _texts_now(bench: Workbench) -> tuple[tuple[tuple[str, str], ...], str]:
    """Name and text of the session's build and its parents as they stand, and their digest.

    An empty digest where one is gone.
    """
    builds = bench.builds()
    texts = [_text_now(build) for build in builds]
    there = [text for text in texts if text is not None]
    if len(there) < len(texts):
        return (), ""
    named = tuple((text.name, text.text) for text in there)
    return named, build_digest(there[0], tuple(there[1:]))


def _text_now(build: BuildText) -> BuildText | None:
    """The build file as it stands; None where it is gone or cannot be read."""
    try:
        return BuildText(build.name, Path(build.name).read_bytes().decode("utf-8-sig"))
    except (OSError, UnicodeDecodeError):
        return None
