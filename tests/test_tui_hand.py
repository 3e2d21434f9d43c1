"""The hand: one activation, one command, about the card that was in sight."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.present.card import StepCard
from shopstep.session.commands import (
    AcceptDeviation,
    AcknowledgeCaution,
    Command,
    FinishStep,
    GoBack,
    HoldBatch,
    Refusal,
    ResumeBatch,
    StartSpreading,
    TakeMeasure,
    TakeStep,
)
from shopstep.tui.actions import ACTIONS, LOCAL, action_for_key, turn_pages
from shopstep.tui.glove import BOUNCE_S
from shopstep.tui.hand import Hand
from shopstep.units import Length
from tests.fake_bench import (
    ALL_CARDS,
    CAUTION,
    GLUE,
    GLUE_TIMER,
    HELD,
    MEASURE,
    OUTSIDE,
    STEP,
    WAITING,
    FakeBench,
    StillClock,
)

NEXT = replace(STEP, version=8, step_id="u1/fit/dry", headline="Dry fit")


def make_hand(card: StepCard = STEP) -> tuple[Hand, FakeBench, StillClock]:
    """A hand at a fake bench, long after its card came up."""
    bench, clock = FakeBench(card), StillClock()
    return Hand(bench, clock), bench, clock


@pytest.mark.parametrize(
    ("action", "kind"),
    [
        ("done", FinishStep),
        ("start", StartSpreading),
        ("ack", AcknowledgeCaution),
        ("back", GoBack),
        ("hold", HoldBatch),
        ("resume", ResumeBatch),
    ],
)
def test_an_action_becomes_its_command_about_the_card_in_sight(
    action: str, kind: type[Command]
) -> None:
    hand, bench, _ = make_hand()
    hand.choose(action)
    (command,) = bench.commands
    assert type(command) is kind
    assert command.step == STEP.step_id
    assert command.seen == STEP.version
    assert len(command.id) == 32
    assert int(command.id, 16) >= 0


def test_no_two_commands_share_an_id() -> None:
    hand, bench, _ = make_hand()
    for _ in range(50):
        hand.choose("hold")
    assert len({command.id for command in bench.commands}) == 50


def test_without_a_step_at_the_bench_the_command_names_none() -> None:
    hand, bench, _ = make_hand(WAITING)
    hand.choose("back")
    assert bench.commands[0].step is None


def test_a_second_tap_right_after_the_card_changed_sends_nothing() -> None:
    hand, bench, clock = make_hand()
    bench.react = lambda _: NEXT
    hand.choose("done")
    clock.pass_by(BOUNCE_S - 0.01)
    assert not hand.choose("done")
    assert len(bench.commands) == 1
    clock.pass_by(0.02)
    hand.choose("done")
    assert [command.step for command in bench.commands] == [STEP.step_id, NEXT.step_id]


def test_a_second_tap_means_the_step_and_the_version_that_were_seen() -> None:
    hand, bench, _ = make_hand()
    bench.shown = NEXT  # another face was faster; this one has not looked yet
    hand.choose("done")
    assert (bench.commands[0].step, bench.commands[0].seen) == (STEP.step_id, STEP.version)


def test_a_refusal_is_said_and_changes_nothing_else() -> None:
    hand, bench, _ = make_hand()
    bench.react = lambda _: Refusal("The paint is wet until 14:20.", "waiting")
    before = hand.card
    assert not hand.choose("done")
    assert hand.card is before
    assert hand.notice == "The paint is wet until 14:20."
    bench.react = lambda _: NEXT
    assert hand.choose("done")
    assert hand.notice == ""


def test_a_disk_that_cannot_be_written_is_said_in_a_sentence() -> None:
    hand, bench, _ = make_hand()

    def fail(_: Command) -> StepCard:
        raise OSError("no space left on device")

    bench.react = fail
    assert not hand.choose("done")
    assert hand.card == STEP
    assert "not saved" in hand.notice
    assert "no space left" in hand.notice


def test_a_sentence_of_the_disk_keeps_one_full_stop_on_the_screen() -> None:
    hand, bench, _ = make_hand()

    def fail(_: Command) -> StepCard:
        raise OSError("The folder is closed to writing; copy the file.")

    bench.react = fail
    assert not hand.choose("done")
    assert hand.notice.endswith("closed to writing; copy the file. Try again.")


def test_what_another_face_did_comes_into_sight() -> None:
    hand, bench, _ = make_hand()
    assert not hand.look_for_changes()
    bench.shown = NEXT
    assert hand.look_for_changes()
    assert hand.card == NEXT
    assert hand.is_bounce()


def test_a_session_that_cannot_be_read_is_said_until_it_can() -> None:
    hand, bench, _ = make_hand()
    real = bench.changes_since

    def fail(version: int) -> tuple[()]:
        raise OSError("device is gone")

    bench.changes_since = fail  # type: ignore[method-assign]
    assert hand.look_for_changes()
    assert "device is gone" in hand.notice
    assert not hand.look_for_changes()
    bench.changes_since = real  # type: ignore[method-assign]
    assert hand.look_for_changes()
    assert hand.notice == ""


def test_accept_keeps_the_reading_that_lies_outside() -> None:
    hand, bench, _ = make_hand(OUTSIDE)
    hand.choose("accept")
    command = bench.commands[0]
    assert isinstance(command, AcceptDeviation)
    assert command.name == "diagonals_differ"


def test_accept_on_a_late_closing_keeps_the_open_time() -> None:
    hand, bench, _ = make_hand(replace(GLUE, timers=(GLUE_TIMER,)))
    assert not hand.choose("accept")
    assert "nothing to keep" in hand.notice
    bench.time_s = GLUE_TIMER.due_s + 1
    hand.choose("accept")
    command = bench.commands[0]
    assert isinstance(command, AcceptDeviation)
    assert command.name == "open_time"


def test_a_reading_names_its_check() -> None:
    hand, bench, _ = make_hand(MEASURE)
    check = hand.open_check()
    assert check is not None
    hand.measure(check, Length.inches("1/32"))
    command = bench.commands[0]
    assert isinstance(command, TakeMeasure)
    assert (command.name, command.value) == ("diagonals_differ", Length.inches("1/32"))


def test_a_good_or_kept_reading_is_not_asked_for_again() -> None:
    outside = OUTSIDE.checks[0]
    for check in (replace(outside, within=True), replace(outside, accepted=True)):
        assert make_hand(replace(OUTSIDE, checks=(check,)))[0].open_check() is None


def test_another_ready_step_is_taken_by_its_id() -> None:
    hand, bench, _ = make_hand()
    assert STEP.step_id not in [step.id for step in hand.other_steps()]
    hand.take("u1/fit/dry")
    command = bench.commands[0]
    assert isinstance(command, TakeStep)
    assert command.step == "u1/fit/dry"


def test_letters_mean_what_the_table_says_on_every_card_that_offers_it() -> None:
    for card in ALL_CARDS.values():
        for action in card.actions:
            known = next(one for one in ACTIONS if one.id == action.id)
            assert action_for_key(known.keys[0], card) == action.id


def test_h_resumes_a_held_batch_and_holds_a_running_one() -> None:
    assert action_for_key("h", STEP) == "hold"
    assert action_for_key("h", HELD) == "resume"
    assert action_for_key("b", HELD) is None


def test_no_letter_answers_a_caution_before_its_last_page() -> None:
    first_page = turn_pages(CAUTION, 0, 2)
    meant = {action_for_key(letter, first_page) for letter in "abcdefghijklmnopqrstuvwxyz"}
    assert "ack" not in meant
    assert "next_page" in meant
    answers = {action.id for action in turn_pages(CAUTION, 1, 2).actions}
    assert {"ack", "other_page"} <= answers
    assert turn_pages(CAUTION, 0, 1) == CAUTION


def test_no_two_actions_of_one_card_share_a_letter() -> None:
    for card in ALL_CARDS.values():
        keys = [a.keys for a in ACTIONS if a.id in {action.id for action in card.actions}]
        letters = [letter for each in keys for letter in each]
        assert len(letters) == len(set(letters))


def test_what_opens_a_page_sends_no_command() -> None:
    for action in LOCAL:
        hand, bench, _ = make_hand(MEASURE)
        hand.choose(action)
        assert bench.commands == []
