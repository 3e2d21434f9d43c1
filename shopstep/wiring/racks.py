"""The rack beside a session: promised at its start, taken up with it, and told of at the bench."""

from __future__ import annotations

from shopstep.model.plan import Plan
from shopstep.model.rack import KeptPiece
from shopstep.model.stock import RackPiece
from shopstep.present.rack_text import told_words
from shopstep.session.state import State
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.folders import rack_file
from shopstep.storage.rack_file import RackFile
from shopstep.storage.rack_promises import note_batch, promise_stock
from shopstep.storage.racked_session import ANOTHER, RackedSession
from shopstep.wiring.problems import ExitCode, Problem
from shopstep.words import say, say_count


def promise_to_new(journal: RackedSession, plan: Plan) -> None:
    """Promise a new session what its plan takes from the rack.

    Problem where another batch was faster; then the session file is taken away again.
    """
    try:
        with RackFile(rack_file()).writing() as connection:
            title = say_count(
                "{build_title}, {n} unit",
                "{build_title}, {n} units",
                plan.units,
                build_title=plan.build_title,
            )
            note_batch(connection, journal.session, journal.path, title)
            trouble = promise_stock(connection, journal.session, plan)
            if trouble:
                raise Problem(
                    say(
                        "the rack changed while this was planned: {trouble}; start again",
                        trouble="; ".join(trouble),
                    ),
                    ExitCode.CONFLICT,
                )
    except (Problem, SessionFileError):
        journal.close()
        journal.path.unlink(missing_ok=True)
        raise


class SessionRack:
    """The rack as one session sees it."""

    def __init__(self, journal: RackedSession, identity: str) -> None:
        self._journal = journal
        self._file = RackFile(rack_file())
        self._first: tuple[KeptPiece | str, ...] = ()
        journal.rack, journal.identity = self._file.path, identity

    def take_up(self, state: State, plan: Plan) -> None:
        """The session lives in this file now, and its promises hold; what does not is told."""
        if state.completed_s is not None or state.stopped_s is not None:
            return
        try:
            trouble = self._why_not()
            if trouble:
                self._first = (trouble,)
                return
            with self._file.writing() as connection:
                note_batch(connection, self._journal.session, self._journal.path, state.title)
                self._first = tuple(promise_stock(connection, self._journal.session, plan))
        except SessionFileError as problem:
            self._first = (problem.text,)

    def _why_not(self) -> str:
        """Why the rack is not this session's; empty where it is."""
        identity = self._file.identity()
        if not identity:
            return say("The rack {path} is not there any more.", path=self._file.path)
        return "" if identity == self._journal.identity else f"{self._file.path} {say(ANOTHER)}."

    def pieces(self) -> tuple[RackPiece, ...] | None:
        """What this session may be cut from; None where the rack cannot be read."""
        try:
            return None if self._why_not() else self._file.pieces_for(self._journal.session)
        except SessionFileError:
            return None

    def words(self, display: str) -> str:
        """What there is to say about the rack since this was asked last."""
        told = (*self._first, *self._journal.told())
        self._first = ()
        return told_words(told, display)
