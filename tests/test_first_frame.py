"""What ``resume`` loads before its first frame: what the card shows, and nothing else.

How long that takes is measured by ``python -m tests.benchmarks.bench_screen``. A clock would make
a test hang on the machine; which modules are loaded does not.
"""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from shopstep.cli.main import run
from tests.test_tui_terminal import read_until

ROOT = Path(__file__).parent.parent
RESUME = """
import gc, json, os, sys
from textual.drivers.linux_driver import LinuxDriver
from shopstep.__main__ import main

paint, until, told = LinuxDriver.write, sys.argv[1], sys.argv[2]

def looks():
    return gc.get_stats()[0]["collections"]

def write(driver, text):
    paint(driver, text)
    if until in text:
        with open(told, "w", encoding="utf-8") as file:
            json.dump([sorted(sys.modules), looks() - before], file)
        os._exit(0)

LinuxDriver.write = write
sys.argv = ["shopstep", "resume"]
before = looks()
main()
"""
MOST_OURS = 131
"""Modules of this program. One more that the card needs may raise it; anything else loads late."""
COMES_WITH_WHAT_ASKS = {
    "commands": (
        "session.commands", "session.decide", "session.gates", "session.room", "tui.requests",
        "present.phrases", "present.choices",
    ),
    "pages over the bench, and the far view": (
        "tui.screens.openings", "tui.screens.board_page", "tui.screens.measure_pad",
        "tui.screens.list_page", "tui.screens.air_page", "tui.screens.summary_page",
        "tui.screens.offcut_page", "tui.offcut_steps", "present.rack_text",
        "tui.far_sheet", "present.board", "present.plan_text",
        "present.summary", "present.air", "present.lines",
    ),
    "other commands of the command line": (
        "cli.plain", "cli.do_command", "cli.start_command", "cli.log_command", "present.log",
        "present.record", "present.change_text", "present.lessons",
    ),
    "the rack of a session that has one": (
        "session.rack_moves", "storage.rack_moves", "storage.rack_promises", "storage.rack_file",
        "wiring.racks", "workbench.racked",
    ),
    "voice": (
        "voice", "wiring.speaking", "wiring.listening", "tui.speaking", "tui.hearing",
        "tui.ear_line", "tui.screens.asked_page", "storage.sound_player",
        "present.said", "present.said_ahead", "present.spoken_text",
    ),
    "planning": (
        "desk", "design", "fitting", "milling", "stock", "sequence", "solids", "planner",
        "model.better", "model.interface", "model.proof", "model.measure",
    ),
}  # fmt: skip


@pytest.fixture
def loaded(tmp_path: Path) -> tuple[set[str], int]:
    """Modules that are loaded when the card of a new batch is painted, and how often garbage was
    looked for until then."""
    assert run(["start", "screened-floor", "--temperature", "18 C"]) == 0
    told = tmp_path / "told"
    ours, theirs = pty.openpty()
    places = {"COLUMNS": "120", "LINES": "40", "TERM": "xterm-256color", "PYTHONPATH": str(ROOT)}
    with subprocess.Popen(
        [sys.executable, "-c", RESUME, "whole batch", str(told)],
        stdin=theirs, stdout=theirs, stderr=theirs, cwd=ROOT, env=os.environ | places,
        start_new_session=True,
    ) as child:  # fmt: skip
        os.close(theirs)
        try:
            seen = read_until(ours, "")
        finally:
            os.close(ours)
        assert child.wait(timeout=20) == 0, seen[-400:]
    modules, looks = json.loads(told.read_text(encoding="utf-8"))
    return set(modules), looks


def test_the_first_frame_waits_for_nothing_that_it_does_not_show(
    loaded: tuple[set[str], int],
) -> None:
    modules, looks = loaded
    for why, names in COMES_WITH_WHAT_ASKS.items():
        early = modules.intersection(f"shopstep.{name}" for name in names)
        assert not early, f"{sorted(early)} should come with {why}"
    assert "tomllib" not in modules  # no settings file, nothing to read it with
    ours = [name for name in modules if name.partition(".")[0] == "shopstep"]
    assert "shopstep.tui.screens.bench_screen" in ours
    assert len(ours) <= MOST_OURS
    assert looks < 10  # with Python's own threshold more than 50


@pytest.mark.parametrize("module", ["present.board", "present.log", "present.lessons", "cli.plain"])
def test_a_tick_from_the_command_line_does_not_pay_for_the_board(module: str) -> None:
    code = f"import shopstep.cli.do_command, sys; assert 'shopstep.{module}' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)
