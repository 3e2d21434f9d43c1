"""The card: what it says in each mode, and that its actions keep their order and their places."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.model.plan import Plan
from shopstep.model.step import Check
from shopstep.present.card import CardMode, StepCard
from shopstep.present.card_for import MOST_ACTIONS, card_for
from shopstep.session import commands as c
from shopstep.session.evolve import OPEN_TIME
from shopstep.session.flow import current_step
from shopstep.session.state import State
from shopstep.units import Length
from tests.present_sample import MemoryBench, furnished_plan
from tests.sample_plan import BEGIN_S, make_plan

ORDER = ["measure", "start", "done", "accept", "ack", "resume", "back", "hold", "why", "more"]


def actions(card: StepCard) -> list[str]:
    return [action.id for action in card.actions]


def test_a_caution_stands_before_the_step_and_the_step_is_still_named() -> None:
    card = MemoryBench().card()
    assert card.mode is CardMode.CAUTION
    assert card.step_id == "all/rip/rail"
    assert card.headline == "Rip the rails"
    assert card.cautions[0].signal == "WARNING"
    assert "left hand stays 6 in" in card.cautions[0].hand
    assert actions(card) == ["ack", "back", "hold", "why", "more"]


def test_once_the_caution_is_answered_the_step_can_be_done_and_still_shows_it() -> None:
    bench = MemoryBench()
    bench.follow(bench.card())
    card = bench.card()
    assert card.mode is CardMode.STEP
    assert actions(card) == ["done", "back", "hold", "why", "more"]
    assert [caution.id for caution in card.cautions] == ["table_saw"]


def test_numbers_are_shown_as_on_a_rule_and_said_in_words() -> None:
    fence, pieces = MemoryBench().card().numbers
    assert (fence.label, fence.text, fence.spoken) == (
        "fence",
        "3 1/2 in",
        "three and a half inches",
    )
    assert (pieces.label, pieces.text, pieces.spoken) == ("pieces", "4", "four")


def test_a_plan_in_millimetres_shows_and_says_millimetres() -> None:
    card = MemoryBench(replace(make_plan(), display="mm")).card()
    assert card.numbers[0].text == "88.9 mm"
    assert card.numbers[0].spoken == "eighty-eight point nine millimetres"


def test_the_card_names_unit_and_what_is_written_on_the_wood() -> None:
    bench = MemoryBench(furnished_plan())
    assert (bench.card().unit, bench.card().mark) == ("whole batch", "")
    dry = bench.finish_until("u2/fit/dry")
    assert (dry.unit, dry.mark) == ("unit 2 of 2", "2")
    spread = bench.finish_until("u1/glue/spread")
    assert spread.mark == "1 L, 1 R"
    assert spread.parts == ("left and right side rail",)


def test_a_part_that_the_plan_does_not_list_is_shown_by_its_name() -> None:
    plan = make_plan()
    kinds = tuple(replace(kind, parts=("runner",)) for kind in plan.kinds)
    assert MemoryBench(replace(plan, kinds=kinds)).card().parts == ("runner",)


def test_spreading_starts_before_it_is_done() -> None:
    bench = MemoryBench()
    card = bench.finish_until("u1/glue/spread")
    assert actions(card) == ["start", "done", "back", "hold", "more"]
    assert card.actions[0].label == "Start spreading"
    bench.follow(card)
    assert actions(bench.card()) == ["done", "back", "hold", "why", "more"]


def test_an_open_joint_runs_a_most_and_clamps_run_a_least() -> None:
    bench = MemoryBench()
    close = bench.finish_until("u1/glue/close")
    assert [(t.name, t.is_most, t.step) for t in close.timers] == [
        ("glue, unit 1", True, "u1/glue/close")
    ]
    assert close.timers[0].due_s - close.timers[0].started_s == 300
    square = bench.finish_until("u1/glue/square")
    assert [(t.name, t.is_most) for t in square.timers] == [("clamps, unit 1", False)]


def test_a_check_with_a_number_is_asked_for_first() -> None:
    bench = MemoryBench()
    card = bench.finish_until("u1/glue/square")
    assert actions(card) == ["measure", "done", "back", "hold", "more"]
    check = card.checks[0]
    assert (check.expected, check.tolerance, check.measured) == ("0 in", "± 1/16 in", "")
    assert (check.expected_nm, check.within, check.accepted) == (0, False, False)


def test_a_value_outside_its_tolerance_can_be_measured_again_or_kept() -> None:
    bench = MemoryBench()
    step = bench.finish_until("u1/glue/square").step_id
    bench.do(c.TakeMeasure(id="1", step=step, name="diagonals_differ", value=Length.inches("1/8")))
    card = bench.card()
    assert actions(card) == ["measure", "done", "accept", "back", "more"]
    assert (card.checks[0].measured, card.checks[0].within) == ("1/8 in", False)
    bench.do(c.AcceptDeviation(id="2", step=step, name="diagonals_differ", reason="planed"))
    card = bench.card()
    assert card.checks[0].accepted
    assert actions(card) == ["done", "back", "hold", "why", "more"]


def test_a_yes_or_no_check_asks_for_no_number() -> None:
    plan = make_plan()
    asked = Check("flush", "edges are flush", None, Length(0))
    kinds = tuple(
        replace(kind, checks=(asked,)) if kind.id == "fit/dry" else kind for kind in plan.kinds
    )
    card = MemoryBench(replace(plan, kinds=kinds)).finish_until("u1/fit/dry")
    assert actions(card)[0] == "done"
    assert (card.checks[0].expected, card.checks[0].tolerance) == ("", "")
    assert card.checks[0].within


def test_a_joint_that_was_open_too_long_shows_it_and_can_only_be_kept_on_the_persons_word() -> None:
    bench = MemoryBench()
    bench.finish_until("u1/glue/close")
    bench.at_s += 370
    card = bench.card()
    assert [check.name for check in card.checks] == [OPEN_TIME]
    assert card.checks[0].expected == "at most 5 min"
    assert "accept" in actions(card)
    assert isinstance(bench.do(c.FinishStep(id="1", step=card.step_id)), c.Refusal)
    bench.do(c.AcceptDeviation(id="2", step=card.step_id, name=OPEN_TIME))
    assert "accept" not in actions(bench.card())
    assert not isinstance(bench.do(c.FinishStep(id="3", step=card.step_id)), c.Refusal)


def test_an_open_time_that_ends_this_second_is_not_late() -> None:
    bench = MemoryBench()
    card = bench.finish_until("u1/glue/close")
    bench.at_s = card.timers[0].due_s
    assert bench.card().checks == ()
    bench.at_s += 1
    assert [check.name for check in bench.card().checks] == [OPEN_TIME]


def test_screws_are_shown_with_their_holes() -> None:
    card = MemoryBench().finish_until("u1/screw/screws")
    assert card.fasteners == ("4 × #6 × 1 1/4 in screw, pilot 3/32 in, clearance 9/64 in",)


def test_while_all_waits_the_card_says_until_when_in_the_shops_own_time() -> None:
    bench = MemoryBench(replace(make_plan(), zone="Europe/Dublin"))
    bench.at_s = 1_750_000_000  # 2025-06-15 15:06:40 UTC, 16:06:40 in Dublin (summer time)
    bench.finish_until("u2/glue/tack")
    bench.follow(bench.card())
    bench.follow(bench.card())
    card = bench.card()
    assert card.mode is CardMode.WAITING
    assert card.headline == "Nothing can be done before 16:59"
    assert "clamps, unit 1" in card.sentence
    assert card.step_id == ""
    assert card.following == "Screw the joint (unit 1)"
    assert actions(card) == ["back", "hold", "more"]


def test_the_moment_named_is_when_the_next_card_has_a_step() -> None:
    bench = MemoryBench()
    bench.finish_until("")
    due = min(timer.due_s for timer in bench.card().timers)
    bench.at_s = due - 1
    assert bench.card().mode is CardMode.WAITING
    bench.at_s = due
    assert bench.card().step_id == "u1/screw/screws"


def test_steps_that_wait_for_each_other_are_not_hidden() -> None:
    plan = make_plan()
    first = replace(plan.steps[0], needs=(plan.steps[-1].id,))
    card = MemoryBench(replace(plan, steps=(first, *plan.steps[1:]))).card()
    assert card.mode is CardMode.WAITING
    assert card.headline == "Nothing can be done now"


def test_on_hold_the_card_says_since_when_and_what_comes_then() -> None:
    bench = MemoryBench()
    bench.at_s += 30
    bench.do(c.HoldBatch(id="1", reason="supper"))
    bench.at_s += 600
    card = bench.card()
    assert card.mode is CardMode.HELD
    assert card.headline == "On hold"
    assert card.sentence.startswith("On hold since 18:00: supper.")
    assert card.following == "Rip the rails"
    assert actions(card) == ["resume"]


def test_at_the_end_the_card_says_complete() -> None:
    bench = MemoryBench()
    while bench.card().mode is not CardMode.COMPLETE:
        bench.follow(bench.card())
    card = bench.card()
    assert card.headline == "Complete"
    assert "Sample frame, 2 units: the last of 17 steps" in card.sentence
    assert (card.done_count, card.total_count, card.step_id) == (17, 17, "")
    assert actions(card) == ["back", "more"]


def test_the_following_headline_is_the_next_open_step_in_plan_order() -> None:
    bench = MemoryBench()
    assert bench.card().following == "Dry fit (unit 1)"
    bench.finish_until("u1/fit/dry")
    bench.do(c.TakeStep(id="1", step="u2/fit/dry"))
    assert bench.card().following == "Spread glue (unit 1)"


def test_the_last_open_step_has_nothing_after_it() -> None:
    plan = make_plan()
    state = State(finished={step.id: BEGIN_S for step in plan.steps[:-1]})
    assert card_for(state, plan, BEGIN_S + 86400).following == ""


def test_a_notice_is_passed_on_and_hearing_is_off() -> None:
    card = card_for(State(version=7, plan_number=2), make_plan(), BEGIN_S, notice="Look again.")
    assert (card.notice, card.hearing) == ("Look again.", "off")
    assert (card.version, card.plan_number) == (7, 2)


def _states(plan: Plan) -> st.SearchStrategy[State]:
    ids = [step.id for step in plan.steps]
    moments = st.integers(BEGIN_S, BEGIN_S + 7200)
    return st.builds(
        State,
        version=st.integers(0, 99),
        at_bench=st.none() | st.sampled_from(ids),
        finished=st.dictionaries(st.sampled_from(ids), moments),
        acknowledged=st.frozensets(st.sampled_from(ids)),
        spread=st.dictionaries(st.sampled_from([i for i in ids if "spread" in i]), moments),
        held_since=st.none() | moments,
    )


PLAN = furnished_plan()


@given(_states(PLAN), st.integers(BEGIN_S, BEGIN_S + 90_000))
def test_every_state_gives_a_card_with_few_actions_in_their_order(state: State, now_s: int) -> None:
    card = card_for(state, PLAN, now_s)
    names = actions(card)
    assert 1 <= len(names) <= MOST_ACTIONS
    assert names == sorted(set(names), key=ORDER.index)
    assert names[-1] == ("resume" if card.mode is CardMode.HELD else "more")
    assert card.headline
    assert card.sentence
    assert all(action.label for action in card.actions)


@given(_states(PLAN), st.integers(BEGIN_S, BEGIN_S + 90_000))
def test_an_unanswered_caution_is_never_shown_as_an_ordinary_step(state: State, now_s: int) -> None:
    card = card_for(state, PLAN, now_s)
    step = current_step(state, PLAN, now_s)
    if card.mode is CardMode.STEP:
        assert step is not None
        assert step.id in state.acknowledged or not any(x.must_ack for x in card.cautions)
    if card.mode is CardMode.CAUTION:
        assert "done" not in actions(card)


@pytest.mark.parametrize("units", [1, 3])
def test_following_the_cards_alone_completes_a_batch(units: int) -> None:
    bench = MemoryBench(make_plan(units))
    for _ in range(60 * units):
        card = bench.card()
        if card.mode is CardMode.COMPLETE:
            break
        assert card.unit in {"", "whole batch", *(f"unit {n} of {units}" for n in (1, 2, 3))}
        bench.follow(card)
    assert bench.card().mode is CardMode.COMPLETE
