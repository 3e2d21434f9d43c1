"""The benchmark command: what it reads, what it prints, how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from shopstep.sequence.benchmark import main
from tests.engine_samples import FT06, LA01
from tests.test_engine_reading import LAGS

QUICK = ["--no-proofs", "--limit", "20"]


def _folder(tmp_path: Path) -> Path:
    (tmp_path / "shops" / "deep").mkdir(parents=True)
    (tmp_path / "shops" / "deep" / "ft06.txt").write_text(FT06)
    (tmp_path / "shops" / "la01").write_text(LA01)
    (tmp_path / "lags.sch").write_text(LAGS)
    (tmp_path / "never.sch").write_text(LAGS.replace("[-6]", "[-1]"))
    (tmp_path / "params.txt").write_text("Number: 10\n")
    (tmp_path / "optimum.csv").write_text("a,1\n")
    return tmp_path


def test_every_file_below_the_folder_gets_a_row(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([str(_folder(tmp_path)), "--json", *QUICK]) == 0
    rows = {row["name"]: row for row in json.loads(capsys.readouterr().out)}
    assert list(rows) == ["lags.sch", "never.sch", "shops/deep/ft06.txt", "shops/la01"]
    assert (rows["shops/deep/ft06.txt"]["best"], rows["shops/la01"]["best"]) == (55, 666)
    assert rows["lags.sch"]["best"] == rows["lags.sch"]["bound"] == 9
    assert rows["never.sch"]["infeasible"]
    assert rows["never.sch"]["best"] is None
    assert all(row["proved"] for row in rows.values())
    fields = {"name", "best", "bound", "proved", "infeasible", "seconds", "error"}
    assert all(set(row) == fields for row in rows.values())


def test_a_file_that_cannot_be_read_says_why_and_the_others_go_on(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = _folder(tmp_path)
    (folder / "broken.sch").write_text(LAGS.replace("[0]", "[zero]", 1))
    (folder / "drawing.txt").write_bytes(b"2 2\n0 \xff\xfe\n")
    assert main([str(folder), "--json", *QUICK]) == 1
    rows = {row["name"]: row for row in json.loads(capsys.readouterr().out)}
    assert rows["broken.sch"]["error"] == "line 2: '[zero]' is not a whole number"
    assert rows["drawing.txt"]["error"] == "line 2: this is not plain text"
    assert rows["broken.sch"]["best"] is None
    assert rows["lags.sch"]["best"] == 9
    assert len(rows) == 6


def test_the_table_says_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = _folder(tmp_path)
    (folder / "broken.txt").write_text("2 2\n0 1 1\n")
    assert main([str(folder), *QUICK]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].split() == ["name", "best", "bound", "proved", "infeasible", "seconds"]
    table = {line.split()[0]: line.split()[1:5] for line in lines[1:]}
    assert table["lags.sch"] == ["9", "9", "yes", "no"]
    assert table["never.sch"] == ["–", "–", "yes", "yes"]
    assert any(
        line.startswith("broken.txt")
        and line.endswith(
            "could not be read: line 2: 3 numbers, expected pairs of machine and duration"
        )
        for line in lines
    )


def test_one_file_can_be_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = _folder(tmp_path) / "lags.sch"
    assert main([str(path), "--json", *QUICK]) == 0
    assert [row["name"] for row in json.loads(capsys.readouterr().out)] == ["lags.sch"]


def test_an_empty_or_missing_folder_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([str(tmp_path)]) == 2
    assert "No .sch, .sm" in capsys.readouterr().err
    assert main([str(tmp_path / "nowhere")]) == 2
    assert "There is no folder" in capsys.readouterr().err


@pytest.mark.parametrize("word", ["0", "-1", "soon", "inf", "nan"])
def test_a_limit_must_be_a_number_above_0(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main([".", f"--limit={word}"])
    assert ended.value.code == 2
    assert "seconds" in capsys.readouterr().err


def test_seed_and_rounds_repeat_a_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = _folder(tmp_path) / "shops"
    rows = []
    for _ in range(2):
        main([str(path), "--json", "--no-proofs", "--rounds", "1", "--seed", "4"])
        printed = json.loads(capsys.readouterr().out)
        rows.append([{**row, "seconds": 0} for row in printed])
    assert rows[0] == rows[1]
