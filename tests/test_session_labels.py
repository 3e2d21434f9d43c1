"""The label of a glue is asked for before its first glue-up, and the plan follows it."""

from __future__ import annotations

import pytest

from shopstep.model.resources import ClampSet
from shopstep.model.step import WaitKind
from shopstep.session import commands as c
from shopstep.session.around import Around
from shopstep.session.commands import Refusal
from shopstep.storage.clock import FixedClock
from shopstep.storage.state_text import read_state, write_state
from shopstep.wiring.surroundings import ShopAround
from shopstep.workbench import Accepted, Workbench
from tests.floor import SHOP
from tests.session_bench import new_id
from tests.test_following import walk
from tests.test_session_room import bench_with

SPREAD = "u1/glue/spread_left"


class Asking:
    """A shop that knows no label yet."""

    def __init__(self, *known: str) -> None:
        self.labels = frozenset(known)

    def look(self, now_s: int) -> Around:
        del now_s
        return Around(labels=self.labels)

    def air(self) -> None:
        return None

    def clamps_elsewhere(self) -> tuple[ClampSet, ...]:
        return ()


@pytest.fixture
def bench() -> tuple[Workbench, FixedClock]:
    """Two floors up to the first glue; the trays, whose glue may come first, are put aside."""
    made, clock = bench_with(Asking())
    while "u1/fit/mark" not in made.state.finished:
        step = made.card().step_id or "u1/fit/mark"
        if step.endswith("tray/spread"):
            assert isinstance(made.do(c.SetAside(id=new_id(), step=step)), Accepted)
        else:
            walk(made, clock, step)
    return made, clock


def start(bench: Workbench, step: str = SPREAD) -> Accepted | Refusal:
    """The first bead."""
    bench.do(c.AcknowledgeCaution(id=new_id(), step=step))
    return bench.do(c.StartSpreading(id=new_id(), step=step))


def tell(bench: Workbench, minutes: float) -> Accepted | Refusal:
    """What the label says."""
    return bench.do(c.ReadLabel(id=new_id(), step=SPREAD, seconds=round(60 * minutes)))


def open_seconds(bench: Workbench) -> set[int]:
    """The open times of the plan."""
    return {wait.seconds for wait in bench.plan.waits if wait.kind is WaitKind.OPEN}


def test_no_glue_goes_on_before_its_label_was_asked_for(
    bench: tuple[Workbench, FixedClock],
) -> None:
    refused = start(bench[0])
    assert isinstance(refused, Refusal)
    assert refused.rule == "label"
    assert "The table says 5 min" in refused.text
    assert refused.typed == "In words: `label 8 min`, or `label none`."


def test_the_plan_follows_the_label(bench: tuple[Workbench, FixedClock]) -> None:
    made, _ = bench
    told = tell(made, 8)
    assert isinstance(told, Accepted)
    assert "the wood glue is open 8 min" in told.card.notice
    assert open_seconds(made) == {480}
    assert isinstance(start(made), Accepted)
    assert read_state(write_state(made.state)) == made.state


def test_a_label_without_a_time_leaves_the_table(bench: tuple[Workbench, FixedClock]) -> None:
    made, _ = bench
    before = made.plan
    assert isinstance(tell(made, 0), Accepted)
    assert made.plan == before
    assert isinstance(start(made), Accepted)


def test_a_label_that_no_plan_can_keep_lets_no_glue_go_on(
    bench: tuple[Workbench, FixedClock],
) -> None:
    # by hand: the left side takes 3 minutes from the first glue to the closed joint
    made, _ = bench
    refused = tell(made, 2)
    assert isinstance(refused, Refusal)
    assert open_seconds(made) == {300}
    wrong = start(made)
    assert isinstance(wrong, Refusal)
    assert wrong.rule == "wrong_label"
    assert isinstance(tell(made, 6), Accepted)
    assert isinstance(start(made), Accepted)


def test_it_is_asked_once_for_each_glue_and_not_where_the_shop_knows_it() -> None:
    made, clock = bench_with(Asking("wood_glue"))
    walk(made, clock, "u1/fit/mark")
    assert isinstance(start(made), Accepted)
    around = ShopAround(SHOP, (("wood_glue.open", "8 min"), ("outside.recoat", "2 h"))).look(0)
    assert around.labels == frozenset({"wood_glue"})


@pytest.mark.parametrize("seconds", [-1, 4 * 3600 + 1])
def test_what_is_no_open_time_is_refused(bench: tuple[Workbench, FixedClock], seconds: int) -> None:
    refused = bench[0].do(c.ReadLabel(id=new_id(), step=SPREAD, seconds=seconds))
    assert isinstance(refused, Refusal)
    assert refused.rule == "bad_value"


def test_a_step_without_glue_has_no_label(bench: tuple[Workbench, FixedClock]) -> None:
    step = bench[0].plan.steps[0].id
    refused = bench[0].do(c.ReadLabel(id=new_id(), step=step, seconds=300))
    assert isinstance(refused, Refusal)
    assert refused.rule == "no_glue"
