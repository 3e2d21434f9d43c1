"""The real improver: a process that searches, and a thread that hands over what it found.

Nothing of it is heavy to import; the search is loaded by the process, and by the thread to check
the answer. Whatever goes wrong in the process (it crashes, hangs, answers nonsense) means that
nothing better was found. It is ended at its deadline and on ``stop``; it ends by itself when this
program is gone (``sequence.better_child``).
"""

from __future__ import annotations

import json
import sys
import threading
from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopstep.wiring.child_answers import ChildAnswer

if TYPE_CHECKING:
    from shopstep.model.better import Better
    from shopstep.sequence.bettering import Asked
    from shopstep.workbench.ports import BetterAsked

CHILD = (sys.executable, "-m", "shopstep.sequence.better_child")
SEARCH_S = 1.0
"""How long the process looks for a better order, in seconds of the processor."""
DEADLINE_S = 5.0
"""When it is ended whatever it is doing, in seconds of the clock from its start on."""


class ChildImprover:
    """An ``Improver`` with at most one process at a time."""

    def __init__(
        self,
        command: Sequence[str] = CHILD,
        search_s: float = SEARCH_S,
        deadline_s: float = DEADLINE_S,
    ) -> None:
        self._command = tuple(command)
        self._search_s = search_s
        self._deadline_s = deadline_s
        self._search: _Search | None = None

    @property
    def is_busy(self) -> bool:
        """Whether an answer may still come."""
        return self._search is not None and not self._search.is_over.is_set()

    def ask(self, asked: BetterAsked) -> None:
        """Begins, and returns at once; a question still open is given up."""
        self.stop()
        self._search = _Search(self._command, asked, self._search_s, self._deadline_s)
        self._search.start()

    def answer(self) -> Better | None:
        """What was found, once; None while nothing was."""
        search = self._search
        if search is None or not search.is_over.is_set():
            return None
        self._search = None
        return search.found

    def stop(self) -> None:
        """Ends the process, and waits until it is gone."""
        search, self._search = self._search, None
        if search is not None:
            search.stop()


class _Search(threading.Thread):
    """One question: its process from start to end."""

    def __init__(
        self, command: tuple[str, ...], asked: BetterAsked, search_s: float, deadline_s: float
    ) -> None:
        super().__init__(name="improver", daemon=True)
        self._asked = asked
        self._search_s = search_s
        self._deadline_s = deadline_s
        self._child = ChildAnswer(command, deadline_s)
        self.found: Better | None = None
        self.is_over = threading.Event()
        """Set once ``found`` will change no more and the process is gone."""

    def run(self) -> None:
        """Asks, listens until the deadline, checks the answer."""
        try:
            self.found = self._search()
        except Exception:  # a search that fails is no news: the plan in force stands
            self.found = None
        finally:
            self.is_over.set()

    def stop(self) -> None:
        """Ends the process; returns when it is gone."""
        self._child.stop()
        self.is_over.wait(self._deadline_s)

    def _search(self) -> Better | None:
        from shopstep.model.codec import encode
        from shopstep.sequence.bettering import ROUNDS, check_better

        question = _question(self._asked)
        asked = {
            "plan": encode(question),
            "seed": self._asked.seed,
            "rounds": ROUNDS,
            "seconds": self._search_s,
        }
        line = self._child.ask(json.dumps(asked))
        if self._child.is_stopped or not line:
            return None
        starts = json.loads(line)["starts"]
        if starts is None:
            return None
        whole = {str(step): int(start) for step, start in starts.items()}
        return check_better(question, whole)


def _question(asked: BetterAsked) -> Asked:
    from shopstep.sequence.bettering import Asked

    plan = asked.plan
    finished = tuple((step, start, end) for step, (start, end) in asked.finished.items())
    return Asked(
        plan.steps, plan.waits, plan.holds, asked.shop, plan.begin_s, finished, asked.at_bench
    )
