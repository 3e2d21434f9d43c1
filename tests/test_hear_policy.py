"""What is done about a phrase: never on doubt, a danger by its own sentence, and back again."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.present.card import CardCheck, CardMode, CardTimer, StepCard
from shopstep.session import commands as c
from shopstep.units import Length
from shopstep.voice.hear_cautions import open_cautions
from shopstep.voice.hear_policy import (
    ASKED_S,
    UNDO_S,
    Around,
    Heard,
    HearState,
    Reply,
    after_command,
    allowed_actions,
    respond,
)
from shopstep.voice.vocabulary import ACK
from tests.fake_bench import STEP, actions
from tests.present_sample import MemoryBench

NOW = 1000.0
GAP = CardCheck(
    name="gap", text="the gap", expected="0 in", expected_nm=0, tolerance="1/32 in",
    measured="", within=False, accepted=False,
)  # fmt: skip


def say(
    action: str,
    card: StepCard,
    state: HearState | None = None,
    now_s: float = NOW,
    **more: object,
) -> Reply:
    """The reply to a phrase of an action."""
    around = more.pop("around", None)
    heard = Heard(action, str(more.pop("words", action)), **more)  # type: ignore[arg-type]
    return respond(heard, card, state or HearState(), now_s, "id1", around)  # type: ignore[arg-type]


def test_done_is_the_command_of_a_tap_on_this_card_and_no_other() -> None:
    reply = say("done", STEP)
    assert reply.command == c.FinishStep(id="id1", step=STEP.step_id, seen=STEP.version)


def test_only_what_the_card_allows_may_be_said() -> None:
    card = replace(STEP, mode=CardMode.HELD, actions=actions("resume"))
    allowed = allowed_actions(card, HearState(), Around(), NOW)
    assert "resume" in allowed
    assert not {"done", "start", "hold", "aside", ACK, "yes"} & set(allowed)
    reply = say("done", card)
    assert reply.is_refusal
    assert reply.command is None


def test_an_ended_batch_hears_only_words_that_change_nothing() -> None:
    card = replace(STEP, mode=CardMode.STOPPED, actions=actions("more"), numbers=())
    allowed = allowed_actions(card, HearState(), Around(), NOW)
    assert set(allowed) == {"more", "again", "slower"}


def test_glue_is_read_back_and_counts_from_the_yes() -> None:
    card = replace(STEP, actions=actions("start", "done"))
    asked = say("start", card)
    assert asked.command is None
    assert asked.is_question
    assert set(allowed_actions(card, asked.state, Around(), NOW + 3)) == {"yes", "no", "again"}
    confirmed = say("yes", card, asked.state, NOW + 3)
    assert isinstance(confirmed.command, c.StartSpreading)
    assert confirmed.state.asked is None


def test_no_leaves_everything_as_it_is() -> None:
    card = replace(STEP, actions=actions("start", "done"))
    reply = say("no", card, say("start", card).state, NOW + 3)
    assert reply.command is None
    assert reply.state.asked is None


@pytest.mark.parametrize(("late_s", "newer"), [(ASKED_S + 1, 0), (1.0, 1)])
def test_a_late_yes_or_one_on_another_card_does_nothing(late_s: float, newer: int) -> None:
    card = replace(STEP, actions=actions("start", "done"))
    asked = say("start", card)
    later = replace(card, version=card.version + newer)
    reply = say("yes", later, asked.state, NOW + late_s)
    assert reply.command is None
    assert reply.is_refusal


def test_a_number_is_shown_large_and_confirmed_before_it_is_taken() -> None:
    card = replace(STEP, checks=(GAP,), actions=actions("measure", "done"))
    asked = say("measure", card, value=Length.inches("1/32"), words="the reading is …")
    assert asked.command is None
    assert "1/32 in" in asked.text
    taken = say("yes", card, asked.state, NOW + 4).command
    assert taken == c.TakeMeasure(
        id="id1", step=STEP.step_id, seen=STEP.version, name="gap", value=Length.inches("1/32")
    )


def test_a_gap_that_has_a_place_is_tapped() -> None:
    card = replace(STEP, checks=(replace(GAP, asks_where=True),), actions=actions("measure"))
    assert say("measure", card, value=Length.inches("1/32")).is_refusal


def test_a_value_outside_is_kept_only_after_a_yes() -> None:
    outside = replace(GAP, measured="1/8 in", within=False)
    card = replace(STEP, checks=(outside,), actions=actions("accept", "done"))
    asked = say("accept", card)
    assert asked.command is None
    assert "1/8 in" in asked.text
    assert isinstance(say("yes", card, asked.state, NOW + 1).command, c.AcceptDeviation)


def test_a_caution_is_answered_by_its_own_sentence_only() -> None:
    card = MemoryBench().card()
    assert card.mode is CardMode.CAUTION
    allowed = allowed_actions(card, HearState(), Around(), NOW)
    assert ACK in allowed
    assert "done" not in allowed
    (sentence,) = open_cautions(card).values()
    assert len(sentence.split()) >= 4
    assert say(ACK, card, words="i have understood it").is_refusal
    answered = say(ACK, card, words=sentence)
    assert isinstance(answered.command, c.AcknowledgeCaution)


def test_two_cautions_need_two_sentences() -> None:
    first = MemoryBench().card()
    other = replace(first.cautions[0], id="other", hand="Keep well behind the line of the blade.")
    card = replace(first, cautions=(first.cautions[0], other))
    one, two = open_cautions(card).values()
    half = say(ACK, card, words=two)
    assert half.command is None
    assert one in half.text
    assert isinstance(say(ACK, card, half.state, words=one).command, c.AcknowledgeCaution)
    elsewhere = replace(card, step_id="another/step")
    assert say(ACK, elsewhere, half.state, words=one).command is None


def done_by_voice(card: StepCard) -> HearState:
    reply = say("done", card)
    return after_command(reply, card, NOW, was_done=True)


def test_within_ten_seconds_back_undoes_what_voice_did_and_afterwards_the_card_goes_back() -> None:
    card = replace(STEP, actions=actions("done", "hold"))
    state = done_by_voice(card)
    later = replace(card, version=card.version + 2, step_id="next/step")
    undone = say("back", later, state, NOW + UNDO_S)
    assert undone.command == c.GoBack(id="id1", step=card.step_id, seen=later.version)
    assert say("back", later, state, NOW + UNDO_S + 0.1).command is None
    with_back = replace(later, actions=actions("done", "back"))
    plain = say("back", with_back, state, NOW + UNDO_S + 0.1)
    assert plain.command == c.GoBack(id="id1", step="next/step", seen=later.version)


def test_a_hold_is_undone_by_resuming_and_what_was_refused_is_not_undone() -> None:
    reply = say("hold", STEP)
    held = replace(STEP, mode=CardMode.HELD, actions=actions("resume"), version=9)
    state = after_command(reply, STEP, NOW, was_done=True)
    assert isinstance(say("back", held, state, NOW + 5).command, c.ResumeBatch)
    assert after_command(reply, STEP, NOW, was_done=False).last is None


def test_what_cannot_be_undone_says_so() -> None:
    card = replace(STEP, actions=actions("start", "done", "back"))
    asked = say("start", card)
    reply = say("yes", card, asked.state, NOW + 1)
    state = after_command(reply, card, NOW + 1, was_done=True)
    assert say("back", card, state, NOW + 2).is_refusal


def test_another_step_is_taken_by_its_number_and_the_old_one_comes_back() -> None:
    around = Around(ready=("a/one", "b/two"))
    reply = say("take", STEP, count=2, around=around)
    assert reply.command == c.TakeStep(id="id1", step="b/two", seen=STEP.version)
    assert say("take", STEP, count=3, around=around).is_refusal
    state = after_command(reply, STEP, NOW, was_done=True)
    undo = say("back", STEP, state, NOW + 1).command
    assert undo == c.TakeStep(id="id1", step=STEP.step_id, seen=STEP.version)


def test_aside_puts_the_step_off() -> None:
    assert isinstance(say("aside", STEP).command, c.SetAside)


def test_an_alarm_is_quieted_only_while_it_rings_and_time_told_only_where_it_runs() -> None:
    card = replace(STEP, timers=())
    assert "quiet" not in allowed_actions(card, HearState(), Around(), NOW)
    assert say("quiet", card, around=Around(rings=True)).look == "quiet"
    assert "left" not in allowed_actions(card, HearState(), Around(), NOW)
    timer = CardTimer("glue", "clamp", 0, 60, False, "x")
    assert say("left", replace(card, timers=(timer,))).look == "left"


def test_looking_changes_nothing_and_keeps_what_was_asked() -> None:
    card = replace(STEP, actions=actions("start", "done"))
    asked = say("start", card)
    again = say("again", card, asked.state, NOW + 1)
    assert again.look == "again"
    assert again.command is None
    assert again.state == asked.state
