"""Builds the real clock, files and planner and puts them into the doors; nobody else does.

Heavy rooms are imported where they are used, so that ``do`` and ``resume`` need no solver, no
validation library and no build parser.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from enum import IntEnum
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

from shopstep.model.interface import FitReport
from shopstep.model.measure import Questionnaire
from shopstep.model.plan import (
    BuildFileError,
    BuildText,
    Finding,
    Level,
    Plan,
    PlanRefused,
    PlanRequest,
    Where,
)
from shopstep.session.commands import KeepPlan
from shopstep.storage.clock import FixedClock, SystemClock, find_zone_name
from shopstep.storage.folders import (
    data_folder,
    measurements_file,
    own_builds_folder,
    sessions_folder,
    settings_file,
    shipped_folder,
)
from shopstep.storage.session_file import SessionFile, SessionFileError
from shopstep.workbench import Clock, Workbench

if TYPE_CHECKING:
    from shopstep.desk import Desk, Start, Wish

SESSION_SUFFIX = ".session"


class ExitCode(IntEnum):
    """What the program tells its caller."""

    OK = 0
    REFUSED = 1
    """The plan is refused, or a rule of the bench is broken."""
    USAGE = 2
    """Wrong words on the command line, or a bad build file."""
    CONFLICT = 3
    """The session and what is asked do not go together."""
    FILES = 4
    """A file cannot be read or written."""
    INTERRUPTED = 130


class Problem(Exception):
    """Something the person has to put right: one sentence, a place, an exit code."""

    def __init__(
        self,
        text: str,
        code: ExitCode,
        where: Where | None = None,
        findings: tuple[Finding, ...] = (),
    ) -> None:
        super().__init__(text)
        self.text = text
        self.code = code
        self.where = where or Where()
        self.findings = findings


@contextmanager
def plain_problems() -> Iterator[None]:
    """Every known failure inside comes out as a Problem."""
    try:
        yield
    except BuildFileError as problem:
        raise Problem(problem.text, ExitCode.USAGE, problem.where) from None
    except PlanRefused as refused:
        stops = [f.text for f in refused.findings if f.level is Level.STOP]
        raise Problem(" ".join(stops), ExitCode.REFUSED, findings=refused.findings) from None
    except SessionFileError as problem:
        raise Problem(problem.text, ExitCode.FILES) from None
    except BrokenPipeError:
        raise
    except OSError as problem:
        name = problem.filename or "a file"
        raise Problem(f"{name}: {problem.strerror or problem}", ExitCode.FILES) from None


def make_clock(now_text: str | None) -> Clock:
    """The machine's clock, or one that stands at an ISO time; Problem for what is no time."""
    if now_text is None:
        return SystemClock()
    zone = find_zone_name()
    try:
        moment = datetime.fromisoformat(now_text)
    except ValueError:
        raise Problem(
            f"'{now_text}' is no moment; write for example 2026-01-15T18:00:00+00:00",
            ExitCode.USAGE,
            Where("--now"),
        ) from None
    if not 1970 < moment.year < 2200:
        raise Problem(
            f"'{now_text}' lies outside 1971 to 2199; is the year right?",
            ExitCode.USAGE,
            Where("--now"),
        )
    if moment.tzinfo is None:
        from zoneinfo import ZoneInfo

        moment = moment.replace(tzinfo=ZoneInfo(zone))
    return FixedClock(int(moment.timestamp()), zone)


class LatePlanner:
    """The planner behind both doors; its rooms are imported with the first question."""

    def make_plan(self, request: PlanRequest) -> Plan:
        """See ``planner.make_plan``."""
        from shopstep import planner

        return planner.make_plan(request)

    def check_build(self, request: PlanRequest) -> tuple[Finding, ...]:
        """See ``planner.check_build``."""
        from shopstep import planner

        return planner.check_build(request)

    def ask_measurements(
        self,
        build: BuildText,
        parents: tuple[BuildText, ...],
        given: tuple[tuple[str, str], ...],
        display: str,
    ) -> Questionnaire:
        """See ``planner.ask_measurements``."""
        from shopstep import planner

        return planner.ask_measurements(build, parents, given, display)

    def fit_builds(self, requests: tuple[PlanRequest, ...]) -> FitReport:
        """See ``planner.fit_builds``."""
        from shopstep import planner

        return planner.fit_builds(requests)

    def plan_alike(self, old: PlanRequest, new: PlanRequest) -> tuple[Plan, Plan]:
        """See ``planner.plan_alike``."""
        from shopstep import planner

        return planner.plan_alike(old, new)

    def sort_settings(
        self,
        builds: tuple[tuple[BuildText, tuple[BuildText, ...]], ...],
        typed: tuple[tuple[str, str], ...],
    ) -> tuple[tuple[tuple[str, str], ...], ...]:
        """See ``planner.sort_settings_by_build``."""
        from shopstep import planner

        return planner.sort_settings_by_build(builds, typed)

    def revise(
        self,
        request: PlanRequest,
        plan: Plan,
        finished: Mapping[str, tuple[int, int]],
        begin_s: int,
    ) -> Plan:
        """See ``planner.revise``."""
        from shopstep import planner

        return planner.revise(request, plan, finished, begin_s)


def open_desk() -> Desk:
    """The desk on this machine's shelf and settings."""
    from shopstep import planner
    from shopstep.desk import Desk, EmptyRack
    from shopstep.storage.measurements import MeasurementFile
    from shopstep.storage.settings import FileProfiles
    from shopstep.storage.shelf import FolderShelf

    folders = (own_builds_folder(), shipped_folder("builds"))
    shelf = FolderShelf(folders, planner.parent_of, planner.describe_build)
    return Desk(
        shelf,
        FileProfiles(settings_file(), find_zone_name()),
        EmptyRack(),
        LatePlanner(),
        MeasurementFile(measurements_file()),
    )


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


def build_schema() -> dict[str, object]:
    """The JSON Schema of a build file."""
    from shopstep import planner

    return planner.build_schema()


def write_new_build(name: str, file: Path | None) -> Path:
    """A small working build under a name, where none is yet. Problem where it cannot be."""
    from shopstep import planner
    from shopstep.storage.new_build import write_build

    if not planner.can_be_id(name):
        raise Problem(
            f"'{name}' cannot be the id of a build; use up to 60 small letters, digits and"
            " hyphens, a letter first, for example herb-box",
            ExitCode.USAGE,
        )
    target = file or Path(f"{name}.yaml")
    if target.suffix not in (".yaml", ".yml"):
        raise Problem(f"{target} is no build file by its name; end it in .yaml", ExitCode.USAGE)
    with plain_problems():
        try:
            write_build(shipped_folder("assets"), name, target)
        except FileExistsError:
            raise Problem(
                f"{target} is there already and stays as it is; name another with --to",
                ExitCode.FILES,
            ) from None
    return target


def places() -> tuple[tuple[str, str], ...]:
    """Where this program keeps and looks for files, each with its name."""
    return (
        ("settings", str(settings_file())),
        ("sessions", str(sessions_folder())),
        ("measurements", str(measurements_file())),
        ("own builds", str(own_builds_folder())),
        ("shipped builds", str(shipped_folder("builds"))),
        ("data", str(data_folder())),
    )
