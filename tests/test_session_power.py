"""A cut of the power at any moment: the session's own statements on a disk that forgets.

The statements are the product's: a ``SessionFile`` and a ``Workbench`` on a connection of another
SQLite binding, whose file system can be replaced.
"""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any, cast

import apsw
import pytest

from shopstep.session.events import Envelope
from shopstep.storage.clock import FixedClock
from shopstep.storage.session_database import PRAGMAS
from shopstep.storage.session_file import SessionFile
from shopstep.workbench import Workbench
from tests.crash.drive import drive
from tests.crash.power import Disk, NotingVFS, after_power_cut
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import first_events, make_request, moment_at

COMMANDS = 5
NAME = "a.session"


def begin(folder: Path) -> bytes:
    """A new session, whole on disk; its bytes."""
    plan = make_plan()
    path = folder / NAME
    SessionFile.create(
        path, make_request(), plan, first_events(plan), moment_at(BEGIN_S), "bench"
    ).close()
    return path.read_bytes()


def work(folder: Path, disk: Disk, pragmas: tuple[str, ...], seed: int) -> tuple[Envelope, ...]:
    """Some commands on a disk that notes everything; all events at the end."""
    vfs = NotingVFS(f"noting-{seed}-{len(pragmas)}", disk)
    connection = apsw.Connection(str(folder / NAME), vfs=f"noting-{seed}-{len(pragmas)}")
    try:
        for pragma in pragmas:
            connection.execute(f"PRAGMA {pragma}").fetchall()
        ((session,),) = connection.execute("SELECT session FROM session").fetchall()
        file = SessionFile(folder / NAME, cast("Any", connection), str(session))
        clock = FixedClock(BEGIN_S)
        bench = Workbench(file, clock, "bench")
        done = 0
        for line in drive(bench, clock, seed):
            if line.startswith("done"):
                disk.mark(bench.state.version)
                done += 1
            if done == COMMANDS:
                break
        return file.events_after(0)
    finally:
        connection.close()
        vfs.unregister()


def worst_outcomes(tmp_path: Path, pragmas: tuple[str, ...], seed: int) -> list[str]:
    """What is lost or broken after a cut at every step, in words; and how many cuts were tried."""
    folder = tmp_path / f"live-{seed}"
    folder.mkdir()
    before = begin(folder)
    disk = Disk()
    events = work(folder, disk, pragmas, seed)
    problems, cuts = [], 0
    for end in range(len(disk.steps) + 1):
        seen = disk.steps[:end]
        confirmed = max((step.at for step in seen if step.kind == "mark"), default=0)
        for files in after_power_cut({NAME: before}, seen, Random(seed)):
            cuts += 1
            problems += open_again(tmp_path / "after", files, confirmed, events)
    assert cuts > 200
    return problems


def open_again(
    folder: Path, files: dict[str, bytes], confirmed: int, events: tuple[Envelope, ...]
) -> list[str]:
    """Opens what the cut left, as the next evening would."""
    folder.mkdir(exist_ok=True)
    for old in folder.iterdir():
        old.unlink()
    for name, data in files.items():
        (folder / name).write_bytes(data)
    try:
        with SessionFile.open(folder / NAME) as file:
            got = file.events_after(0)
    except Exception as problem:
        return [f"does not open: {problem}"]
    if got != events[: len(got)]:
        return ["holds something that was never decided"]
    if len(got) < confirmed:
        return [f"{confirmed - len(got)} confirmed events are lost"]
    return []


def test_no_confirmed_command_is_lost_whatever_the_disk_forgets(tmp_path: Path) -> None:
    for seed in (1, 2, 3):
        assert worst_outcomes(tmp_path, PRAGMAS, seed) == []


@pytest.mark.parametrize("setting", ["OFF", "NORMAL", "FULL"])
def test_with_less_than_extra_the_same_trial_finds_losses(tmp_path: Path, setting: str) -> None:
    """The trial is worth something: a folder that is not synced brings an old journal back."""
    pragmas = (*PRAGMAS[:-1], f"synchronous={setting}")
    assert worst_outcomes(tmp_path, pragmas, 4)
