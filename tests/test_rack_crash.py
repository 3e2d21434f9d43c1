"""Ticks that move the rack, killed at random moments: session and rack agree, whichever is first.

That a commit over attached files is one is SQLite's promise for rollback journals
(https://www.sqlite.org/atomiccommit.html, section 5); this test holds it to that.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from random import Random

import pytest

from shopstep.storage.rack_file import RackFile
from shopstep.storage.racked_session import RackedSession
from tests.planing_shop import write_settings
from tests.rack_bench import RackBench, fill_rack, kept

ROOT = Path(__file__).parent.parent
MOST_COMMANDS = 12
ROUGH = "all/rough_cut/board"
PLANED = "all/plane_board/board"
RUNS = {ROUGH: 40, PLANED: 20}


@dataclass(frozen=True)
class Template:
    """A session that stands before a step that moves the rack, and what its tick makes of that."""

    session: Path
    rack: Path
    before: Counter[str]
    after: Counter[str]
    step: str = ROUGH


def tell(rack: Path) -> Counter[str]:
    """What lies on a rack, piece by piece, without the numbers."""
    return Counter(
        f"{p.stuff} {p.length.nm} {p.width.nm} {p.thickness.nm}" for p in RackFile(rack).kept()
    )


def make_template(folder: Path, step: str = ROUGH) -> Template:
    """Played up to the step, in the folder."""
    if step == PLANED:
        write_settings()
        rack = fill_rack(kept("100 in", "9 1/4 in", "1 in")).path
    else:
        rack = fill_rack().path
    work = step.split("/")[1]
    bench = RackBench(folder / "template.session")
    bench.follow_to(work)
    bench.close()
    session, kept_rack = folder / "before.session", folder / "before.db"
    shutil.copyfile(bench.path, session)
    shutil.copyfile(rack, kept_rack)
    before = tell(rack)
    bench.reopen()
    bench.follow_past(work)
    bench.close()
    after = tell(rack)
    assert before != after
    return Template(session, kept_rack, before, after, step)


def check_run(template: Template, seed: int) -> bool:
    """Kills one run and looks at both files; whether the last tick had been taken."""
    path = template.session.with_name(f"run-{seed}.session")
    rack = template.rack.with_name(f"rack-{seed}.db")
    shutil.copyfile(template.session, path)
    shutil.copyfile(template.rack, rack)
    confirmed = _kill_a_run(path, rack, template.step, seed)
    there = tell(rack) if seed % 2 else None
    with RackedSession.open(path) as file:
        events = file.events_after(0)
        done = template.step in _finished(file)
    if there is None:
        there = tell(rack)
    assert len(events) >= confirmed
    assert there == (template.after if done else template.before), f"seed {seed}"
    return done


def _finished(file: RackedSession) -> frozenset[str]:
    from shopstep.session.evolve import fold

    return frozenset(fold(file.events_after(0)).finished)


def _kill_a_run(path: Path, rack: Path, step: str, seed: int) -> int:
    """The newest version that was told to be on disk."""
    random = Random(seed)
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.crash.run_rack", str(path), str(rack), step],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    lines = list(islice(process.stdout, 1 + random.randrange(MOST_COMMANDS)))
    # A commit over both files takes some milliseconds: end somewhere inside, before or after it.
    until = time.perf_counter() + random.uniform(0, 0.02)
    while time.perf_counter() < until:
        pass
    process.kill()
    lines += process.stdout.readlines()
    process.stdout.close()
    assert process.wait() == -9
    told = [line.split() for line in lines if line.endswith("\n")]
    return max((int(words[1]) for words in told if words[0] == "done"), default=0)


@pytest.mark.parametrize("step", [ROUGH, PLANED])
def test_session_and_rack_agree_after_a_kill_whichever_is_opened_first(
    tmp_path: Path, step: str
) -> None:
    template = make_template(tmp_path, step)
    with ThreadPoolExecutor(max_workers=4) as pool:
        found = list(pool.map(lambda seed: check_run(template, seed), range(RUNS[step])))
    assert {True, False} <= set(found), "all runs were killed on the same side of the tick"
