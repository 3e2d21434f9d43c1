"""``shopstep doctor``: what it looks at on this machine, what it says, and that it changes nothing.

Common practice, no source.
"""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from shopstep.cli.main import run
from shopstep.storage import machine
from shopstep.storage.folders import cache_folder, data_folder, sessions_folder, settings_file
from shopstep.storage.machine import find_player, try_folder, try_locks
from shopstep.wiring import checkup
from shopstep.wiring.checkup import Check, Terminal, Verdict, look_over_machine

GOOD = Terminal(120, 40, "utf-8", True)
COLOURS = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
NOW_S = 1_800_000_000


def by_name(
    terminal: Terminal = GOOD, environment: dict[str, str] | None = None, now_s: int = NOW_S
) -> dict[str, Check]:
    """All checks by their names."""
    told = COLOURS if environment is None else environment
    return {check.name: check for check in look_over_machine(terminal, told, now_s)}


def test_every_line_that_is_not_well_says_what_to_do_and_names_are_told_apart() -> None:
    checks = look_over_machine(Terminal(20, 5, "ascii", True), {}, 0)
    assert len({check.name for check in checks}) == len(checks)
    assert all(check.then for check in checks if check.verdict is not Verdict.GOOD)
    wrong = {check.name for check in checks if check.verdict is Verdict.WRONG}
    assert wrong == {"screen", "signs", "clock"}


@pytest.mark.parametrize(
    ("size", "verdict"),
    [
        ((40, 15), Verdict.LOOK), ((39, 15), Verdict.WRONG), ((40, 14), Verdict.WRONG),
        ((80, 23), Verdict.LOOK), ((80, 24), Verdict.GOOD), ((200, 60), Verdict.GOOD),
    ],
)  # fmt: skip
def test_the_screen_has_to_be_large_enough_for_a_card(
    size: tuple[int, int], verdict: Verdict
) -> None:
    check = by_name(Terminal(*size, "utf-8", True))["screen"]
    assert check.verdict is verdict
    assert f"{size[0]} columns, {size[1]} rows" in check.found


@pytest.mark.parametrize(
    ("environment", "verdict"),
    [
        (COLOURS, Verdict.GOOD),
        ({"TERM": "xterm-256color"}, Verdict.GOOD),
        ({"TERM": "xterm"}, Verdict.LOOK),
        ({"TERM": "dumb"}, Verdict.LOOK),
        ({}, Verdict.LOOK),
        (COLOURS | {"NO_COLOR": "1"}, Verdict.LOOK),
    ],
)
def test_colours_are_never_wrong_for_shapes_and_words_say_the_same(
    environment: dict[str, str], verdict: Verdict
) -> None:
    assert by_name(environment=environment)["colours"].verdict is verdict


def test_the_signs_of_cards_need_their_encoding() -> None:
    assert by_name(Terminal(80, 24, "latin-1", True))["signs"].verdict is Verdict.WRONG
    assert by_name(Terminal(80, 24, "", True))["signs"].verdict is Verdict.WRONG
    assert checkup.SAMPLE in by_name()["signs"].then


def test_a_folder_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    assert try_folder(tmp_path / "not" / "yet") == ""
    assert list(tmp_path.iterdir()) == []
    file = tmp_path / "a file"
    file.write_text("x")
    if os.geteuid():
        tmp_path.chmod(0o500)
        assert str(tmp_path) in try_folder(tmp_path)
        tmp_path.chmod(0o700)
    assert "cannot" not in try_folder(file / "below")  # the folder above it is what counts


def test_a_full_disk_is_told_before_the_evening(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(machine, "LEAST_FREE", 10**18)
    assert "MB are free" in try_folder(tmp_path)
    assert by_name()["data"].verdict is Verdict.WRONG
    assert by_name()["cache"].verdict is Verdict.LOOK


def test_a_disk_whose_locks_hold_nobody_back_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert try_locks(tmp_path) == ""
    assert list(tmp_path.iterdir()) == []
    real = sqlite3.connect

    class Lax(sqlite3.Connection):
        """Says yes to everybody who wants to write."""

        def execute(self, sql: str, *rest: Any) -> sqlite3.Cursor:
            return super().execute("SELECT 1" if sql.startswith("BEGIN") else sql, *rest)

    monkeypatch.setattr(sqlite3, "connect", lambda *a, **k: real(*a, **k, factory=Lax))
    assert "two programs can write" in try_locks(tmp_path)
    assert by_name()["locks"].verdict is Verdict.WRONG


def test_without_a_player_alarms_are_still_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    assert find_player(lambda _: None, "linux") == ""
    assert find_player(lambda name: name if name == "aplay" else None, "linux") == "aplay"
    monkeypatch.setattr(checkup, "find_player", lambda: "")
    assert by_name()["sound"].verdict is Verdict.LOOK


def test_settings_that_cannot_be_read_are_told_with_their_line() -> None:
    assert by_name()["settings"].verdict is Verdict.GOOD
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text('[screen]\nview = "upside down"\n', encoding="utf-8")
    check = by_name()["settings"]
    assert check.verdict is Verdict.WRONG
    assert "line 2" in check.found
    assert "upside down" in check.found


def test_a_clock_behind_the_newest_session_is_asked_about() -> None:
    sessions_folder().mkdir(parents=True)
    file = sessions_folder() / "later.session"
    file.write_text("")
    os.utime(file, (NOW_S + 3600, NOW_S + 3600))
    assert by_name()["clock"].verdict is Verdict.LOOK
    assert "behind" in by_name()["clock"].then
    assert by_name(now_s=0)["clock"].verdict is Verdict.WRONG


def test_a_missing_extra_says_how_it_is_had(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(checkup, "find_spec", lambda name: None if name == "segno" else object())
    check = by_name()["tablet"]
    assert check.verdict is Verdict.LOOK
    assert "segno" in check.found
    assert "pip install '.[tablet]'" in check.then
    assert by_name()["proofs"].verdict is Verdict.GOOD


def test_the_command_says_it_in_lines_and_as_json_and_changes_nothing(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    assert run(["doctor"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[-1] == "Ready for the bench."
    assert all(len(line) <= 80 for line in lines)
    assert run(["doctor", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["ready"] is True
    assert {check["name"] for check in told["checks"]} >= {"screen", "sound", "locks", "clock"}
    assert not any(folder.exists() for folder in (data_folder(), cache_folder()))


def test_what_is_wrong_is_the_exit_code_too(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def look(*_: object) -> Sequence[Check]:
        return (Check("locks", Verdict.WRONG, "no locks", "Use a disk of your own."),)

    monkeypatch.setattr("shopstep.cli.doctor_command.look_over_machine", look)
    assert run(["doctor"]) == 1
    said = capsys.readouterr().out
    assert "wrong  locks" in said
    assert "Use a disk of your own." in said
