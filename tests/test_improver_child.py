"""The process that makes a plan better: the real one, and ones that crash, lie, or never end."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from shopstep.model.better import Better
from shopstep.model.codec import encode
from shopstep.wiring.improver import CHILD, ChildImprover
from tests.bettering_samples import CAN_BE_BETTER, bench_question, disturbed
from tests.schedule_checker import violations

ROOT = Path(__file__).resolve().parent.parent
LONG_S = 30.0
READ = "import sys\nline = sys.stdin.readline()\n"
SLEEP = "import time\ntime.sleep(600)\n"


def wait_for(improver: ChildImprover) -> Better | None:
    """The answer, once the search is over."""
    until = time.monotonic() + LONG_S
    while improver.is_busy:
        assert time.monotonic() < until, "the search does not end"
        time.sleep(0.01)
    return improver.answer()


def is_alive(pid: int) -> bool:
    """Whether a process runs; one that is dead and not yet buried does not."""
    found = subprocess.run(
        ["ps", "-o", "stat=", "-p", str(pid)], capture_output=True, text=True, check=False
    )
    return bool(found.stdout.strip()) and not found.stdout.strip().startswith("Z")


def is_gone(pid: int) -> bool:
    """Whether a process is gone within a few seconds."""
    until = time.monotonic() + 10
    while is_alive(pid):
        if time.monotonic() > until:
            return False
        time.sleep(0.02)
    return True


def is_there(pid: int) -> bool:
    """Whether the process table still has it, dead or alive."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def test_the_real_process_finds_a_better_plan_that_keeps_every_rule() -> None:
    improver, question = ChildImprover(deadline_s=LONG_S), bench_question()
    began = time.monotonic()
    improver.ask(question)
    assert time.monotonic() - began < 0.5  # the bench goes on at once
    assert improver.answer() is None
    better = wait_for(improver)
    assert better is not None
    asked, found = disturbed(CAN_BE_BETTER)
    wrong = violations(
        asked.steps, better.steps, asked.waits, asked.holds, found.shop, found.now_s, found.finished
    )
    assert wrong == []
    assert better.gain.evenings >= 1
    assert improver.answer() is None  # once


STAND_INS = {
    "crashes": READ + "raise SystemExit(3)\n",
    "never reads": "raise SystemExit(0)\n",
    "says nonsense": READ + "print('what?')\n",
    "says something else": READ + "print('{\"answer\": 7}')\n",
    "says a list": READ + "print('[1, 2]')\n",
    "knows no step": READ + 'print(\'{"starts": {"no/such/step": 1}}\')\n',
    "says no times": READ + 'print(\'{"starts": {"u1/glue/close": "soon"}}\')\n',
    "puts all at once": READ + "import json\n"
    "plan = json.loads(line)['plan']\n"
    "done = {step for step, _, _ in plan['finished']}\n"
    "print(json.dumps({'starts': {s['id']: plan['begin_s'] for s in plan['steps']"
    " if s['id'] not in done}}))\n",
    "finds nothing": READ + "print('{\"starts\": null}')\n",
    "floods": READ + "print('x' * 10_000_000)\n",
}


@pytest.mark.parametrize("program", STAND_INS.values(), ids=STAND_INS)
def test_whatever_is_wrong_with_the_process_means_that_nothing_was_found(
    program: str, capfd: pytest.CaptureFixture[str]
) -> None:
    improver = ChildImprover([sys.executable, "-c", program])
    improver.ask(bench_question())
    assert wait_for(improver) is None
    assert capfd.readouterr() == ("", "")


def test_a_process_that_cannot_be_started_means_the_same() -> None:
    improver = ChildImprover([str(ROOT / "no such program")])
    improver.ask(bench_question())
    assert wait_for(improver) is None


@pytest.mark.parametrize("program", [SLEEP, READ + SLEEP], ids=["never reads", "never answers"])
def test_a_process_that_never_ends_is_ended_at_its_deadline(program: str, tmp_path: Path) -> None:
    told = tmp_path / "pid"
    says = f"import os\nopen({str(told)!r}, 'w').write(str(os.getpid()))\n"
    improver = ChildImprover([sys.executable, "-c", says + program], deadline_s=1.0)
    began = time.monotonic()
    improver.ask(bench_question())
    assert wait_for(improver) is None
    assert time.monotonic() - began < 10
    assert not is_there(int(told.read_text()))  # dead, and buried: no zombie


def test_what_is_stopped_is_gone_at_once_and_never_answers() -> None:
    improver = ChildImprover(search_s=60.0, deadline_s=LONG_S)
    improver.ask(bench_question())
    time.sleep(0.3)
    began = time.monotonic()
    improver.stop()
    assert time.monotonic() - began < 5
    assert (improver.is_busy, improver.answer()) == (False, None)
    improver.stop()


def test_a_new_question_gives_the_old_one_up() -> None:
    improver = ChildImprover(deadline_s=LONG_S)
    improver.ask(bench_question(0))
    improver.ask(bench_question())
    better = wait_for(improver)
    assert better is not None
    assert better.gain.evenings >= 1


PARENT = """
import sys, time
from shopstep.wiring.improver import ChildImprover
from tests.bettering_samples import bench_question
improver = ChildImprover(search_s=120.0, deadline_s=600.0)
question = bench_question(units=12)
improver.ask(question)
while improver._search._child.pid is None:
    time.sleep(0.01)
time.sleep(0.5)
print(improver._search._child.pid, flush=True)
"""


def start_parent(then: str) -> tuple[subprocess.Popen[str], int]:
    """A program with a search under way, and the process that searches."""
    parent = subprocess.Popen(
        [sys.executable, "-c", PARENT + then], stdout=subprocess.PIPE, text=True, cwd=ROOT
    )
    assert parent.stdout is not None
    return parent, int(parent.stdout.readline())


@pytest.mark.parametrize("kill", [signal.SIGKILL, signal.SIGTERM])
def test_a_bench_that_is_killed_leaves_no_orphan(kill: signal.Signals) -> None:
    parent, child = start_parent("time.sleep(600)\n")
    assert is_alive(child)
    parent.send_signal(kill)
    parent.communicate()
    assert is_gone(child)


def test_leaving_does_not_wait_for_the_search() -> None:
    parent, child = start_parent("")
    began = time.monotonic()
    parent.communicate(timeout=LONG_S)
    assert (parent.returncode, time.monotonic() - began < 5) == (0, True)
    assert is_gone(child)


def test_the_real_process_ends_by_itself_when_it_has_answered() -> None:
    asked = {"plan": encode(disturbed(CAN_BE_BETTER)[0]), "seed": 0, "rounds": 3, "seconds": 1}
    child = subprocess.Popen(
        CHILD,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    )
    assert child.stdin is not None
    assert child.stdout is not None
    assert child.stderr is not None
    child.stdin.write(json.dumps(asked) + "\n")
    child.stdin.flush()
    assert "starts" in json.loads(child.stdout.readline())
    assert child.wait(LONG_S) == 0  # its input is still open
    assert child.stderr.read() == ""
    for pipe in (child.stdin, child.stdout, child.stderr):
        pipe.close()


def test_a_process_that_nobody_asks_ends_with_its_input() -> None:
    done = subprocess.run(CHILD, input="", text=True, capture_output=True, timeout=LONG_S, cwd=ROOT)
    assert done.returncode != 0
    assert done.stdout == ""
