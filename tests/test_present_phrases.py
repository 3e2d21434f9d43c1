"""Words to commands: what is understood, and what is said about what is not."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.present.card import StepCard
from shopstep.present.phrases import (
    COMMAND_MEANING,
    COMMAND_USAGE,
    explain_unknown,
    name_ready,
    parse_command,
)
from shopstep.session import commands as c
from shopstep.units import Length
from tests.present_sample import MemoryBench


def card_at(step_id: str) -> StepCard:
    return MemoryBench().finish_until(step_id)


SQUARE = card_at("u1/glue/square")


@pytest.mark.parametrize(
    ("line", "kind", "more"),
    [
        ("done", c.FinishStep, {}),
        ("DONE", c.FinishStep, {}),
        ("start", c.StartSpreading, {}),
        ("ack", c.AcknowledgeCaution, {}),
        ("back", c.GoBack, {}),
        ("hold", c.HoldBatch, {"reason": ""}),
        ("hold supper is ready", c.HoldBatch, {"reason": "supper is ready"}),
        ("resume", c.ResumeBatch, {}),
        ("note knot in the left rail", c.TakeNote, {"text": "knot in the left rail"}),
        ("conditions 9C 60%", c.NoteConditions, {"temperature_c": 9.0, "humidity_percent": 60.0}),
        ("conditions -3.5 °C 80 %", c.NoteConditions, {"temperature_c": -3.5}),
        ("conditions 9, 60", c.NoteConditions, {"temperature_c": 9.0, "humidity_percent": 60.0}),
        ("conditions 48F 55%", c.NoteConditions, {"temperature_c": 8.9}),
        (
            "measure diagonals_differ 1/32 in",
            c.TakeMeasure,
            {"name": "diagonals_differ", "value": Length.inches("1/32")},
        ),
        (
            "measure 0.8 mm",
            c.TakeMeasure,
            {"name": "diagonals_differ", "value": Length.mm("0.8")},
        ),
        ('measure ¼"', c.TakeMeasure, {"value": Length.inches("1/4")}),
        (
            "accept diagonals_differ will be planed",
            c.AcceptDeviation,
            {"name": "diagonals_differ", "reason": "will be planed"},
        ),
        ("accept open_time", c.AcceptDeviation, {"name": "open_time", "reason": ""}),
    ],
)
def test_words_become_the_command_for_the_step_and_version_on_the_card(
    line: str, kind: type[c.Command], more: dict[str, object]
) -> None:
    command = parse_command(line.split(), SQUARE, None, "id-1")
    assert type(command) is kind
    assert (command.id, command.step, command.seen) == ("id-1", "u1/glue/square", SQUARE.version)
    for name, value in more.items():
        assert getattr(command, name) == value


def test_a_step_that_is_named_goes_before_the_one_on_the_card() -> None:
    command = parse_command(["done"], SQUARE, "u2/glue/square", "1")
    assert isinstance(command, c.FinishStep)
    assert command.step == "u2/glue/square"


def test_without_a_card_the_command_means_whatever_stands_at_the_bench() -> None:
    command = parse_command(["done"], None, None, "1")
    assert isinstance(command, c.FinishStep)
    assert (command.step, command.seen) == (None, None)


def test_a_card_without_a_step_names_none() -> None:
    bench = MemoryBench()
    waiting = bench.finish_until("")
    command = parse_command(["back"], waiting, None, "1")
    assert isinstance(command, c.GoBack)
    assert command.step is None


def test_take_names_the_step_to_bring_to_the_bench() -> None:
    command = parse_command(["take", "u2/fit/dry"], SQUARE, None, "1")
    assert isinstance(command, c.TakeStep)
    assert command.step == "u2/fit/dry"


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("", "Say what to do: done"),
        ("dome", "did you mean 'done'?"),
        ("xyzzy", "'xyzzy' is no command here. There are: done"),
        ("done twice", "'done' stands alone; 'twice' was too much."),
        ("measure", "for example: measure diagonals_differ 1/32 in"),
        ("measure diagonals_differ", "for example: measure diagonals_differ 1/32 in"),
        ("measure diagonals_differ 3", "'3' has no unit; write '3 in' or '3 mm'."),
        ("measure diagonals_differ wide", "'wide' is no length"),
        ("measure 1/32", "'1/32' has no unit"),
        ("accept", "none is outside its tolerance now"),
        ("note", "note TEXT"),
        ("take", "take STEP"),
        ("take one more", "take STEP"),
        ("conditions", "conditions 9C 60%"),
        ("conditions warm 60%", "conditions 9C 60%"),
        ("conditions 48 60%", "Write 48C or 48F."),
    ],
)
def test_what_cannot_be_read_gets_a_sentence_with_the_way_on(line: str, sentence: str) -> None:
    answer = parse_command(line.split(), SQUARE, None, "1")
    assert isinstance(answer, str)
    assert sentence in answer


def test_measuring_where_no_number_is_asked_for_says_so() -> None:
    card = card_at("u1/fit/dry")
    assert parse_command(["measure"], card, None, "1") == "This step asks for no number."
    answer = parse_command(["measure"], None, None, "1")
    assert isinstance(answer, str)
    assert "measure NAME 1/32 in" in answer


def test_accept_without_a_name_means_the_one_value_that_is_outside() -> None:
    bench = MemoryBench()
    step = bench.finish_until("u1/glue/square").step_id
    bench.do(c.TakeMeasure(id="1", step=step, name="diagonals_differ", value=Length.inches(1)))
    command = parse_command(["accept"], bench.card(), None, "2")
    assert isinstance(command, c.AcceptDeviation)
    assert (command.name, command.reason) == ("diagonals_differ", "")


def test_a_number_stands_for_the_ready_step_in_the_list() -> None:
    bench = MemoryBench()
    bench.finish_until("u1/fit/dry")
    ready = bench.ready()
    assert name_ready(["take", "2"], ready) == ["take", "u2/fit/dry"]
    assert name_ready(["take", "u2/fit/dry"], ready) == ["take", "u2/fit/dry"]
    assert name_ready(["done"], ready) == ["done"]
    assert name_ready(["take", "3"], ready) == (
        "There is no ready step number 3; numbers are 1 to 2."
    )
    assert name_ready(["take", "1"], ()) == "There is no ready step number 1; numbers are none."


def test_every_command_has_a_usage_and_a_meaning() -> None:
    assert COMMAND_USAGE.keys() == COMMAND_MEANING.keys()
    assert all(usage.split()[0] == word for word, usage in COMMAND_USAGE.items())


def test_an_unknown_word_names_the_nearest_of_those_that_are_known() -> None:
    assert explain_unknown("stats", ["status", "quit"]) == (
        "'stats' is no command here; did you mean 'status'? There are: status, quit."
    )


@given(st.lists(st.text(max_size=12), max_size=5))
def test_any_words_give_a_command_or_a_sentence(words: list[str]) -> None:
    answer = parse_command(words, SQUARE, None, "1")
    assert isinstance(answer, c.Command) or answer.strip()


@given(st.sampled_from(sorted(COMMAND_USAGE)), st.lists(st.text(max_size=12), max_size=4))
def test_any_words_after_a_command_give_a_command_or_a_sentence(word: str, rest: list[str]) -> None:
    answer = parse_command([word, *rest], SQUARE, None, "1")
    assert isinstance(answer, c.Command) or answer.strip()
