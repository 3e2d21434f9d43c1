"""The main job from end to end through the command line: two units, every step, a fixed clock."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from shopstep.cli.main import run
from shopstep.units import Length, format_length
from tests.floor import BEGIN_S, FILE

BUILD = str(FILE)


def iso(at_s: int) -> str:
    """A moment as ``--now`` takes it."""
    return datetime.fromtimestamp(at_s, UTC).isoformat()


class Bench:
    """Somebody who does what the card says, through ``do`` alone."""

    def __init__(self, file: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.file = file
        self.capsys = capsys
        self.now_s = BEGIN_S

    def do(self, *words: str) -> dict[str, Any]:
        """One command; its JSON answer. Exit code 0 or 1 with a refusal."""
        code = run(["do", str(self.file), *words, "--json", "--now", iso(self.now_s)])
        said = self.capsys.readouterr()
        answer: dict[str, Any] = json.loads(said.out)
        assert code == (1 if answer["refused"] else 0), said.err
        return answer

    def follow(self, answer: dict[str, Any]) -> dict[str, Any]:
        """Do the next thing that the card asks for."""
        card = answer["card"]
        actions = [action["id"] for action in card["actions"]]
        self.now_s += 20
        if card["mode"] == "waiting":
            self.now_s = min(t["due_s"] for t in card["timers"] if t["due_s"] >= self.now_s)
            return self.do("status")
        if "ack" in actions:
            return self.do("ack", "--step", card["step_id"])
        for check in card["checks"]:
            if check["expected_nm"] is not None and not check["measured"]:
                value = format_length(Length(check["expected_nm"]), "mm")
                return self.do("measure", check["name"], value)
        word = "start" if "start" in actions else "done"
        answer = self.do(word, "--step", card["step_id"])
        if answer["refused"] and answer["refused"]["rule"] == "label":
            assert self.do("label", "none", "--step", card["step_id"])["refused"] is None
            return self.do(word, "--step", card["step_id"])
        return answer


@pytest.fixture
def bench(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Bench:
    """A session of two floors in a temporary file."""
    file = tmp_path / "two.session"
    code = run(
        ["start", BUILD, "--units", "2", "--session", str(file), "--plain", "--now", iso(BEGIN_S)]
    )
    assert code == 0
    capsys.readouterr()
    return Bench(file, capsys)


def plan_json(capsys: pytest.CaptureFixture[str], *options: str) -> dict[str, Any]:
    """``plan --json`` of the floor."""
    assert run(["plan", BUILD, "--json", "--now", iso(BEGIN_S), *options]) == 0
    document: dict[str, Any] = json.loads(capsys.readouterr().out)
    return document


def test_a_batch_of_two_is_followed_to_its_end(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = plan_json(capsys, "--units", "2")
    needs = {step["id"]: step["needs"] for step in plan["steps"]}
    answer = bench.do("status")
    for _ in range(2000):
        if answer["card"]["mode"] == "complete":
            break
        answer = bench.follow(answer)
        assert answer["refused"] is None, answer["refused"]
    assert answer["card"]["mode"] == "complete"
    assert run(["log", str(bench.file), "--json"]) == 0
    log = json.loads(capsys.readouterr().out)
    order = [e["step"] for e in log["entries"] if e["kind"] == "step_finished"]
    assert sorted(order) == sorted(needs)
    place = {step: i for i, step in enumerate(order)}
    for step, before in needs.items():
        assert all(place[need] < place[step] for need in before), step
    finished_s = {
        e["step"]: datetime.fromisoformat(e["at"]).timestamp()
        for e in log["entries"]
        if e["kind"] == "step_finished"
    }
    for step in plan["steps"]:
        for limit in step["limits"]:
            if limit["kind"] != "open" and limit["role"] == "before":
                waited = finished_s[step["id"]] - finished_s[limit["other"]]
                is_least = limit["bound"] == "least"
                assert (waited >= limit["seconds"]) is is_least, (step["id"], limit)


def test_a_killed_evening_goes_on_at_the_same_step_with_the_same_ticks(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = bench.do("status")
    for _ in range(25):
        answer = bench.follow(answer)
    bench.now_s += 3600
    again = bench.do("status")
    assert again["card"]["step_id"] == answer["card"]["step_id"]
    assert again["card"]["done_count"] == answer["card"]["done_count"] > 0
    capsys.readouterr()


def test_done_twice_ticks_once(bench: Bench) -> None:
    answer = bench.do("status")
    while "done" not in [a["id"] for a in answer["card"]["actions"]]:
        answer = bench.follow(answer)
    step = answer["card"]["step_id"]
    first = bench.do("done", "--step", step)
    second = bench.do("done", "--step", step)
    assert second["refused"] is None
    assert second["card"]["step_id"] == first["card"]["step_id"] != step
    assert second["card"]["version"] == first["card"]["version"]


def test_a_power_tool_step_is_not_done_before_its_caution_is_answered(bench: Bench) -> None:
    answer = bench.do("status")
    while answer["card"]["mode"] != "caution":
        answer = bench.follow(answer)
    refused = bench.do("done", "--step", answer["card"]["step_id"])
    assert refused["refused"]["rule"] == "caution_open"


def test_a_step_is_not_done_before_what_it_needs(bench: Bench) -> None:
    refused = bench.do("done", "--step", "u2/close/last_look")
    assert refused["refused"]["rule"] == "needs_open"


def test_a_hold_keeps_everything_until_it_is_resumed(bench: Bench) -> None:
    held = bench.do("hold")
    assert held["card"]["mode"] == "held"
    assert bench.do("done")["refused"]["rule"] == "held"
    assert bench.do("resume")["card"]["mode"] != "held"


def test_parts_follow_the_box_to_the_nanometre(capsys: pytest.CaptureFixture[str]) -> None:
    usual = plan_json(capsys, "--units", "2")
    wide = plan_json(capsys, "--units", "2", "--set", "box_width=16 1/2 in")
    by_name = {p["name"]: p for p in wide["parts"] if p["hand"] in (None, "left")}
    before = {p["name"]: p for p in usual["parts"] if p["hand"] in (None, "left")}
    joint = next(j for j in wide["joints"] if j["name"] == "panel_in_sides")
    assert wide["overall"]["width"]["nm"] == Length.inches("33/2").nm
    assert by_name["panel"]["width"]["nm"] == (
        joint["clear"]["nm"] + 2 * joint["depth"]["nm"] - joint["play"]["nm"]
    )
    assert joint["clear"]["nm"] == Length.inches("33/2").nm - 2 * Length.inches("3/4").nm
    assert by_name["panel"]["width"]["nm"] > before["panel"]["width"]["nm"]
    assert by_name["side_rail"]["length"] == before["side_rail"]["length"]


def test_there_are_as_many_left_rails_as_right_rails_as_units(
    capsys: pytest.CaptureFixture[str],
) -> None:
    plan = plan_json(capsys, "--units", "3")
    rails = {p["hand"]: p["count"] for p in plan["parts"] if p["name"] == "side_rail"}
    assert rails == {"left": {"unit": 1, "batch": 3}, "right": {"unit": 1, "batch": 3}}


def test_the_guard_goes_back_on_as_a_step_of_its_own(capsys: pytest.CaptureFixture[str]) -> None:
    plan = plan_json(capsys)
    titles = [step["title"].lower() for step in plan["steps"]]
    assert any("refit" in t and "riving knife" in t and "guard" in t for t in titles)
    ids = [step["id"] for step in plan["steps"]]
    groove = max(i for i, step in enumerate(ids) if step.startswith("all/groove/"))
    assert any(step.startswith("all/guard/") for step in ids[groove + 1 :])


def test_every_step_with_a_power_tool_has_a_card_that_must_be_answered(
    capsys: pytest.CaptureFixture[str],
) -> None:
    plan = plan_json(capsys)
    power = {"table_saw", "drill_press", "drill_driver", "brad_nailer", "staple_gun"}
    seen = set()
    for step in plan["steps"]:
        if step["tool"] in power and step["stage"] != "guard":
            seen.add(step["tool"])
            assert any(c["must_ack"] for c in step["cautions"]), step["id"]
    assert seen == power
    nailer = [s for s in plan["steps"] if s["tool"] == "brad_nailer"]
    assert all(any("12 in" in c["hand"] for c in s["cautions"]) for s in nailer)
    strips = next(s for s in nailer if "tack_strips" in s["id"])
    assert any("clamp" in (c["avoid"] + c["hand"]).lower() for c in strips["cautions"])


def test_a_cold_shop_stops_the_glue_up_with_a_clear_sentence(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["plan", BUILD, "--temperature", "8 C"]) == 1
    said = capsys.readouterr().err
    assert "8 °C" in said
    assert "will not bond" in said


def test_no_glue_is_spread_in_air_that_no_plan_fits(bench: Bench) -> None:
    answer = bench.do("status")
    while "start" not in [action["id"] for action in answer["card"]["actions"]]:
        answer = bench.follow(answer)
    step = answer["card"]["step_id"]
    assert "will not bond" in bench.do("conditions", "2C", "50%")["refused"]["text"]
    assert bench.do("start", "--step", step)["refused"]["rule"] == "wrong_air"
    assert bench.do("done", "--step", step)["refused"]["rule"] == "wrong_air"
    assert bench.do("conditions", "20C", "50%")["refused"] is None
    assert bench.do("start", "--step", step)["refused"]["rule"] == "label"
    assert bench.do("label", "6 min", "--step", step)["refused"] is None
    assert bench.do("start", "--step", step)["refused"] is None
