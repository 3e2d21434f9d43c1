"""The rack held against the sessions: what their ticks moved, and what of it is missing.

Every session's events are played again with the plans that they were said in, by the same rule
that moves pieces at a tick. Imports ``sqlite3``, the session files and the rack of this room.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from shopstep.model.plan import Plan
from shopstep.model.rack import KeptPiece
from shopstep.session.events import BatchCompleted, BatchStopped, PlanRevised, StepReopened
from shopstep.session.evolve import evolve
from shopstep.session.rack_moves import Come, CutInto, Leave, Move, Moved, Thin, Undo, moves_of
from shopstep.session.state import State
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.rack_file import RackFile
from shopstep.storage.rack_moves import apply_moves, moved_for
from shopstep.storage.rack_promises import end_batch, forget_batch, note_batch, promise_stock
from shopstep.storage.racked_session import RackedSession
from shopstep.words import say


@dataclass(frozen=True, slots=True)
class RackReport:
    """What a look over the rack found and put right."""

    path: Path
    pieces: int
    sessions: int
    """Sessions that work with the rack and could be read."""
    put_right: tuple[str, ...]
    open_questions: tuple[str, ...]
    """What a person has to look at."""


@dataclass(slots=True)
class _Played:
    """What a session's events move, taken together; it grows event by event."""

    state: State
    left: dict[str, tuple[int, Leave | Thin, Plan]]
    came: dict[tuple[str, str], tuple[int, Come, Plan]]
    undone: dict[str, int]
    """By step, the version at which it was opened again last."""
    plan: Plan
    is_ended: bool = False


def line_up(rack: RackFile, sessions: Path, at_s: int) -> RackReport:
    """Bring every session's ticks to the rack that are missing there; SessionFileError for damage.

    What a newer tick of the same session moved stays: the wood is cut, whichever copy goes on.
    ``at_s``: now, seconds since 1970 UTC.
    """
    done: list[str] = []
    asked: list[str] = []
    count = 0
    identity = rack.identity()
    with rack.reading() as connection:
        known = _batches(connection)
    files = {path for path in sessions.glob("*.session") if path.is_file()}
    found: set[str] = set()
    for path in sorted(files | {path for path in known.values() if path.is_file()}):
        try:
            with RackedSession.open(path) as file:
                if not identity or file.request().kept_rack != identity:
                    continue
                found.add(file.session)
                count += 1
                played = play(file)
                with rack.writing() as connection:
                    said, open_ = _bring(connection, file, played, at_s)
                done += said
                asked += open_
        except SessionFileError as problem:
            asked.append(problem.text)
            found |= {session for session, known_path in known.items() if known_path == path}
    if known:
        with rack.writing() as connection:
            done += _let_go(connection, {s: p for s, p in known.items() if s not in found})
    return RackReport(rack.path, len(rack.kept()), count, tuple(done), tuple(asked))


def _batches(connection: sqlite3.Connection | None) -> dict[str, Path]:
    if connection is None:
        return {}
    rows = connection.execute("SELECT session, path FROM batch WHERE ended = 0")
    return {session: Path(path) for session, path in rows}


def play(file: RackedSession) -> _Played:
    """All that a session's events move on a rack."""
    played = _Played(State(), {}, {}, {}, file.plan(1))
    for envelope in file.events_after(0):
        event = envelope.event
        if isinstance(event, PlanRevised):
            played.plan = file.plan(event.number)
        if isinstance(event, BatchCompleted | BatchStopped):
            played.is_ended = True
        if isinstance(event, StepReopened):
            played.is_ended = False
        moved = Moved(frozenset(played.left), frozenset(played.came))
        for move in moves_of(event, played.plan, played.state.finished.keys(), moved):
            _note(played, move, envelope.version)
        played.state = evolve(played.state, envelope)
    return played


def _note(played: _Played, move: Move, version: int) -> None:
    if isinstance(move, Leave):
        played.left[move.piece.id] = (version, move, played.plan)
    elif isinstance(move, Thin):
        played.left[move.name] = (version, move, played.plan)
    elif isinstance(move, Come):
        key = (move.piece.id, move.rest.key)
        first, was, _ = played.came.get(key, (version, move, played.plan))
        played.came[key] = (first, replace(move, step=was.step), played.plan)
    elif isinstance(move, CutInto):
        played.came.pop((move.piece.id, move.key), None)
    else:
        played.left = {k: v for k, v in played.left.items() if v[1].step != move.step}
        played.came = {k: v for k, v in played.came.items() if v[1].step != move.step}
        played.undone[move.step] = version


def _bring(
    connection: sqlite3.Connection, file: RackedSession, played: _Played, at_s: int
) -> tuple[list[str], list[str]]:
    """What was put right for one session, and what a person has to look at."""
    session = file.session
    note_batch(connection, session, file.path, played.state.title)
    told: list[KeptPiece | str] = []
    done: list[str] = []
    for step, version in _stale(connection, session, played):
        told += apply_moves(connection, session, version, (Undo(step),), played.plan, at_s)
        done.append(
            say(
                "{path_name}: {step} was opened again; its pieces are as before it",
                path_name=file.path.name,
                step=step,
            )
        )
    moved = moved_for(connection, session)
    for stock, (version, leave, plan) in played.left.items():
        if stock not in moved.left:
            told += apply_moves(connection, session, version, (leave,), plan, at_s)
            what = (
                say("{rack_id} is planed", rack_id=leave.piece.rack_id)
                if isinstance(leave, Thin)
                else say("{stock} is cut", stock=stock)
            )
            done.append(f"{file.path.name}: {what} ({leave.step})")
    for key, (version, come, plan) in played.came.items():
        if key not in moved.came:
            new = apply_moves(connection, session, version, (come,), plan, at_s)
            told += new
            ids = ", ".join(piece.id for piece in new if isinstance(piece, KeptPiece))
            done.append(
                say(
                    "{path_name}: {ids} is left of {key} ({step})",
                    path_name=file.path.name,
                    ids=ids,
                    key=key[0],
                    step=come.step,
                )
            )
    if played.is_ended:
        end_batch(connection, session)
        return done, [said for said in told if isinstance(said, str)]
    trouble = promise_stock(connection, session, played.plan)
    asked = [f"{file.path.name}: {said}" for said in told if isinstance(said, str)]
    return done, [*asked, *(f"{file.path.name}: {said}" for said in trouble)]


def _stale(
    connection: sqlite3.Connection, session: str, played: _Played
) -> Iterator[tuple[str, int]]:
    """Steps whose rows are older than the moment at which the step was opened again."""
    rows = connection.execute(
        "SELECT step, max(version) FROM (SELECT step, version FROM cut WHERE session = ?1"
        " UNION ALL SELECT step, version FROM piece WHERE session = ?1) GROUP BY step",
        (session,),
    ).fetchall()
    for step, version in rows:
        if played.undone.get(step, 0) > version:
            yield step, played.undone[step]


def _let_go(connection: sqlite3.Connection, lost: dict[str, Path]) -> list[str]:
    for session in lost:
        forget_batch(connection, session)
    return [
        say("{path} is not there any more: what it was promised is free", path=path)
        for path in lost.values()
    ]
