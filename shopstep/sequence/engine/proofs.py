"""The other end of the process that proves: asks, listens, and ends it when it is late.

Works without the solver installed: then nothing is ever answered. Imports ``engine.outcome`` and
``engine.problem``; the solver itself is loaded by ``engine.proof_child`` only, in its own process.
"""

from __future__ import annotations

import json
import queue
import subprocess
import sys
import threading
from collections.abc import Sequence
from importlib.util import find_spec
from types import TracebackType
from typing import Any

from shopstep.sequence.engine.outcome import Answer
from shopstep.sequence.engine.problem import Problem, length_of

CHILD = (sys.executable, "-m", "shopstep.sequence.engine.proof_child")
GRACE_S = 0.5
"""How long after its time the process may still hand in an answer."""


def is_solver_installed() -> bool:
    """Whether the extra ``proofs`` is there, found out without loading it."""
    return find_spec("ortools") is not None


class ProofProcess:
    """A ``Prover`` that lives through many problems; a context manager that leaves nothing behind.

    The process is started at once, since loading the solver takes a second or two. It is ended at
    its deadline, when it answers nonsense, or on leaving; and started again when it is asked next.
    """

    def __init__(self, command: Sequence[str] = CHILD) -> None:
        self._command = tuple(command)
        self._process: subprocess.Popen[str] | None = None
        self._lines: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._number = 0
        self._problem: Problem | None = None
        self._timer: threading.Timer | None = None
        self.is_missing = False
        """Whether the process said that the solver cannot be loaded, or could not be started."""

    def __enter__(self) -> ProofProcess:
        self._start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.stop()

    def ask(self, problem: Problem, starts: Sequence[int] | None, seconds: float) -> None:
        """Begins; a question still open is given up with its process. Returns at once."""
        if self._problem is not None:
            self.stop()
        self.answer()
        if self.is_missing or seconds <= 0:
            return
        if not self.is_running:
            self._start()
        if self._process is None or self._process.stdin is None:
            return
        self._number += 1
        self._problem = problem
        question = describe(problem, self._number, starts, seconds)
        try:
            self._process.stdin.write(json.dumps(question) + "\n")
            self._process.stdin.flush()
        except OSError:
            self.stop()
            return
        self._timer = threading.Timer(seconds + GRACE_S, self._process.kill)
        self._timer.daemon = True
        self._timer.start()

    def answer(self) -> Answer | None:
        """The answer to the last question, once; None while there is none."""
        while True:
            try:
                line = self._lines.get_nowait()
            except queue.Empty:
                return None
            try:
                said = json.loads(line)
                found = self._understand(said)
            except (ValueError, TypeError, KeyError, AttributeError):
                self.stop()
                return None
            if found is not None:
                self._settle()
                return found

    @property
    def is_running(self) -> bool:
        """Whether there is a process now."""
        return self._process is not None and self._process.poll() is None

    def stop(self) -> None:
        """Ends the process, whatever it is doing, and waits until it is gone."""
        self._settle()
        process, self._process = self._process, None
        if process is not None:
            process.kill()
            process.wait()
            for pipe in (process.stdin, process.stdout):
                if pipe is not None:
                    try:
                        pipe.close()
                    except OSError:
                        continue
        self._lines = queue.SimpleQueue()

    def _settle(self) -> None:
        self._problem = None
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def _start(self) -> None:
        self.stop()
        try:
            self._process = subprocess.Popen(
                self._command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                text=True,
            )
        except OSError:
            self.is_missing = True
            return
        reader = threading.Thread(target=_listen, args=(self._process, self._lines), daemon=True)
        reader.start()

    def _understand(self, said: dict[str, Any]) -> Answer | None:
        if "ready" in said:
            self.is_missing = not said["ready"]
            return None
        problem = self._problem
        if problem is None or said["number"] != self._number:
            return None
        status = said["status"]
        if status == "infeasible":
            return Answer(infeasible=True)
        if status not in ("optimal", "feasible"):
            return Answer()
        starts = tuple(int(start) for start in said["starts"])
        if len(starts) != len(problem.activities):
            raise ValueError("another number of starts")
        bound = length_of(problem, starts) if status == "optimal" else int(said["bound"])
        return Answer(starts, bound)


def _listen(process: subprocess.Popen[str], lines: queue.SimpleQueue[str]) -> None:
    if process.stdout is not None:
        try:
            for line in process.stdout:
                lines.put(line)
        except (OSError, ValueError):
            return


def describe(
    problem: Problem, number: int, starts: Sequence[int] | None, seconds: float
) -> dict[str, object]:
    """The question as ``proof_child`` reads it."""
    return {
        "number": number,
        "durations": [activity.duration for activity in problem.activities],
        "releases": [activity.release for activity in problem.activities],
        "demands": [activity.demands for activity in problem.activities],
        "capacities": [resource.capacity for resource in problem.resources],
        "lags": [(lag.before, lag.after, lag.least) for lag in problem.lags],
        "frozen": problem.frozen,
        "horizon": _horizon(problem) if starts is None else length_of(problem, tuple(starts)),
        "hint": None if starts is None else list(starts),
        "seconds": seconds,
    }


def _horizon(problem: Problem) -> int:
    """Where a schedule exists, one ends by then: each activity in turn, after its longest lag."""
    longest = [activity.duration for activity in problem.activities]
    for lag in problem.lags:
        longest[lag.before] = max(longest[lag.before], lag.least)
    begin = max((activity.release for activity in problem.activities), default=0)
    fixed = max((start for _, start in problem.frozen), default=0)
    return max(begin, fixed) + sum(longest)
