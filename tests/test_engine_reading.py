"""Readers of published formats, on small files of our own, and what they say of broken ones."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopstep.sequence.engine.outcome import Limits
from shopstep.sequence.engine.problem import Activity, Lag, Resource
from shopstep.sequence.engine.reading import Unreadable
from shopstep.sequence.engine.reading_lags import read_lag_project
from shopstep.sequence.engine.reading_projects import read_project
from shopstep.sequence.engine.reading_shops import read_job_shop
from shopstep.sequence.engine.solving import solve_problem
from tests.benchmarks.lag_instances import write_instance
from tests.engine_samples import FT06

LAGS = """3\t1\t0\t0
0\t1\t1\t1\t[0]
1\t1\t2\t2\t3\t[2]\t[0]
2\t1\t2\t1\t4\t[-6]\t[3]
3\t1\t1\t4\t[4]
4\t1\t0
0\t1\t0\t0
1\t1\t2\t1
2\t1\t3\t1
3\t1\t4\t2
4\t1\t0\t0
2
"""
"""1 then 2 at 2 to 6 after its start; 3 needs all. By hand: 1 and 2 first, 3 at 5, end 9."""

PROJECT = """************************************************************************
file with basedata            : own.bas
initial value random generator: 1
************************************************************************
projects                      :  1
jobs (incl. supersource/sink ):  4
horizon                       :  9
RESOURCES
  - renewable                 :  1   R
  - nonrenewable              :  0   N
  - doubly constrained        :  0   D
************************************************************************
PROJECT INFORMATION:
pronr.  #jobs rel.date duedate tardcost  MPM-Time
    1      2      0        5        0        5
************************************************************************
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        1          1           4
   3        1          1           4
   4        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1
------------------------------------------------------------------------
  1      1     0       0
  2      1     5       2
  3      1     4       2
  4      1     0       0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1
    3
************************************************************************
"""
"""Two jobs that can't overlap: 9 by hand."""


def test_a_project_with_lags_is_read_whole() -> None:
    problem = read_lag_project(LAGS)
    assert problem.resources == (Resource("R1", 2),)
    assert problem.activities[3] == Activity("3", 4, ((0, 2),))
    assert Lag(2, 1, -6) in problem.lags
    assert Lag(1, 2, 2) in problem.lags
    assert len(problem.lags) == 6
    assert problem.frozen == ((0, 0),)
    outcome = solve_problem(problem)
    assert outcome.proved
    assert outcome.length == 9


@pytest.mark.parametrize("seed", [0, 11, 40])
def test_what_the_generator_writes_is_read(seed: int) -> None:
    problem = read_lag_project(write_instance(12, seed))
    assert len(problem.activities) == 14
    assert solve_problem(problem, Limits(rounds=300)).proved


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("3\t1\t0\t0", "3", "line 1: 1 numbers, expected 2"),
        ("3\t1\t0\t0", "-3\t1\t0\t0", "line 1: the number of activities is -3"),
        ("[2]", "[two]", r"line 3: '\[two\]' is not a whole number"),
        ("0\t1\t1\t1\t[0]", "0\t1\t1\t9\t[0]", "line 2: successor 9, there are 0 to 4"),
        ("1\t1\t2\t2\t3\t[2]\t[0]", "1\t1\t2\t2\t3\t[2]", "line 3: 3 numbers after the first"),
        ("3\t1\t1\t4\t[4]", "7\t1\t1\t4\t[4]", "line 5: activity 7, expected 3"),
        ("3\t1\t1\t4\t[4]", "3\t2\t1\t4\t[4]", "line 5: 2 modes, only 1"),
        ("1\t1\t2\t1\n", "1\t1\t-2\t1\n", "line 8: a duration is -2"),
        ("1\t1\t2\t1\n", "1\t1\t2\n", "line 8: 3 numbers, expected 4"),
        ("1\t1\t2\t1\n", "1\t1\t2\t1\t1\n", "line 8: 5 numbers, expected 4"),
        ("4\t1\t0\t0\n2\n", "4\t1\t0\t0\n", "line 11: the file ends here, expected the capacit"),
        ("4\t1\t0\t0\n2\n", "4\t1\t0\t0\n2\n5\n", "line 13: the file goes on"),
    ],
)
def test_a_broken_project_with_lags_names_its_line(old: str, new: str, sentence: str) -> None:
    assert old in LAGS
    with pytest.raises(Unreadable, match=sentence):
        read_lag_project(LAGS.replace(old, new, 1))


def test_a_job_shop_is_read_with_words_and_comments_above_it() -> None:
    problem = read_job_shop("instance of 1963\n# six by six\n\n" + FT06)
    assert len(problem.activities) == 36
    assert problem.activities[1] == Activity("job 1, turn 2", 3, ((0, 1),))
    assert len(problem.lags) == 30


def test_machines_may_count_from_one() -> None:
    problem = read_job_shop("2 2\n1 3 2 2\n2 4 1 1\n")
    assert [resource.name for resource in problem.resources] == ["machine 1", "machine 2"]
    assert solve_problem(problem).length == 6


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "line 1: the file ends without a line 'jobs machines'"),
        ("only words\n", "line 1: the file ends without a line 'jobs machines'"),
        ("2 2 2\n0 1\n", "line 1: 3 numbers, expected two"),
        ("0 2\n", "line 1: the number of jobs is 0, expected 1 or more"),
        ("2 2\n0 3 1\n0 1 1 2\n", "line 2: 3 numbers, expected pairs"),
        ("2 2\n0 3 1 2\n0 1 x 2\n", "line 3: 'x' is not a whole number"),
        ("2 2\n0 3 1 2\n0 1 7 2\n", "line 3: machine 7, there are 2"),
        ("2 2\n0 3 1 -2\n0 1 1 2\n", "line 2: a duration is -2"),
        ("2 2\n0 3 1 2\n", "line 2: the file ends here, expected job 2 of 2"),
        ("1 2\n0 3 1 2\n0 3 1 2\n", "line 3: the file goes on after job 1"),
    ],
)
def test_a_broken_job_shop_names_its_line(text: str, sentence: str) -> None:
    with pytest.raises(Unreadable, match=sentence):
        read_job_shop(text)


def test_a_project_of_the_collection_is_read(tmp_path: Path) -> None:
    path = tmp_path / "own.sm"
    path.write_text(PROJECT)
    problem = read_project(path, PROJECT)
    assert problem.activities[1] == Activity("2", 5, ((0, 2),))
    assert problem.resources == (Resource("R1", 3),)
    assert Lag(1, 3, 5) in problem.lags
    assert solve_problem(problem).length == 9


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("  2      1     5       2", "  2      1     five    2", "line 28: 'five' is not a whole"),
        (
            "   2        1          1           4",
            "   2        1          1           x",
            "line 20: 'x'",
        ),
        ("REQUESTS/DURATIONS:", "", "the file ends without 'REQUESTS/DURATIONS'"),
        ("    3\n***", "***", "line 34: no rows below 'AVAILABILITIES'"),
        ("\n  R 1\n", "\n  N 1\n", "line 33: R1 is not renewable, only renewable ones"),
        ("          1           4\n   3", "          1           9\n   3", "line 20: successor 9"),
        ("  3      1     4       2\n", "", "line 29: 3 jobs in this table, 4 in the one before"),
        ("  2      1     5       2", "  2      1     5", "line 28: 3 numbers, expected 4"),
        (
            "   2        1          1",
            "   2        2          1",
            "line 20: 2 modes, only 1 can be read",
        ),
    ],
)
def test_a_broken_project_of_the_collection_names_its_line(
    tmp_path: Path, old: str, new: str, sentence: str
) -> None:
    assert old in PROJECT
    text = PROJECT.replace(old, new, 1)
    path = tmp_path / "own.sm"
    path.write_text(text)
    with pytest.raises(Unreadable, match=sentence):
        read_project(path, text)


def test_without_its_package_a_project_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shopstep.sequence.engine.reading_projects.find_spec", lambda name: None)
    with pytest.raises(Unreadable, match="needs the package 'psplib': pip install psplib"):
        read_project(tmp_path / "own.sm", PROJECT)
