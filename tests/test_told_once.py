"""What is wrong alike on the left and on the right is said once; words for what was mistyped."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from shopstep.cli.main import run
from shopstep.model.plan import Finding, Level, Where
from shopstep.present.findings import told_once
from shopstep.storage.folders import shipped_folder

if TYPE_CHECKING:
    import pytest

LEFT = Finding(Level.STOP, "deep", "Left side rail: too deep.", Where("a.yaml", 3), "Less.")
NOW = ("--now", "2026-01-15T18:00:00+00:00")


def test_left_and_right_are_told_as_one_and_others_stay() -> None:
    right = replace(LEFT, text="Right side rail: too deep.")
    other = replace(LEFT, text="Right side rail: too deep.", where=Where("a.yaml", 9))
    both, alone = told_once((LEFT, right, other))
    assert both.text == "Left and right side rail: too deep."
    assert alone == other
    assert told_once((LEFT, LEFT)) == (LEFT,)


def test_a_groove_that_is_too_deep_in_both_rails_is_one_stop(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    floor = shipped_folder("builds") / "screened-floor.yaml"
    text = floor.read_text(encoding="utf-8")
    file = tmp_path / "floor.yaml"
    file.write_text(text.replace("groove_depth: 1/4 in", "groove_depth: 3/4 in"), encoding="utf-8")
    assert run(["check", str(file)]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert said.count("Left and right side rail: the depth of 'panel_in_sides'") == 1
    assert "Right side rail" not in said


def test_an_ending_that_was_cut_short_leads_to_the_file_in_this_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("own.yaml").write_text("schema: 1\n", encoding="utf-8")
    assert run(["check", "own.yam"]) == 2
    assert "did you mean 'own.yaml'?" in " ".join(capsys.readouterr().err.split())


def test_a_mistyped_word_of_do_gets_the_near_one_and_all_there_are(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["start", "bird-box", "--plain", *NOW]) == 0
    capsys.readouterr()
    assert run(["do", "LAST", "dun", *NOW]) == 2
    said = " ".join(capsys.readouterr().err.split())
    assert "did you mean 'done'?" in said
    for word in ("status", "ahead", "why", "picture", "more", "board", "summary", "spoiled"):
        assert f" {word}" in said
