"""The door of a running session: one card, one way in, several faces."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from shopstep.model.plan import (
    Plan,
)
from shopstep.present.card import CardMode
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.events import Moment
from shopstep.session.evolve import fold
from shopstep.storage.clock import FixedClock
from shopstep.storage.session_file import SessionFile
from shopstep.workbench import VersionTaken, Workbench
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import (
    RIP,
    MemoryJournal,
    first_events,
    make_request,
    moment_at,
    new_id,
)
from tests.workbench_door import do, open_bench


class TwoHands:
    """A clock whose wall time and monotonic time are set apart."""

    def __init__(self, at_s: int) -> None:
        self.at_s = at_s
        self.monotonic_s = 50

    def now(self) -> Moment:
        """What both hands show."""
        return Moment(self.at_s, "UTC", "boot", self.monotonic_s * 1_000_000_000)


def test_the_card_shows_the_first_step_and_its_caution() -> None:
    bench, _ = open_bench(MemoryJournal())
    card = bench.card()
    assert (card.step_id, card.mode, card.version) == (RIP, CardMode.CAUTION, 2)
    assert [step.id for step in bench.ready()] == [RIP]


def test_an_accepted_command_gives_the_new_card_and_what_was_stored() -> None:
    bench, _ = open_bench(MemoryJournal(), face="tablet")
    outcome = do(bench, c.AcknowledgeCaution(id="a"))
    (stored,) = outcome.envelopes
    assert stored.event == e.CautionAcknowledged(RIP, ("table_saw",))
    assert (stored.version, stored.face, stored.command_id) == (3, "tablet", "a")
    assert outcome.card == bench.card()
    assert outcome.card.mode is CardMode.STEP


def test_a_command_is_on_disk_before_it_is_confirmed(tmp_path: Path) -> None:
    path, plan = tmp_path / "floors.session", make_plan()
    first = first_events(plan)
    with SessionFile.create(path, make_request(), plan, first, moment_at(BEGIN_S), "bench") as file:
        bench = Workbench(file, FixedClock(BEGIN_S), "bench")
        outcome = do(bench, c.AcknowledgeCaution(id="a"))
        with SessionFile.open(path) as other:
            assert other.events_after(2) == outcome.envelopes
            assert Workbench(other, FixedClock(BEGIN_S), "do").card() == outcome.card


def test_a_refusal_leaves_nothing_behind() -> None:
    journal = MemoryJournal()
    bench, _ = open_bench(journal)
    before = bench.state
    outcome = bench.do(c.FinishStep(id="f"))
    assert isinstance(outcome, c.Refusal)
    assert outcome.rule == "caution_open"
    assert (bench.state, len(journal.stored)) == (before, 2)


def test_a_command_that_is_repeated_is_answered_and_not_decided_again() -> None:
    bench, clock = open_bench(MemoryJournal())
    do(bench, c.AcknowledgeCaution(id="a"))
    first = do(bench, c.FinishStep(id="f"))
    clock.at_s += 60
    again = do(bench, c.FinishStep(id="f"))
    assert again.envelopes == first.envelopes
    assert set(bench.state.finished) == {RIP}


def test_a_command_that_another_face_stored_is_known_too() -> None:
    journal = MemoryJournal()
    bench, _ = open_bench(journal)
    other, _ = open_bench(journal, face="tablet")
    stored = do(other, c.AcknowledgeCaution(id="a")).envelopes
    assert do(bench, c.AcknowledgeCaution(id="a")).envelopes == stored


def test_what_another_face_did_shows_on_the_card_and_in_the_changes() -> None:
    journal = MemoryJournal()
    bench, _ = open_bench(journal)
    other, _ = open_bench(journal, face="tablet")
    seen = bench.card().version
    do(other, c.AcknowledgeCaution(id="a"))
    do(other, c.FinishStep(id="f"))
    assert [one.face for one in bench.changes_since(seen)] == ["tablet"] * 3
    assert bench.card().step_id == "u1/fit/dry"
    assert bench.changes_since(bench.state.version) == ()
    assert bench.changes_since(0) == tuple(journal.stored)


class Interrupted(MemoryJournal):
    """A journal into which somebody else writes just before we do."""

    def __init__(self) -> None:
        super().__init__()
        self.interrupt: Callable[[], object] | None = None

    def append(
        self,
        expected_version: int,
        events: tuple[e.Event, ...],
        moment: e.Moment,
        face: str,
        command_id: str,
        plan: Plan | None = None,
    ) -> tuple[e.Envelope, ...]:
        """Lets the other go first, once."""
        interrupt, self.interrupt = getattr(self, "interrupt", None), None
        if interrupt is not None:
            interrupt()
        return super().append(expected_version, events, moment, face, command_id, plan)


def test_a_step_that_another_face_finished_first_is_not_finished_twice() -> None:
    journal = Interrupted()
    bench, _ = open_bench(journal)
    other, _ = open_bench(journal, face="tablet")
    do(bench, c.AcknowledgeCaution(id="a"))
    journal.interrupt = lambda: do(other, c.FinishStep(id="theirs", step=RIP))
    outcome = do(bench, c.FinishStep(id="ours", step=RIP))
    assert outcome.envelopes == ()
    assert outcome.card.step_id == "u1/fit/dry"
    assert [one.command_id for one in journal.stored if isinstance(one.event, e.StepFinished)] == [
        "theirs"
    ]


def test_a_command_is_decided_anew_on_what_another_face_wrote() -> None:
    journal = Interrupted()
    bench, _ = open_bench(journal)
    other, _ = open_bench(journal, face="tablet")
    journal.interrupt = lambda: do(other, c.HoldBatch(id="hold"))
    outcome = bench.do(c.AcknowledgeCaution(id="a"))
    assert isinstance(outcome, c.Refusal)
    assert outcome.rule == "held"


def test_a_face_that_is_always_too_late_gives_up_and_says_so() -> None:
    class Taken(MemoryJournal):
        def append(
            self,
            expected_version: int,
            events: tuple[e.Event, ...],
            moment: e.Moment,
            face: str,
            command_id: str,
            plan: Plan | None = None,
        ) -> tuple[e.Envelope, ...]:
            if command_id == "a":
                raise VersionTaken
            return super().append(expected_version, events, moment, face, command_id, plan)

    bench, _ = open_bench(Taken())
    outcome = bench.do(c.AcknowledgeCaution(id="a"))
    assert isinstance(outcome, c.Refusal)
    assert outcome.rule == "busy"


def test_now_is_never_before_the_latest_moment_of_the_session() -> None:
    clock = TwoHands(BEGIN_S - 999)
    bench = Workbench(MemoryJournal(), clock, "bench")
    assert bench.now_s() == BEGIN_S
    clock.at_s = BEGIN_S + 5
    assert bench.now_s() == BEGIN_S + 5
    assert "clock" not in bench.card().notice


def test_times_run_on_while_the_machines_clock_is_behind_and_the_card_says_so() -> None:
    clock = TwoHands(BEGIN_S - 86400)
    bench = Workbench(MemoryJournal(), clock, "bench")
    assert bench.now_s() == BEGIN_S
    clock.at_s += 30
    clock.monotonic_s += 30
    assert bench.now_s() == BEGIN_S + 30
    assert "clock is 1 day behind" in bench.card().notice


def test_a_whole_batch_can_be_worked_through_the_door() -> None:
    journal = MemoryJournal()
    bench, clock = open_bench(journal)
    for _ in range(200):
        clock.at_s += 60
        card = bench.card()
        if card.mode is CardMode.COMPLETE:
            break
        step = card.step_id or None
        if card.mode is CardMode.WAITING:
            clock.at_s += 14400
        elif card.mode is CardMode.CAUTION:
            do(bench, c.AcknowledgeCaution(id=new_id(), step=step))
        elif any(not check.measured and check.expected for check in card.checks):
            value = make_plan().kinds[4].checks[0].tolerance
            do(
                bench,
                c.TakeMeasure(id=new_id(), step=step, name=card.checks[0].name, value=value),
            )
        else:
            do(bench, c.FinishStep(id=new_id(), step=step, seen=card.version))
    assert bench.card().mode is CardMode.COMPLETE
    assert bench.state == fold(journal.stored)


# --- what a running session costs -------------------------------------------------------------


@pytest.mark.parametrize(
    ("module", "absent"),
    [
        ("shopstep.workbench", {"sqlite3", "textual", "rich", "pydantic", "pint", "ortools"}),
        ("shopstep.storage.session_file", {"textual", "rich", "pydantic", "pint", "numpy"}),
    ],
)
def test_a_running_session_loads_nothing_heavy(module: str, absent: set[str]) -> None:
    code = f"import sys, {module}; print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=Path(__file__).parent.parent,
        capture_output=True,
        text=True,
        check=True,
    )
    assert absent & set(done.stdout.split()) == set()
