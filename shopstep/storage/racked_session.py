"""A session file whose ticks move the rack too, in one transaction over both files.

The rack is attached for such a tick only. Both files keep a rollback journal and sync their folder
(``synchronous=EXTRA``), so SQLite's super-journal makes the commit one
(https://www.sqlite.org/atomiccommit.html, section 5, multi-file commit): whichever file is opened
first after a crash, both hold the tick or neither does. A rack that cannot be written never holds
up a tick: then the session alone is written, and ``words`` says so. Imports ``sqlite3``; what moves
the rack is imported by a session that has one.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from shopstep.model.plan import Plan
from shopstep.session.events import (
    BatchCompleted,
    BatchStopped,
    Envelope,
    Event,
    Moment,
    PlanRevised,
    StepReopened,
)
from shopstep.session.evolve import evolve
from shopstep.session.state import State
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.place_problem import KEEP_AT_HOME, say_trouble
from shopstep.storage.session_file import SessionFile
from shopstep.words import say, to_say

if TYPE_CHECKING:
    from shopstep.model.rack import KeptPiece

PATIENCE_S = 2.0
"""How long a tick waits for another program that writes the rack."""
ANOTHER = to_say("is another rack than the one that this batch was planned with; it stays as it is")
LINE_UP = to_say("The tick is kept. Bring the rack in line: shopstep rack check")


class RackTrouble(Exception):
    """The rack could not be written; ``text`` says why."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text


class RackedSession(SessionFile):
    """As ``SessionFile``; set ``rack`` to the rack's file to have ticks move it."""

    rack: Path | None = None
    identity: str = ""
    """The rack that the session was planned with; another one in its place is not touched."""
    _attached = False
    _before = State()
    """The state before what is being written."""
    _told: tuple[KeptPiece | str, ...] = ()

    @property
    def session(self) -> str:
        """The id that the session goes by in the rack."""
        return self._session

    def told(self) -> tuple[KeptPiece | str, ...]:
        """What the last ``append`` brought to the rack, and what did not fit; told once."""
        told, self._told = self._told, ()
        return told

    def append(
        self,
        expected_version: int,
        events: tuple[Event, ...],
        moment: Moment,
        face: str,
        command_id: str,
        plan: Plan | None = None,
    ) -> tuple[Envelope, ...]:
        """See ``SessionFile.append``; what is cut leaves the rack, what remains comes back."""
        given = (expected_version, events, moment, face, command_id, plan)
        if self.rack is None or not any(_concerns_rack(event) for event in events):
            return super().append(*given)
        try:
            with self._beside(self.rack):
                return super().append(*given)
        except RackTrouble as trouble:
            made = super().append(*given)
            self._told = (f"{trouble.text} {say(LINE_UP)}",)
            return made

    @contextmanager
    def _beside(self, rack: Path) -> Iterator[None]:
        """The rack attached; RackTrouble where that, or the write with it, fails."""
        from shopstep.storage.rack_schema import check_rack, identity_of, look_at_rack

        with _as_trouble(rack):
            if not look_at_rack(rack):
                raise RackTrouble(say("The rack {rack} is not there any more.", rack=rack))
            self._connection.execute(f"PRAGMA busy_timeout = {round(PATIENCE_S * 1000)}")
            self._connection.execute("ATTACH DATABASE ? AS rack", (f"{_uri(rack)}?mode=rw",))
        self._attached = True
        try:
            with _as_trouble(rack):
                check_rack(self._connection, rack, "rack")
                if identity_of(self._connection) != self.identity:
                    raise RackTrouble(f"{rack} {say(ANOTHER)}.")
                self._connection.execute("PRAGMA rack.journal_mode=DELETE").fetchall()
                self._connection.execute("PRAGMA rack.synchronous=EXTRA")
            try:
                yield
            except SessionFileError as problem:
                # the session's own trouble shows again when it is written alone
                raise RackTrouble(_trouble_words(rack, problem.__cause__ or problem)) from problem
        finally:
            self._attached = False
            with suppress(sqlite3.Error):
                self._connection.execute("DETACH DATABASE rack")
            self._connection.execute("PRAGMA busy_timeout = 10000")

    def _move_beside(self, envelopes: tuple[Envelope, ...], plan: Plan | None) -> None:
        """In the same transaction: the moves of each event, in the plan it was said in."""
        if not self._attached or self.rack is None:
            return
        with _as_trouble(self.rack):
            state = self._state_before(envelopes[0].version)
            current = self.plan(max(1, state.plan_number))
            told: list[KeptPiece | str] = []
            for envelope in envelopes:
                if isinstance(envelope.event, PlanRevised) and plan is not None:
                    current = plan
                told += self._move(envelope, current, state)
                state = evolve(state, envelope)
        self._told = tuple(told)

    def _move(self, envelope: Envelope, plan: Plan, state: State) -> list[KeptPiece | str]:
        from shopstep.session.rack_moves import moves_of
        from shopstep.storage.rack_moves import apply_moves, moved_for
        from shopstep.storage.rack_promises import end_batch, promise_stock, take_up_batch

        connection, session, event = self._connection, self._session, envelope.event
        if isinstance(event, PlanRevised):
            return [*promise_stock(connection, session, plan)]
        if isinstance(event, BatchCompleted | BatchStopped):
            end_batch(connection, session)
            return []
        if isinstance(event, StepReopened):
            take_up_batch(connection, session)
        moves = moves_of(event, plan, state.finished.keys(), moved_for(connection, session))
        at_s = envelope.moment.at_s
        return apply_moves(connection, session, envelope.version, moves, plan, at_s)

    def _state_before(self, version: int) -> State:
        """The state that the events from ``version`` on follow."""
        if self._before.version >= version:
            self._before = State()
        if self._before.version == 0:
            kept = self.snapshot()
            self._before = kept if kept is not None and kept.version < version else State()
        for envelope in self.events_after(self._before.version):
            if envelope.version < version:
                self._before = evolve(self._before, envelope)
        return self._before


def _concerns_rack(event: Event) -> bool:
    from shopstep.session.rack_moves import may_move

    return isinstance(event, PlanRevised | BatchCompleted | BatchStopped) or may_move(event)


def _uri(path: Path) -> str:
    return path.absolute().as_uri()


@contextmanager
def _as_trouble(rack: Path) -> Iterator[None]:
    """What the database says about the rack as one sentence."""
    try:
        yield
    except SessionFileError as problem:
        raise RackTrouble(problem.text) from problem
    except (sqlite3.Error, OSError) as problem:
        raise RackTrouble(_trouble_words(rack, problem)) from problem


def _trouble_words(rack: Path, problem: BaseException) -> str:
    why = ""
    if isinstance(problem, sqlite3.Error | OSError):
        why = say_trouble(problem, say(KEEP_AT_HOME))
    return say(
        "The rack {rack} could not be written: {why}.",
        rack=rack,
        why=why or say("it is damaged ({problem})", problem=problem),
    )
