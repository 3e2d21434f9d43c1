"""Tries in scrap on the card, in typed words, in the log and in the plan's document."""

from __future__ import annotations

import pytest

from shopstep.present.card import CardMode, StepCard
from shopstep.present.card_document import card_document
from shopstep.present.card_for import card_for
from shopstep.present.document_steps import step_entries
from shopstep.present.lines import card_lines
from shopstep.present.log import log_rows, record, record_document, record_lines
from shopstep.present.phrases import parse_command
from shopstep.session import commands as c
from shopstep.units import Length
from tests.sample_plan import BEGIN_S
from tests.session_bench import RIP, Play, new_id
from tests.trial_sample import trial_plan

inch = Length.inches
TRY = (
    "Try 1: gap 1/16 in at the toe. Saw off, tilt the blade 4.8° more, then cut a new piece of "
    "scrap and measure."
)


def play_at_the_saw(display: str = "in") -> Play:
    """The caution is answered, nothing is tried yet."""
    play = Play(plan=trial_plan(display=display))
    play.do(c.AcknowledgeCaution(id=new_id(), step=RIP))
    return play


def card_of(play: Play) -> StepCard:
    """The card now."""
    return card_for(play.state, play.plan, play.now_s)


def say(play: Play, line: str) -> StepCard:
    """A line of words that has to be carried out; the card after it."""
    command = parse_command(line.split(), card_of(play), None, new_id())
    assert isinstance(command, c.Command), command
    play.do(command)
    return card_of(play)


def test_the_card_asks_for_the_gap_and_for_its_place() -> None:
    card = card_of(play_at_the_saw())
    gap, groove = card.checks
    assert (gap.asks_where, gap.expected, gap.tries, gap.correction) == (True, "0 in", 0, "")
    assert not groove.asks_where
    assert card.actions[0].id == "measure"
    assert "measure gap_bevel VALUE WHERE" in " ".join(card_lines(card, BEGIN_S, "UTC"))


def test_a_try_outside_puts_its_correction_before_the_words_of_the_step() -> None:
    play = play_at_the_saw()
    card = say(play, "measure gap_bevel 1/16 toe")
    assert card.mode is CardMode.STEP
    assert card.sentence.startswith(f"{TRY} Rip four rails")
    gap = card.checks[0]
    assert (gap.where, gap.tries, gap.within) == ("toe", 1, False)
    assert gap.correction == (
        "saw off, tilt the blade 4.8° more, then cut a new piece of scrap and measure"
    )
    shown = " ".join(card_lines(card, BEGIN_S, "UTC"))
    assert "Measured 1/16 in at the toe: OUTSIDE." in shown
    assert card.actions[0].id == "measure"


def test_a_good_try_or_one_that_is_kept_takes_the_correction_away() -> None:
    play = play_at_the_saw()
    say(play, "measure gap_bevel 1/16 toe")
    kept = say(play, "accept gap_bevel under paint")
    assert kept.sentence.startswith("Rip four rails")
    outside = say(play, "measure gap_bevel 3/32 even")
    assert outside.sentence.startswith("Try 2: gap 3/32 in all along.")
    good = say(play, "measure gap_bevel 0")
    assert good.sentence.startswith("Rip four rails")
    assert (good.checks[0].within, good.checks[0].correction, good.checks[0].tries) == (True, "", 3)


def test_two_tries_outside_are_both_put_right() -> None:
    play = play_at_the_saw()
    say(play, "measure groove_width 15/32 in")
    card = say(play, "measure gap_bevel 1/16 in heel")
    assert "Try 1: gap 1/16 in at the heel." in card.sentence
    assert "Try 1: 15/32 in, 1/32 in too narrow." in card.sentence


@pytest.mark.parametrize(
    ("line", "value", "where"),
    [
        ("measure gap_bevel 1/16 toe", inch("1/16"), "toe"),
        ("measure gap_bevel 1/16 in toe", inch("1/16"), "toe"),
        ("measure gap_bevel 1/16 in at the heel", inch("1/16"), "heel"),
        ("measure gap_bevel 1.5 mm Even", Length.mm("1.5"), "even"),
        ("measure gap_bevel ¼ toe", inch("1/4"), "toe"),
        ('measure gap_bevel 1/16" toe', inch("1/16"), "toe"),
        ("measure gap_bevel 0", inch(0), ""),
        ("measure gap_bevel 0 in", inch(0), ""),
        ("measure gap_bevel 1/16", inch("1/16"), ""),
        ("measure gap_bevel 1/16 tow", inch("1/16"), "tow"),
        ("measure groove_width 1/2 in", inch("1/2"), ""),
        ("measure groove_width 1/2 in toe", inch("1/2"), "toe"),
    ],
)
def test_gap_and_place_are_typed_in_one_line(line: str, value: Length, where: str) -> None:
    command = parse_command(line.split(), card_of(play_at_the_saw()), None, "1")
    assert isinstance(command, c.TakeMeasure)
    assert (command.value, command.where) == (value, where)


def test_words_that_come_in_one_piece_are_taken_apart() -> None:
    card = card_of(play_at_the_saw())
    command = parse_command(["measure", "gap_bevel", "1/16 in toe"], card, None, "1")
    assert isinstance(command, c.TakeMeasure)
    assert (command.value, command.where) == (inch("1/16"), "toe")


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("measure gap_bevel 2 toe", "'2' has no unit; write '2 in' or '2 mm'."),
        ("measure groove_width 1/2", "'1/2' has no unit"),
        ("measure gap_bevel toe", "'toe' is no length"),
        ("measure groove_width 1/2 inc", "'1/2 inc' is no length"),
    ],
)
def test_numbers_that_could_be_another_unit_are_asked_for_again(line: str, sentence: str) -> None:
    answer = parse_command(line.split(), card_of(play_at_the_saw()), None, "1")
    assert isinstance(answer, str)
    assert sentence in answer


def test_a_bare_fraction_is_no_millimetre() -> None:
    card = card_of(play_at_the_saw("mm"))
    answer = parse_command(["measure", "gap_bevel", "1/16", "toe"], card, None, "1")
    assert isinstance(answer, str)
    assert "has no unit" in answer


def test_log_and_record_tell_where_each_gap_was() -> None:
    play = play_at_the_saw()
    for line in ("1/16 toe", "1/32 heel", "3/64 even", "0"):
        say(play, f"measure gap_bevel {line}")
    told = [row.what for row in log_rows(play.envelopes, play.plan) if row.value is not None]
    assert told == [
        "measured gap_bevel 1/16 in at the toe, outside the tolerance",
        "measured gap_bevel 1/32 in at the heel, outside the tolerance",
        "measured gap_bevel 3/64 in all along, outside the tolerance",
        "measured gap_bevel 0 in, good",
    ]
    kept = record(play.envelopes, play.plan)
    assert [measure.where for measure in kept.measures] == ["toe", "heel", "even", ""]
    assert "1/16 in at the toe, planned 0 in, outside" in " ".join(record_lines(kept))
    measures = record_document(kept)["measures"]
    assert isinstance(measures, list)
    assert [measure["where"] for measure in measures] == ["toe", "heel", "even", None]


def test_the_documents_carry_trial_place_and_correction() -> None:
    play = play_at_the_saw()
    card = say(play, "measure gap_bevel 1/16 toe")
    shown = card_document(card, BEGIN_S, "t")["card"]
    assert isinstance(shown, dict)
    gap = shown["checks"][0]
    assert (gap["where"], gap["asks_where"], gap["tries"]) == ("toe", True, 1)
    assert gap["correction"].startswith("saw off, tilt the blade 4.8° more")
    entries = {str(entry["id"]): entry for entry in step_entries(play.plan)}
    checks = entries[RIP]["checks"]
    assert isinstance(checks, list)
    assert checks[0]["trial"] == {"kind": "bevel", "setting": "tilt"}
    squares = entries["u1/glue/square"]["checks"]
    assert isinstance(squares, list)
    assert squares[0]["trial"] is None
