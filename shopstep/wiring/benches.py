"""Sessions: begun, opened for work, opened to look at."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

from shopstep.model.plan import BuildText, PlanRequest, Where
from shopstep.session.commands import KeepPlan
from shopstep.storage.folders import sessions_folder
from shopstep.storage.session_file import SessionFile
from shopstep.wiring.desks import open_desk
from shopstep.wiring.late_planner import LatePlanner
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.workbench import Clock, Workbench

if TYPE_CHECKING:
    from shopstep.desk import Start, Wish

SESSION_SUFFIX = ".session"


@dataclass(frozen=True, slots=True)
class OpenSession:
    """A session at the bench, and the file it lives in."""

    bench: Workbench
    journal: SessionFile


def start_session(wish: Wish, file: Path | None, clock: Clock, face: str) -> OpenSession:
    """Plan a wish, write its session file, and open it. Problem where anything is wrong."""
    with plain_problems():
        moment = clock.now()
        start = open_desk().start(wish, moment.at_s)
        path = file or _new_path(start.plan.build_id, moment.at_s, moment.zone)
        if path.exists():
            raise Problem(
                f"{path} holds a session already; go on with it: shopstep resume {path}",
                ExitCode.CONFLICT,
            )
        journal = SessionFile.create(
            path, _with_whole_paths(start), start.plan, start.events, moment, face
        )
        return OpenSession(Workbench(journal, clock, face, LatePlanner()), journal)


def _with_whole_paths(start: Start) -> PlanRequest:
    """The request with file names that hold from any folder, to notice a changed build later."""

    def whole(build: BuildText) -> BuildText:
        return BuildText(str(Path(build.name).resolve()), build.text)

    request = start.request
    return replace(
        request, build=whole(request.build), parents=tuple(whole(p) for p in request.parents)
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
    raise Problem(f"{folder} holds 999 sessions of one day", ExitCode.FILES, Where(str(folder)))


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
            "there is no session to resume; begin one: shopstep start screened-floor",
            ExitCode.FILES,
            Where(str(folder)),
        )
    return files[-1]


def open_session(name: str | None, clock: Clock, face: str, keep_plan: bool = False) -> OpenSession:
    """Open a session for work. Problem where the file is none, or its build has changed since."""
    with plain_problems():
        path = find_session(name)
        journal = SessionFile.open(path)
        try:
            bench = Workbench(journal, clock, face, LatePlanner())
            _notice_changed_build(bench, journal, path, keep_plan)
            journal.back_up(clock.now().at_s)
            bench.catch_up()
        except BaseException:
            journal.close()
            raise
        return OpenSession(bench, journal)


def read_session(name: str | None, clock: Clock) -> OpenSession:
    """Open a session to look at it; a changed build file does not matter."""
    with plain_problems():
        journal = SessionFile.open(find_session(name))
        return OpenSession(Workbench(journal, clock, "log"), journal)


def _notice_changed_build(
    bench: Workbench, journal: SessionFile, path: Path, keep_plan: bool
) -> None:
    from shopstep.desk import build_digest

    request = journal.request()
    texts = [_text_now(build) for build in (request.build, *request.parents)]
    there = [text for text in texts if text is not None]
    if len(there) < len(texts):
        return  # another machine, or a build that was put away: the plan is in the session
    now = build_digest(there[0], tuple(there[1:]))
    if now == bench.state.build_digest:
        return
    if keep_plan:
        bench.do(KeepPlan(id=uuid4().hex, build_digest=now))
        return
    raise Problem(
        f"{request.build.name} has changed since this session was planned. To go on with the plan"
        f" in the session: shopstep resume {path} --keep-plan. To plan anew:"
        f" shopstep start {request.build.name}",
        ExitCode.CONFLICT,
    )


def _text_now(build: BuildText) -> BuildText | None:
    """The build file as it stands; None where it is gone or cannot be read."""
    try:
        return BuildText(build.name, Path(build.name).read_bytes().decode("utf-8-sig"))
    except (OSError, UnicodeDecodeError):
        return None
