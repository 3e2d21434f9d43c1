"""A setting for one of several builds: ``--set box_width@hive-body=…``; the others keep theirs."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.units import parse_length

BOTH = ("screened-floor", "hive-body")
BUILDS = Path(__file__).resolve().parent.parent / "builds"
Capture = pytest.CaptureFixture[str]


def planned(capsys: Capture, *words: str) -> dict[str, int]:
    """By measurement, what the plan was made for, in nm."""
    assert run(["plan", *words, "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    return {item["name"]: item["value"]["nm"] for item in document["measurements"]}


def refused(capsys: Capture, *words: str) -> str:
    """The one sentence of a plan that is none."""
    assert run(["plan", *words]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert len(err.splitlines()) == 1
    return err


def nm(text: str) -> int:
    """Of a length."""
    return parse_length(text).nm


def test_one_build_gets_its_own_value_and_the_other_keeps_its(capsys: Capture) -> None:
    found = planned(capsys, *BOTH, "--set", "box_width@hive-body=16 1/2 in")
    assert (found["box_width"], found["box_width@hive-body"]) == (nm("16 1/4 in"), nm("16 1/2 in"))


@pytest.mark.parametrize("turned", [False, True])
def test_its_own_value_goes_before_the_one_for_all(capsys: Capture, turned: bool) -> None:
    sets = [("--set", "box_width=16 in"), ("--set", "box_width@hive-body=16 1/2 in")]
    words = [word for pair in (sets[::-1] if turned else sets) for word in pair]
    found = planned(capsys, *BOTH, *words)
    assert (found["box_width"], found["box_width@hive-body"]) == (nm("16 in"), nm("16 1/2 in"))


def test_the_first_build_can_be_named_too(capsys: Capture) -> None:
    found = planned(capsys, *BOTH, "--set", "box_width@screened-floor=16 in")
    alone = planned(capsys, "hive-body")
    assert (found["box_width"], found["box_width@hive-body"]) == (nm("16 in"), alone["box_width"])


def test_a_choice_can_be_for_one_build_too(capsys: Capture) -> None:
    words = (*BOTH, "--set", "corners@hive-body=fingers", "--json")
    assert run(["plan", *words]) == 0
    choices = json.loads(capsys.readouterr().out)["choices"]
    assert choices["corners@hive-body"] == "fingers"


def test_a_build_that_comes_twice_is_named_by_its_tag(capsys: Capture) -> None:
    found = planned(capsys, "roof", "roof", "--set", "box_width@roof-2=16 1/2 in")
    assert (found["box_width"], found["box_width@roof-2"]) == (nm("16 1/4 in"), nm("16 1/2 in"))
    found = planned(capsys, "roof", "roof", "--set", "box_width@roof=16 1/2 in")
    assert (found["box_width"], found["box_width@roof-2"]) == (nm("16 1/2 in"), nm("16 1/4 in"))


def test_a_build_is_named_as_its_file_was_typed(capsys: Capture) -> None:
    body = str(BUILDS / "hive-body.yaml")
    found = planned(capsys, "screened-floor", body, "--set", f"box_width@{body}=16 1/2 in")
    assert found["box_width@hive-body"] == nm("16 1/2 in")


@pytest.mark.parametrize(
    ("setting", "said"),
    [
        ("box_width@hive-bdy", "is for no build of these; did you mean 'hive-body'?"),
        ("box_width@", "is for no build of these; known here: hive-body, screened-floor"),
        (
            "box_widht@hive-body",
            "'box_widht@hive-body' is no measurement or choice of hive-body; did you mean",
        ),
        ("body_depth@screened-floor", "is no measurement or choice of screened-floor"),
        ("box_widht", "'box_widht' is no measurement or choice of these builds"),
    ],
)
def test_an_unknown_build_or_name_is_said(capsys: Capture, setting: str, said: str) -> None:
    assert said in refused(capsys, *BOTH, "--set", f"{setting}=16 in")


def test_two_names_of_one_build_are_not_two_values(capsys: Capture) -> None:
    body = str(BUILDS / "hive-body.yaml")
    sets = ("--set", "box_width@hive-body=16 in", "--set", f"box_width@{body}=17 in")
    assert "is given twice for hive-body" in refused(capsys, "screened-floor", body, *sets)


def test_a_file_that_comes_twice_has_to_be_told_apart(capsys: Capture) -> None:
    roof = str(BUILDS / "roof.yaml")
    said = refused(capsys, roof, roof, "--set", f"box_width@{roof}=16 in")
    assert "may be one of 2 builds; write roof or roof-2 after the @" in said


def test_a_value_out_of_range_is_refused_as_for_one_build(capsys: Capture) -> None:
    assert run(["plan", *BOTH, "--set", "box_width@hive-body=99 in"]) == 1
    said = capsys.readouterr().err
    assert "box_width is 99 in; this build works from 12 in to 24 in" in said


def test_one_build_alone_needs_no_name(capsys: Capture) -> None:
    said = refused(capsys, "hive-body", "--set", "box_width@hive-body=16 in")
    assert "did you mean 'box_width'?" in said
