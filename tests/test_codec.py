"""What is stored reads back as it was, and damage is noticed."""

from __future__ import annotations

import json
from typing import cast

import pytest

from shopstep.model.codec import decode, digest, encode, to_text
from shopstep.model.feature import Feature, Notch
from shopstep.model.plan import Plan, PlanRequest
from shopstep.units import Length
from tests.floor import floor_plan, floor_request
from tests.sample_plan import make_plan


def test_the_floors_plan_reads_back_equal() -> None:
    plan = floor_plan()
    assert decode(Plan, json.loads(to_text(plan))) == plan


def test_a_request_reads_back_equal() -> None:
    request = floor_request(("box_width", "16 1/2 in"))
    assert decode(PlanRequest, json.loads(to_text(request))) == request


def test_the_same_plan_has_the_same_digest_and_another_has_not() -> None:
    assert digest(to_text(make_plan())) == digest(to_text(make_plan()))
    assert digest(to_text(make_plan())) != digest(to_text(make_plan(units=3)))


@pytest.mark.parametrize(
    "damage",
    [
        lambda d: d.pop("steps"),
        lambda d: d.update(units="two"),
        lambda d: d.update(steps=[{"id": 1}]),
        lambda d: d.update(overall=[{"nm": 1}]),
        lambda d: d["steps"][0].update(needs=[3]),
    ],
)
def test_a_damaged_plan_is_noticed(damage) -> None:  # type: ignore[no-untyped-def]
    stored = encode(make_plan())
    damage(stored)
    with pytest.raises(ValueError, match="damaged"):
        decode(Plan, stored)


def test_features_are_told_apart_by_their_kind() -> None:
    notch = next(f for p in floor_plan().parts for f in p.features if isinstance(f, Notch))
    back: object = decode(cast("type[Notch]", Feature), encode(notch))
    assert back == notch
    assert encode(Length(5)) == {"nm": 5}
