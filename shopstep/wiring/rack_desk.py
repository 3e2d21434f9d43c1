"""The rack before a session: pieces put on it, listed, looked over, taken off, read and written."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from shopstep.model.rack import Answers, KeptPiece
from shopstep.storage.folders import rack_file, sessions_folder
from shopstep.storage.rack_check import RackReport, line_up
from shopstep.storage.rack_csv import CsvProblem, read_rows, write_rows
from shopstep.storage.rack_file import RackFile, RackRefusal
from shopstep.wiring.problems import ExitCode, Problem, plain_problems

__all__ = ["RackDesk", "RackReport"]


class RackDesk:
    """The keeper's rack on this machine. Problem where something cannot be."""

    def __init__(self) -> None:
        self._file = RackFile(rack_file())

    @property
    def path(self) -> Path:
        """The rack's file; it need not exist."""
        return self._file.path

    def kept(self, *, is_all: bool = False) -> tuple[KeptPiece, ...]:
        """What lies on the rack, by number; ``is_all``: also what left it."""
        with _plain():
            return self._file.kept(is_all=is_all)

    def add(self, pieces: Iterable[KeptPiece]) -> tuple[str, ...]:
        """Put pieces on the rack; the ids that they got."""
        with _plain():
            return self._file.add(pieces, _now_s())

    def remove(self, ids: Iterable[str], how: str, *, is_sure: bool) -> list[KeptPiece]:
        """Take pieces off the rack, one after the other; what they were."""
        with _plain():
            return [self._file.remove(id_, how, _now_s(), is_sure=is_sure) for id_ in ids]

    def answer(self, id_: str, answers: Answers) -> KeptPiece:
        """What a look at a reclaimed piece found."""
        with _plain():
            return self._file.answer(id_, answers)

    def read_table(self, text: str) -> tuple[int, int]:
        """Pieces of a CSV table onto the rack, all or none: how many came, how many changed."""
        with _plain():
            return self._file.merge(read_rows(text), _now_s())

    def table(self) -> str:
        """All that lies on the rack, as CSV."""
        return write_rows(self.kept())

    def line_up(self) -> RackReport:
        """Whether the file is whole; and every session's ticks brought to it that are missing."""
        with _plain():
            return line_up(self._file, sessions_folder(), _now_s())


@contextmanager
def _plain() -> Iterator[None]:
    with plain_problems():
        try:
            yield
        except RackRefusal as refusal:
            raise Problem(refusal.text, ExitCode.REFUSED) from None
        except CsvProblem as problem:
            raise Problem(problem.text, ExitCode.USAGE) from None


def _now_s() -> int:
    return int(time.time())
