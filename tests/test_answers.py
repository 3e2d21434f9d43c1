"""Checks that were worked out before are used again, and never when anything is wrong with them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.model.plan import Finding, Level, PlanRequest, Where
from shopstep.storage.answers import AnswerFolder, program_state
from shopstep.wiring.late_planner import LatePlanner, RememberingPlanner
from tests.floor import floor_request

FOUND = (
    Finding(Level.WARN, "fit:gap", "A gap — too wide.", Where("b.yaml", 7, "gap"), "Cut it."),
    Finding(Level.NOTE, "air", "Cold.", Where(), ""),
)


def test_what_was_kept_comes_back_the_same(tmp_path: Path) -> None:
    folder = AnswerFolder(tmp_path)
    assert folder.get("a" * 64) is None
    folder.put("a" * 64, FOUND)
    assert folder.get("a" * 64) == FOUND
    assert folder.get("b" * 64) is None


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: text[: len(text) // 2],
        lambda text: text.replace("too wide", "too tight"),
        lambda text: text.replace('"warn"', '"note"'),
        lambda text: "[]",
        lambda text: "null",
        lambda text: text.replace('"form": 1', '"form": 2'),
        lambda text: text.replace('"b.yaml"', "7"),
        lambda text: "\0" * 40,
    ],
)
def test_a_damaged_answer_is_none(tmp_path: Path, damage: object) -> None:
    folder = AnswerFolder(tmp_path)
    folder.put("k", FOUND)
    file = tmp_path / "k.json"
    file.write_text(damage(file.read_text(encoding="utf-8")), encoding="utf-8")  # type: ignore[operator]
    assert folder.get("k") is None


def test_an_answer_under_another_key_is_none(tmp_path: Path) -> None:
    folder = AnswerFolder(tmp_path)
    folder.put("k", FOUND)
    (tmp_path / "k.json").rename(tmp_path / "l.json")
    assert folder.get("l") is None


def test_a_folder_that_cannot_be_written_does_no_harm(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    folder = AnswerFolder(tmp_path / "file" / "below")
    folder.put("k", FOUND)
    assert folder.get("k") is None


def test_old_answers_make_room_for_new_ones(tmp_path: Path) -> None:
    folder = AnswerFolder(tmp_path)
    for number in range(205):
        folder.put(f"k{number}", FOUND)
    assert len(list(tmp_path.glob("*.json"))) == 200


def test_the_variable_switches_it_off(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = AnswerFolder(tmp_path)
    folder.put("k", FOUND)
    monkeypatch.setenv("SHOPSTEP_NO_CACHE", "1")
    assert folder.get("k") is None
    folder.put("l", FOUND)
    assert not (tmp_path / "l.json").exists()


def test_a_changed_program_file_changes_the_state(tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text("x = 1\n")
    before = program_state(tmp_path)
    (tmp_path / "a.py").write_text("x = 10\n")
    assert program_state(tmp_path) != before


def test_the_same_request_is_worked_out_once_and_another_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[PlanRequest] = []

    def check(_self: object, request: PlanRequest) -> tuple[Finding, ...]:
        asked.append(request)
        return FOUND

    monkeypatch.setattr(LatePlanner, "check_build", check)
    planner = RememberingPlanner(AnswerFolder(tmp_path))
    first, other = floor_request(), floor_request(("box_width", "16 1/2 in"))
    for request in (first, first, other, other, first):
        assert planner.check_build(request) == FOUND
    assert asked == [first, other]


def test_the_command_says_the_same_the_second_time(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    asked = ["check", "screened-floor", "--set", "box_width=16 1/2 in"]
    codes = [run(asked)]
    first = capsys.readouterr().out
    codes.append(run(asked))
    assert capsys.readouterr().out == first
    assert codes == [0, 0]
    (kept,) = (tmp_path / "cache").rglob("*.json")
    assert json.loads(kept.read_text())["findings"]
