"""Sessions that are killed, and sessions with several writers: real processes, a real file."""

from __future__ import annotations

import shutil
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from random import Random

import pytest

from shopstep.session.events import Envelope, NoteTaken
from shopstep.session.evolve import fold
from shopstep.storage.clock import FixedClock
from shopstep.storage.session_file import SessionFile
from shopstep.workbench import Workbench
from tests.crash.drive import drive
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import MemoryJournal, first_events, make_request, moment_at

ROOT = Path(__file__).parent.parent
FIRST = len(first_events(make_plan()))
"""Events that stand in a new session; their command id differs from file to file."""
RUNS = 200
MOST_COMMANDS = 25
"""Commands after which a run is killed at the latest."""


def start(script: str, *arguments: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", f"tests.crash.{script}", *arguments],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    )


def make_template(folder: Path) -> Path:
    path = folder / "template.session"
    plan = make_plan()
    SessionFile.create(
        path, make_request(), plan, first_events(plan), moment_at(BEGIN_S), "bench"
    ).close()
    return path


@dataclass
class Killed:
    """What a killed run had said."""

    seed: int
    heavy: str
    confirmed: int
    """Newest version that was told to be on disk."""
    last_id: str
    """Id of the last command that had begun, told done or not; empty before the first."""


def _kill_a_run(path: Path, seed: int) -> Killed:
    random = Random(seed)
    last_line = 1 + random.randrange(2 * MOST_COMMANDS)
    process = start("run_bench", str(path), str(seed))
    assert process.stdout is not None
    lines = list(islice(process.stdout, 1 + last_line))
    # A commit takes about a millisecond: end somewhere inside, before or after it.
    until = time.perf_counter() + random.uniform(0, 0.003)
    while time.perf_counter() < until:
        pass
    process.kill()
    lines += process.stdout.readlines()
    process.stdout.close()
    assert process.wait() == -9
    return _read_lines(seed, [line.split() for line in lines if line.endswith("\n")])


def _read_lines(seed: int, lines: list[list[str]]) -> Killed:
    done = [line for line in lines if line[0] == "done"]
    begun = [line[1] for line in lines if line[0] == "begin"]
    confirmed = int(done[-1][2]) if done else FIRST
    return Killed(seed, " ".join(lines[0]), confirmed, begun[-1] if begun else "")


def _play_again(seed: int, last_id: str) -> list[Envelope]:
    """What the same bench stores in memory, up to and with the last command."""
    journal, clock = MemoryJournal(), FixedClock(BEGIN_S)
    lines = drive(Workbench(journal, clock, "bench"), clock, seed)
    while last_id and next(lines).split()[:2] != ["done", last_id]:
        pass
    return journal.stored


def check_run(template: Path, seed: int) -> None:
    path = template.with_name(f"run-{seed}.session")
    shutil.copyfile(template, path)
    killed = _kill_a_run(path, seed)
    assert killed.heavy == "heavy"
    with SessionFile.open(path) as file:
        stored = file.events_after(0)
        card = Workbench(file, FixedClock(BEGIN_S), "bench").card()
    assert card.version == len(stored) == fold(stored).version
    expected = _play_again(seed, killed.last_id)
    # Confirmed ⊆ stored ⊆ confirmed and the one in flight, and every event as it was decided.
    assert len(stored) in {killed.confirmed, len(expected)}
    assert list(stored[FIRST:]) == expected[FIRST : len(stored)]


def test_a_killed_session_keeps_all_that_was_confirmed_and_at_most_the_command_in_flight(
    tmp_path: Path,
) -> None:
    template = make_template(tmp_path)
    with ThreadPoolExecutor(max_workers=4) as pool:
        for _ in pool.map(lambda seed: check_run(template, seed), range(RUNS)):
            pass


def test_three_writers_on_one_session_lose_nothing_and_store_nothing_twice(
    tmp_path: Path,
) -> None:
    path = make_template(tmp_path)
    names = ("bench", "tablet", "do")
    writers = [start("run_writer", str(path), name, "40") for name in names]
    said = [process.communicate()[0] for process in writers]
    assert said == ["", "", ""]
    assert [process.returncode for process in writers] == [0, 0, 0]
    with SessionFile.open(path) as file:
        envelopes = file.events_after(0)
    assert [one.version for one in envelopes] == list(range(1, 2 + 3 * 40 + 1))
    for name in names:
        notes = [e.event.text for e in envelopes if isinstance(e.event, NoteTaken)]
        own = [text for text in notes if text.startswith(name)]
        assert own == [f"{name} {number}" for number in range(40)]


@pytest.mark.parametrize("room", [1, 5_000, 40_000])
def test_a_full_disk_is_told_in_a_sentence_and_nothing_confirmed_is_lost(
    tmp_path: Path, room: int
) -> None:
    path = make_template(tmp_path)
    process = start("run_full", str(path), str(room))
    *confirmed, sentence = process.communicate()[0].splitlines()
    assert process.returncode == 0
    assert "could not be written" in sentence
    assert sentence.endswith(".")
    with SessionFile.open(path) as file:
        stored = file.events_after(0)
        card = Workbench(file, FixedClock(BEGIN_S), "bench").card()
    assert len(stored) == (int(confirmed[-1]) if confirmed else FIRST)
    assert card.headline
