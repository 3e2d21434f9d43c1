"""The line-by-line face: a conversation from the first caution to the record."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest

from shopstep.cli.output import NO_WHY
from shopstep.cli.plain import run_plain
from shopstep.model.plan import Plan
from shopstep.present.card import CardMode, StepCard
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.storage.clock import FixedClock
from shopstep.workbench import Workbench
from tests.fake_bench import FULL_CELL
from tests.present_sample import MemoryBench
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import MemoryJournal


def talk(bench: MemoryBench, said: Iterable[str]) -> list[str]:
    """What is written while ``said`` is read, a minute before each line; then input ends."""
    lines = iter(said)
    written: list[str] = []

    def read_line() -> str | None:
        bench.at_s += 60
        return next(lines, None)

    assert run_plain(bench, read_line, written.append) == 0
    return written


def test_the_card_is_read_out_first_and_input_may_end_at_once() -> None:
    bench = MemoryBench()
    written = talk(bench, [])
    assert written[0].startswith("WARNING: The blade")
    assert written[-1].startswith("You can say: ack")
    assert bench.log == []


class BetteringMemoryBench(MemoryBench):
    """A bench whose plan gets better while the person thinks."""

    def better(self) -> StepCard | None:
        """Once, when a minute is over."""
        if self.at_s != self.first_s + 60:
            return None
        return replace(self.card(), notice="The plan is better by an evening now: done Thu.")

    def __init__(self) -> None:
        super().__init__()
        self.first_s = self.at_s


def test_a_plan_that_got_better_is_told_once_before_the_answer() -> None:
    written = talk(BetteringMemoryBench(), ["why", "why", "ack"])
    said = [line for line in written if line.startswith("The plan is better by an evening")]
    assert len(said) == 1
    first = MemoryBench().card().why or NO_WHY
    assert written.index(said[0]) < next(n for n, line in enumerate(written) if line in first)


def test_end_of_file_ends_the_talk_as_well() -> None:
    def read_line() -> str:
        raise EOFError

    written: list[str] = []
    assert run_plain(MemoryBench(), read_line, written.append) == 0


def test_a_word_is_carried_out_and_the_next_card_is_read() -> None:
    bench = MemoryBench()
    written = talk(bench, ["ack", "done"])
    assert list(bench.state.finished) == ["all/rip/rail"]
    assert "Dry fit" in written


def test_commands_carry_the_step_and_version_that_were_read_out_and_a_fresh_id() -> None:
    bench = MemoryBench()
    seen = bench.card().version
    talk(bench, ["ack", "done"])
    first, second = bench.asked
    assert (first.step, first.seen) == ("all/rip/rail", seen)
    assert isinstance(second, c.FinishStep)
    assert second.seen is not None
    assert second.seen > seen
    assert len(first.id) == 32
    assert first.id != second.id


def test_quit_leaves_and_reads_no_further() -> None:
    bench = MemoryBench()
    written = talk(bench, ["quit", "ack"])
    assert bench.asked == []
    assert written == talk(MemoryBench(), [])


def test_a_refusal_is_read_out_and_nothing_else() -> None:
    bench = MemoryBench()
    before = len(talk(MemoryBench(), []))
    written = talk(bench, ["done"])
    assert written[before].startswith("Not done. WARNING before Rip the rails")
    assert (
        " ".join(written[before:]) == "Not done. WARNING before Rip the rails (whole batch): "
        "read it and answer it first."
    )
    assert bench.log == []


def test_when_another_face_was_faster_the_new_card_is_read_out() -> None:
    bench = MemoryBench()
    bench.finish_until("u1/fit/dry")
    lines = iter(["back"])
    written: list[str] = []

    def read_line() -> str | None:
        line = next(lines, None)
        if line is not None:
            bench.do(c.FinishStep(id="other", step="u1/fit/dry"))
        return line

    run_plain(bench, read_line, written.append)
    assert "Not done. The card had changed; look again." in written
    assert written[-1].startswith("You can say")
    assert any(line.startswith("unit 2 of 2") for line in written)
    assert "u1/fit/dry" in bench.state.finished


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("why", NO_WHY),
        ("frobnicate", "'frobnicate' is no command here. There are: done"),
        ("stats", "'stats' is no command here; did you mean 'status'?"),
        ("measure", "This step asks for no number."),
        ("picture", "There is no picture of this."),
        ("help", "picture: what the step looks like, in dots"),
        ("take 9", "There is no ready step number 9; numbers are 1 to 1."),
        ("help", "measure NAME VALUE [WHERE]: a check's number as you read it"),
        ("help", "quit: leave; everything is kept"),
        ("more", "take 1: Rip the rails, all/rip/rail, at the bench"),
    ],
)
def test_words_about_the_card_change_nothing(line: str, expected: str) -> None:
    bench = MemoryBench()
    written = talk(bench, [line])
    assert any(text.startswith(expected) for text in written)
    assert bench.log == []


def test_the_picture_of_the_step_that_was_read_out_is_drawn_on_request() -> None:
    bench, written = MemoryBench(), list[str]()
    asked: list[tuple[str, str]] = []
    lines = iter(["ack", "picture", "quit"])

    def draw(plan: Plan, step_id: str) -> tuple[str, ...]:
        asked.append((plan.build_id, step_id))
        return ("", " " * 20 + FULL_CELL * 58)

    assert run_plain(bench, lambda: next(lines), written.append, draw) == 0
    assert asked == [("sample", "all/rip/rail")]
    assert written[-2:] == ["", " " * 20 + FULL_CELL * 58]


def test_where_the_work_stands_is_told_on_request() -> None:
    bench = MemoryBench()
    written = talk(bench, ["ack", "done", "summary"])
    assert any(line.startswith("Last done: ") for line in written)
    assert any(line.startswith("Next: Dry fit (unit 1)") for line in written)
    assert len(bench.asked) == 2  # looking asks for nothing


@pytest.mark.parametrize("line", ["status", "", "   "])
def test_status_or_an_empty_line_reads_the_card_with_the_time_left_now(line: str) -> None:
    bench = MemoryBench()
    bench.finish_until("u1/glue/close")
    written = talk(bench, [line])
    timers = [text for text in written if text.startswith("glue, unit 1")]
    assert timers == [
        "glue, unit 1: closes in 4:00",
        "glue, unit 1: closes in 3:00",
    ]


def test_a_step_is_taken_by_its_number_in_the_list() -> None:
    bench = MemoryBench()
    bench.finish_until("u1/fit/dry")
    written = talk(bench, ["more", "take 2"])
    assert "take 2: Dry fit (unit 2), u2/fit/dry" in written
    assert bench.state.at_bench == "u2/fit/dry"


def test_while_all_waits_more_says_that_no_step_is_ready() -> None:
    bench = MemoryBench()
    bench.finish_until("")
    assert "No other step is ready now." in talk(bench, ["more"])


def test_hold_note_conditions_and_resume_are_kept_in_the_session() -> None:
    bench = MemoryBench()
    talk(bench, ["note knot in rail", "conditions 9C 60%", "hold supper", "done", "resume"])
    kept = [type(envelope.event) for envelope in bench.log]
    assert kept == [e.NoteTaken, e.ConditionsNoted, e.BatchHeld, e.BatchResumed, e.StepBegun]


def test_a_whole_batch_can_be_built_line_by_line_and_ends_with_its_record() -> None:
    bench = MemoryBench(make_plan(1))
    glue = ["start", "done", "done", "measure 1/32 in", "done", "ack", "done"]
    night = [""] * 300  # a minute each: clamps, then paint
    said = ["ack", "done", "done", *glue, *night[:50], "done", "done", *night, "done", "status"]
    written = talk(bench, said)
    assert bench.card().mode is CardMode.COMPLETE
    assert "Complete" in written
    assert written.count("Record of Sample frame, 1 unit") == 1
    record_at = written.index("Record of Sample frame, 1 unit")
    assert "difference of the diagonals" in " ".join(written[record_at:])


def test_reopening_the_last_step_and_ending_again_reads_the_record_again() -> None:
    bench = MemoryBench(make_plan(1))
    while bench.card().mode is not CardMode.COMPLETE:
        bench.follow(bench.card())
    written = talk(bench, ["back", "done"])
    assert written.count("Record of Sample frame, 1 unit") == 2


def test_no_line_is_longer_than_a_screen_of_eighty() -> None:
    bench = MemoryBench()
    while bench.card().mode is not CardMode.COMPLETE:
        bench.follow(bench.card())
    assert all(len(line) <= 78 for line in talk(bench, ["help", "more", "status", "zzz"]))


def test_the_real_workbench_can_be_talked_to() -> None:
    bench = Workbench(MemoryJournal(make_plan(1)), FixedClock(BEGIN_S + 60, "UTC"), "plain")
    lines = iter(["ack", "done", "more", "conditions 9C 60%", "quit"])
    written: list[str] = []
    assert run_plain(bench, lambda: next(lines), written.append) == 0
    assert list(bench.state.finished) == ["all/rip/rail"]
    assert bench.state.temperature_c == 9.0
    assert "take 1: Dry fit (unit 1), u1/fit/dry, at the bench" in written
