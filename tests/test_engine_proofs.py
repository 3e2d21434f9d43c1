"""The process that proves, held to its word with processes that stand in for it.

The real one is run too: where the solver is not installed it must say so.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import pytest

from shopstep.sequence.engine.outcome import Answer, Limits
from shopstep.sequence.engine.problem import Activity, Problem, Resource
from shopstep.sequence.engine.proofs import (
    CHILD,
    ProofProcess,
    describe,
    is_solver_installed,
)
from shopstep.sequence.engine.solving import solve_problem
from tests.engine_checker import violations
from tests.engine_samples import middling_problem

LONG_S = 30.0

READY = "import sys, json\nprint('{\"ready\": true}', flush=True)\n"
EACH = "for line in sys.stdin:\n    asked = json.loads(line)\n"
AGREES = (
    READY + EACH + "    print(json.dumps({'number': asked['number'], 'status': 'optimal',"
    " 'starts': asked['hint']}), flush=True)\n"
)
"""Says of every schedule that it is the best."""
SAYS_NOTHING = READY + "import time\ntime.sleep(600)\n"
TALKS_NONSENSE = READY + EACH + "    print('what?', flush=True)\n"
LIES = (
    READY + EACH + "    n = len(asked['durations'])\n"
    "    print(json.dumps({'number': asked['number'], 'status': 'feasible',"
    " 'starts': [0] * n, 'bound': 10**6}), flush=True)\n"
)
"""All at once, and a bound above every schedule."""
DIES = READY
MISSING = 'print(\'{"ready": false, "why": "not here"}\', flush=True)\n'


def _stand_in(program: str) -> ProofProcess:
    return ProofProcess([sys.executable, "-c", program])


def _wait_for(process: ProofProcess) -> Answer | None:
    until = time.monotonic() + LONG_S
    while time.monotonic() < until:
        answer = process.answer()
        if answer is not None:
            return answer
        time.sleep(0.01)
    return None


TWO = Problem((Resource("r", 1),), (Activity("a", 2, ((0, 1),)), Activity("b", 3, ((0, 1),))))


def test_an_answer_belongs_to_its_question() -> None:
    with _stand_in(AGREES) as process:
        process.ask(TWO, (0, 2), LONG_S)
        assert _wait_for(process) == Answer((0, 2), 5)
        assert process.answer() is None
        process.ask(TWO, (3, 0), LONG_S)
        assert _wait_for(process) == Answer((3, 0), 5)


def test_a_question_that_is_given_up_is_not_answered_later() -> None:
    with _stand_in(AGREES) as process:
        process.ask(TWO, (0, 2), LONG_S)
        process.ask(TWO, (3, 0), LONG_S)
        assert _wait_for(process) == Answer((3, 0), 5)


def test_a_proof_from_outside_ends_the_search() -> None:
    problem = middling_problem(3, 60)
    with _stand_in(AGREES) as process:
        outcome = solve_problem(problem, Limits(seconds=LONG_S), prover=process)
    assert outcome.proved
    assert outcome.starts is not None
    assert violations(problem, outcome.starts) == []


@pytest.mark.parametrize(
    "program", [SAYS_NOTHING, TALKS_NONSENSE, LIES, DIES, MISSING], ids=lambda p: str(len(p))
)
def test_a_process_that_fails_costs_nothing_but_the_proof(program: str) -> None:
    problem = middling_problem(3, 60)
    with _stand_in(program) as process:
        outcome = solve_problem(problem, Limits(seconds=0.6), prover=process)
    assert outcome.starts is not None
    assert violations(problem, outcome.starts) == []
    assert outcome.length is not None
    assert outcome.bound <= outcome.length


def test_a_process_is_ended_at_its_deadline(tmp_path: Path) -> None:
    program = READY + (
        "import os, pathlib, time\n"
        f"pathlib.Path({str(tmp_path / 'pid')!r}).write_text(str(os.getpid()))\n"
        "time.sleep(600)\n"
    )
    process = _stand_in(program)
    with process:
        process.ask(TWO, (0, 2), 0.2)
        until = time.monotonic() + LONG_S
        while process.is_running and time.monotonic() < until:
            time.sleep(0.01)
        assert not process.is_running
        assert process.answer() is None


def test_nothing_runs_any_more_on_leaving() -> None:
    with _stand_in(SAYS_NOTHING) as process:
        process.ask(TWO, (0, 2), LONG_S)
        assert process.is_running
    assert not process.is_running


def test_a_command_that_is_not_there_is_no_error() -> None:
    with ProofProcess(["/no/such/command"]) as process:
        process.ask(TWO, (0, 2), 1.0)
        assert process.answer() is None
        assert process.is_missing


def test_a_missing_solver_is_not_asked_again() -> None:
    with _stand_in(MISSING) as process:
        until = time.monotonic() + LONG_S
        while not process.is_missing and time.monotonic() < until:
            assert process.answer() is None
            time.sleep(0.01)
        assert process.is_missing
        process.ask(TWO, (0, 2), 1.0)
        assert process.answer() is None


def test_the_real_process_proves_or_says_that_its_solver_is_missing() -> None:
    """Both are right; which of the two was tested depends on whether ``proofs`` is installed."""
    question = json.dumps(describe(TWO, 1, None, LONG_S)) + "\n"
    done = subprocess.run(CHILD, input=question, capture_output=True, text=True, check=True)
    lines = [json.loads(line) for line in done.stdout.splitlines()]
    assert lines[0]["ready"] == is_solver_installed()
    if is_solver_installed():
        assert lines[1]["status"] == "optimal"
        assert lines[1]["length"] == lines[1]["bound"] == 5
        assert violations(TWO, lines[1]["starts"]) == []
    else:
        assert "ortools" in lines[0]["why"]
        assert len(lines) == 1


def test_the_engine_loads_neither_solver_nor_anything_heavy() -> None:
    program = (
        "import sys\n"
        "import shopstep.sequence.engine.solving, shopstep.sequence.engine.proofs\n"
        "heavy = {'ortools', 'numpy', 'pandas', 'psplib', 'pydantic', 'textual', 'sqlite3'}\n"
        "print(sorted(heavy & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
