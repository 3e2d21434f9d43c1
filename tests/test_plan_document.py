"""The plan as JSON: what other programs can rely on."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from shopstep.model.feature import Bevel, Groove, Holes, Notch
from shopstep.model.plan import Plan
from shopstep.present import document as room
from shopstep.present.document import findings_document, plan_document
from shopstep.units import parse_length
from tests.floor import floor_plan
from tests.present_sample import FINDINGS, furnished_plan
from tests.sample_plan import make_plan

PLAN = furnished_plan()
DOCUMENT = json.loads(json.dumps(plan_document(PLAN)))
TOP_LEVEL = (
    "version build units display conditions measurements choices sizes overall parts joints "
    "operations setups setups_unit_by_unit least_setups stock least_bought buy steps schedule "
    "evenings least_evenings prefer makes fits findings"
)


def objects_of(value: object, path: str = "") -> Iterator[tuple[str, dict[str, object]]]:
    """Every object in a document, with the path that leads to it."""
    if isinstance(value, dict):
        yield path, value
        for name, inner in value.items():
            yield from objects_of(inner, f"{path}/{name}")
    elif isinstance(value, list):
        for inner in value:
            yield from objects_of(inner, path)


def test_the_document_is_plain_json_and_has_all_its_parts() -> None:
    assert plan_document(PLAN) == DOCUMENT
    assert " ".join(DOCUMENT) == TOP_LEVEL
    assert DOCUMENT["version"] == 1


def test_every_key_is_explained_where_the_shape_is_written_down() -> None:
    assert room.__doc__ is not None
    explained = set(re.findall(r"[a-z_]+", room.__doc__))
    named_by_the_build = {"/choices", "/sizes"}
    for path, entry in objects_of(DOCUMENT):
        if path not in named_by_the_build:
            assert entry.keys() <= explained, path


def test_every_length_gives_exact_nanometres_and_the_words_for_them() -> None:
    lengths = [entry for _, entry in objects_of(DOCUMENT) if "nm" in entry]
    assert len(lengths) > 50
    for entry in lengths:
        assert entry.keys() == {"nm", "text"}
        assert isinstance(entry["nm"], int)
        assert parse_length(str(entry["text"])).nm == entry["nm"]  # the sample lies on 1/64 in


def test_a_plan_in_millimetres_has_the_same_nanometres() -> None:
    metric = json.loads(json.dumps(plan_document(replace(PLAN, display="mm"))))
    inches = [entry["nm"] for _, entry in objects_of(DOCUMENT) if "nm" in entry]
    assert [entry["nm"] for _, entry in objects_of(metric) if "nm" in entry] == inches
    assert metric["overall"]["length"] == {"nm": 508_000_000, "text": "508 mm"}


def test_the_head_says_which_build_for_which_air() -> None:
    assert DOCUMENT["build"] == {
        "id": "sample",
        "title": "Sample frame",
        "revision": 1,
        "left_is": "left as you stand behind it",
    }
    assert DOCUMENT["conditions"] == {
        "temperature_c": 20.0,
        "humidity_percent": 50.0,
        "night_c": None,
    }
    assert DOCUMENT["choices"] == {"entrance": "front"}
    assert DOCUMENT["measurements"][0]["usual"] is True


def test_both_hands_of_a_part_share_its_name_and_are_counted_apart() -> None:
    rails = [part for part in DOCUMENT["parts"] if part["name"] == "side_rail"]
    assert [rail["hand"] for rail in rails] == ["left", "right"]
    assert [rail["count"] for rail in rails] == [{"unit": 1, "batch": 2}] * 2
    assert next(p for p in DOCUMENT["parts"] if p["name"] == "door")["hand"] is None


def test_features_carry_their_faces_and_all_their_sizes() -> None:
    features = [feature for part in DOCUMENT["parts"] for feature in part["features"]]
    by_kind = {feature["kind"]: feature for feature in features}
    assert by_kind.keys() == {"groove", "bevel", "holes", "notch"}
    for kind in (Groove, Bevel, Holes, Notch):
        names = set(kind.__dataclass_fields__)
        assert by_kind[kind.__dataclass_fields__["kind"].default].keys() == names
    assert by_kind["groove"]["depth"] == {"nm": 9_525_000, "text": "3/8 in"}
    assert by_kind["bevel"]["angle"] == {"microdeg": 14_036_000, "text": "14°"}
    assert by_kind["holes"]["count"] == 5


def test_overall_goes_front_to_back_left_to_right_bottom_to_top() -> None:
    texts = {name: entry["text"] for name, entry in DOCUMENT["overall"].items()}
    assert texts == {"length": "20 in", "width": "16 in", "height": "4 in"}


def test_steps_name_existing_steps_and_limits_stand_on_both_sides() -> None:
    steps = {step["id"]: step for step in DOCUMENT["steps"]}
    assert len(steps) == len(PLAN.steps)
    for step in steps.values():
        assert set(step["needs"]) <= steps.keys()
        assert (step["scope"] == "batch") == (step["unit"] is None)
        for limit in step["limits"]:
            mirrored = {"before": "after", "after": "before"}[limit["role"]]
            twin = limit | {"role": mirrored, "other": step["id"]}
            assert twin in steps[limit["other"]]["limits"]
    assert {
        "kind": "open",
        "bound": "most",
        "seconds": 300,
        "role": "before",
        "other": "u1/glue/spread",
        "title": "glue, unit 1",
        "source": "common practice",
    } in steps["u1/glue/close"]["limits"]


def test_a_step_carries_cautions_fasteners_checks_and_numbers() -> None:
    steps = {step["id"]: step for step in DOCUMENT["steps"]}
    assert steps["all/rip/rail"]["cautions"][0]["must_ack"] is True
    assert steps["all/rip/rail"]["numbers"] == [
        {"label": "fence", "value": {"nm": 88_900_000, "text": "3 1/2 in"}, "text": "3 1/2 in"},
        {"label": "pieces", "value": 4, "text": "4"},
    ]
    assert steps["u1/screw/screws"]["fasteners"][0]["pilot"]["text"] == "3/32 in"
    assert steps["u1/glue/square"]["checks"][0]["tolerance"]["text"] == "1/16 in"


def test_the_schedule_and_the_evenings_tell_the_same_story_in_utc() -> None:
    schedule = {entry["step"]: entry for entry in DOCUMENT["schedule"]}
    assert schedule.keys() == {step.id for step in PLAN.steps}
    for step in PLAN.steps:
        start = datetime.fromisoformat(schedule[step.id]["start"])
        assert start == datetime.fromtimestamp(step.start_s, UTC)
    evenings = DOCUMENT["evenings"]
    assert [evening["date"] for evening in evenings] == ["2025-11-25", "2025-11-26"]
    assert [name for evening in evenings for name in evening["steps"]] == list(schedule)
    for evening in evenings:
        assert evening["start"] == min(schedule[name]["start"] for name in evening["steps"])
        assert evening["end"] == max(schedule[name]["end"] for name in evening["steps"])


def test_steps_without_a_time_stand_in_no_evening() -> None:
    plan = make_plan()
    untimed = replace(plan, steps=tuple(replace(s, start_s=0, end_s=0) for s in plan.steps))
    document = plan_document(untimed)
    assert (document["schedule"], document["evenings"]) == ([], [])


def test_fits_give_a_range_that_may_be_open() -> None:
    bee, slide = DOCUMENT["fits"]
    assert bee["range"] == {
        "least": {"nm": 6_350_000, "text": "1/4 in"},
        "most": {"nm": 9_525_000, "text": "3/8 in"},
    }
    assert slide["range"]["most"] is None
    assert (bee["ok"], slide["ok"], slide["level"]) == (True, False, "should")


def test_findings_stand_alone_where_there_is_no_plan() -> None:
    document = findings_document(FINDINGS)
    assert json.loads(json.dumps(document)) == document
    assert document["findings"] == DOCUMENT["findings"]
    assert DOCUMENT["findings"] == [
        {
            "level": "warn",
            "rule": "fit_missed",
            "where": {"file": "floor.yaml", "line": 61, "name": "slide"},
            "text": "The slide clearance is 1/64 in.",
            "remedy": "Make the runner 1/64 in thinner.",
        },
        {
            "level": "note",
            "rule": "usual",
            "where": {"file": None, "line": None, "name": None},
            "text": "Nobody measured the board.",
            "remedy": "",
        },
    ]


@pytest.mark.parametrize("plan", [make_plan(1), make_plan(24), furnished_plan(3)])
def test_the_same_plan_gives_the_same_document_with_the_same_keys(plan: Plan) -> None:
    assert plan_document(plan) == plan_document(plan)
    assert " ".join(plan_document(plan)) == TOP_LEVEL


def test_what_a_plan_promises_and_makes_is_in_the_document() -> None:
    document = plan_document(floor_plan(units=1))
    evenings = document["evenings"]
    assert isinstance(evenings, list)
    assert document["least_evenings"] <= len(evenings)  # type: ignore[operator]
    assert document["prefer"] == "evenings"
    assert document["makes"] == []
    assert all(evening["make_safe"][-1].startswith("Heater off") for evening in evenings)
