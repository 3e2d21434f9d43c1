"""The benchmark command: published formats in, one row for each file, and why a file is none."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from shopstep.sequence.benchmark import main
from shopstep.sequence.engine.reading import Unreadable
from shopstep.sequence.engine.reading_lags import read_lag_project
from shopstep.sequence.engine.reading_shops import read_job_shop
from tests.benchmarks.lag_instances import write_instance
from tests.test_engine import FT06

# By hand, in the form of the published sets: source, a (3), b (2), sink, one resource of 1.
# b starts 3 to 4 after a: 3 + 2 = 5.
LAGS = """2 1 0 0
0 1 1 1 [0]
1 1 2 2 3 [3] [3]
2 1 2 1 3 [-4] [2]
3 1 0
0 1 0 0
1 1 3 1
2 1 2 1
3 1 0 0
1
"""


def rows(capsys: pytest.CaptureFixture[str], folder: Path) -> dict[str, dict[str, object]]:
    """The JSON list by name."""
    main([str(folder), "--limit", "20", "--json"])
    return {row["name"]: row for row in json.loads(capsys.readouterr().out)}


def test_folders_are_searched_and_each_file_has_its_row(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "below").mkdir()
    (tmp_path / "ft06.txt").write_text(FT06)
    (tmp_path / "below" / "two.sch").write_text(LAGS)
    (tmp_path / "README.txt").write_text("not an instance")
    found = rows(capsys, tmp_path)
    assert set(found) == {"ft06.txt", "below/two.sch"}
    assert (found["ft06.txt"]["best"], found["ft06.txt"]["proved"]) == (55, True)
    assert (found["below/two.sch"]["best"], found["below/two.sch"]["bound"]) == (5, 5)


def test_a_file_that_cannot_be_read_says_why_and_the_others_go_on(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "bad.sch").write_text(LAGS.replace("1 1 3 1", "1 1 three 1"))
    (tmp_path / "good.sch").write_text(LAGS)
    assert main([str(tmp_path), "--limit", "20"]) == 1
    said = capsys.readouterr().out
    assert "could not be read: line 7: 'three' is not a whole number" in said
    assert "good.sch" in said
    assert main([str(tmp_path / "nowhere")]) == 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the file ends here"),
        ("2 1 0 0\n0 1 1 9 [0]\n", "line 2: successor 9, there are 0 to 3"),
        (LAGS.replace("1 1 2 2 3 [3] [3]", "1 2 2 2 3 [3] [3]"), "2 modes, only 1 can be read"),
        (LAGS + "7\n", "the file goes on after the capacities"),
        (LAGS.replace("2 1 2 1\n3", "2 1 -2 1\n3"), "a duration is -2"),
    ],
)
def test_what_is_no_lag_project_is_told_with_its_line(text: str, said: str) -> None:
    with pytest.raises(Unreadable) as told:
        read_lag_project(text)
    assert said in str(told.value)


@pytest.mark.parametrize("text", ["", "6\n", "1 1\n0 x\n", "1 1\n0 -3\n"])
def test_what_is_no_job_shop_is_told_so(text: str) -> None:
    with pytest.raises(Unreadable) as told:
        read_job_shop(text)
    assert "line" in str(told.value)


def test_made_instances_of_ten_tasks_are_all_decided(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for seed in range(12):
        (tmp_path / f"made{seed}.sch").write_text(write_instance(10, seed))
    found = rows(capsys, tmp_path)
    assert len(found) == 12
    assert all(row["proved"] for row in found.values())
