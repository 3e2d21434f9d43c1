"""Looks a session file over without writing to it: pages, rows, plans, the run of its events.

Imports the session file and its copies of this room.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from shopstep.session.evolve import fold
from shopstep.session.state import State
from shopstep.storage.backups import backups_of
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.session_file import SessionFile
from shopstep.words import say


@dataclass(frozen=True, slots=True)
class SessionReport:
    """What was found."""

    path: Path
    problem: str
    """Why it is not whole; empty where it is."""
    events: int
    plans: int
    title: str
    last_s: int
    """The latest moment in it, seconds since 1970 UTC; 0 where nothing can be read."""
    copies: tuple[Path, ...]

    @property
    def is_whole(self) -> bool:
        """Whether nothing is wrong with it."""
        return not self.problem


def check_session(path: Path) -> SessionReport:
    """Every page, event and plan of a session file; never raises for what is wrong inside."""
    state, events, plans = State(), 0, 0
    problem = ""
    try:
        problem = _check_pages(path)
        with SessionFile.open(path) as file:
            envelopes = file.events_after(0)
            events, state = len(envelopes), fold(envelopes)
            file.request()
            plans = max(1, state.plan_number)
            for number in range(1, plans + 1):
                file.plan(number)
            kept = file.snapshot()
            if kept is not None and kept != fold(envelopes[: kept.version]):
                problem = problem or say("the kept state differs from its events (it is made anew)")
    except SessionFileError as found:
        problem = found.text
    return SessionReport(path, problem, events, plans, state.title, state.last_s, backups_of(path))


def _check_pages(path: Path) -> str:
    try:
        address = f"{path.absolute().as_uri()}?mode=ro"
        with closing(sqlite3.connect(address, uri=True)) as connection:
            rows = connection.execute("PRAGMA integrity_check(3)").fetchall()
    except (sqlite3.Error, OSError, ValueError):
        return ""  # opening it as a session tells this in plainer words
    return (
        "" if rows == [("ok",)] else say("its pages do not hold together: {rows}", rows=rows[0][0])
    )
