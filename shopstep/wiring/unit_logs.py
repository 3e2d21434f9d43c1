"""Units found again by their codes, in the sessions of this machine."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from uuid import uuid4

from shopstep.present.unit_log import UnitLog, unit_log
from shopstep.session.commands import Refusal, TakeNote
from shopstep.session.decide import SERVICE
from shopstep.session.unit_codes import as_code, code_of
from shopstep.storage.folders import sessions_folder
from shopstep.storage.session_file import SessionFileError
from shopstep.storage.unit_files import all_units, files_with
from shopstep.wiring.benches import OpenSession, read_session
from shopstep.wiring.problems import ExitCode, Problem
from shopstep.words import say
from shopstep.workbench import Clock


@dataclass(frozen=True, slots=True)
class KnownUnit:
    """One unit of a session on this machine."""

    code: str
    unit: int
    title: str
    begun_s: int
    zone: str


def codes_of(opened: OpenSession) -> tuple[str, ...]:
    """The code of each unit of a session, in order."""
    units = range(1, opened.bench.plan.units + 1)
    return tuple(code_of(opened.journal.session, unit) for unit in units)


def known_units(clock: Clock) -> list[KnownUnit]:
    """Every unit of every session, the oldest session first; unreadable ones are left out."""
    found = []
    for path, _ in all_units(sessions_folder()):
        try:
            opened = read_session(str(path), clock)
        except (Problem, SessionFileError):
            continue
        plan, state = opened.bench.plan, opened.bench.state
        for unit, code in enumerate(codes_of(opened), 1):
            title = next((m.title for m in plan.makes if unit in m.units), plan.build_title)
            found.append(KnownUnit(code, unit, title, state.started_s, plan.zone))
        opened.journal.close()
    return sorted(found, key=lambda each: (each.begun_s, each.title, each.unit))


def logs_of(typed: str, clock: Clock) -> list[UnitLog]:
    """The log of each unit with that code: one, but where two share it. Problem where none has."""
    return [_log(path, unit, clock) for path, unit in _find(typed, clock)]


def _find(typed: str, clock: Clock) -> list[tuple[Path, int]]:
    code = as_code(typed)
    found = files_with(code, sessions_folder())
    real = [(path, unit) for path, unit in found if _has(path, unit, clock)]
    if real:
        return real
    known = [each.code for each in known_units(clock)]
    near = get_close_matches(code, known, n=1, cutoff=0.6)
    hint = (
        say("did you mean {near}?", near=near[0])
        if near
        else say("'shopstep unit' lists all that there are")
    )
    raise Problem(
        say("no unit on this machine has the code '{typed}'; {hint}", typed=typed, hint=hint),
        ExitCode.USAGE,
    )


def _has(path: Path, unit: int, clock: Clock) -> bool:
    opened = read_session(str(path), clock)
    opened.journal.close()
    return unit <= opened.bench.plan.units


def _log(path: Path, unit: int, clock: Clock) -> UnitLog:
    opened = read_session(str(path), clock)
    bench = opened.bench
    code = code_of(opened.journal.session, unit)
    log = unit_log(bench.changes_since(0), bench.plan, unit, code, str(path))
    opened.journal.close()
    return log


def note_unit(typed: str, text: str, clock: Clock) -> UnitLog:
    """Writes a note from service into the unit's session; its log after that.

    Problem where two units share the code, or where the session does not take it.
    """
    found = _find(typed, clock)
    if len(found) > 1:
        files = say(" and ").join(str(path) for path, _ in found)
        raise Problem(
            say("two units share that code ({files}); put one file away first", files=files),
            ExitCode.CONFLICT,
        )
    path, unit = found[0]
    opened = read_session(str(path), clock, "unit")
    note = TakeNote(id=uuid4().hex, text=text, kind=SERVICE, unit=unit)
    answer = opened.bench.do(note)
    opened.journal.close()
    if isinstance(answer, Refusal):
        raise Problem(answer.in_words.rstrip("."), ExitCode.REFUSED)
    return _log(path, unit, clock)
