"""When a tablet vanishes, the machine that serves sounds the alarms itself."""

from __future__ import annotations

import json
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopstep.session.commands import Command, Refusal
from shopstep.tablet import server as server_module
from tests.fake_bench import GLUE, GLUE_TIMER, Answered, FakeBench
from tests.raw_web import frame, next_text
from tests.tablet_served import Served, wait_until

HALF_S, LATE_S = GLUE_TIMER.started_s + 160, GLUE_TIMER.due_s + 5
NOTICED_S = 3.0
"""A lost tablet is noticed after one and a half heartbeats, and the bell looks each second."""


@pytest.fixture
def served(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Served]:
    """Glue is open; a silent page is noticed soon."""
    monkeypatch.setattr(server_module, "HEARTBEAT_S", 0.8)
    bench = FakeBench(GLUE)
    bench.time_s = GLUE_TIMER.started_s + 10
    started = Served(tmp_path, bench)
    yield started
    started.stop()


def watch(served: Served, *, hears: bool) -> socket.socket:
    """A page of a paired tablet that watches; it was tapped where it hears."""
    link, reply = served.paired_web().open("/card")
    assert reply.status == 101
    next_text(link, "card")
    act = "hear on" if hears else "hear off"
    asked = {"id": "b" * 32, "act": act, "step": "", "seen": 0}
    link.sendall(frame(json.dumps(asked).encode()))
    next_text(link, "clock")
    return link


def test_who_is_gone_with_the_wifi_is_rung_for_here(served: Served) -> None:
    with closing(watch(served, hears=True)) as link:
        next_text(link, "clock")
        served.bench.time_s = HALF_S
        time.sleep(0.5)
        assert served.alarm.sounded == [], "the tablet sounds"
        # from now on nothing comes back from it, as from one without Wi-Fi; nothing is closed
        served.bench.time_s = LATE_S
        wait_until(lambda: "late" in served.alarm.sounded, "the machine rings", 2 * NOTICED_S)
    assert any("glue, unit 1: " in line for line in served.log)


def test_who_closes_the_page_is_rung_for_at_once(served: Served) -> None:
    watch(served, hears=True).close()
    time.sleep(1.2)
    served.bench.time_s = LATE_S
    assert wait_until(lambda: served.alarm.sounded == ["late"], "it rings") < NOTICED_S


def test_a_page_that_was_never_tapped_cannot_sound_so_the_machine_does(served: Served) -> None:
    with closing(watch(served, hears=False)):
        time.sleep(1.2)
        served.bench.time_s = LATE_S
        wait_until(lambda: served.alarm.sounded == ["late"], "it rings", NOTICED_S)


class LongThought(FakeBench):
    """Works a new plan out for as long as it is told to."""

    def __init__(self) -> None:
        super().__init__(GLUE)
        self.is_thinking = threading.Event()
        self.has_thought = threading.Event()

    def do(self, command: Command) -> Answered | Refusal:
        """As any bench, later."""
        self.is_thinking.set()
        assert self.has_thought.wait(10)
        return super().do(command)


def test_glue_is_counted_and_rung_for_while_a_new_plan_is_made(tmp_path: Path) -> None:
    bench = LongThought()
    bench.time_s = GLUE_TIMER.due_s - 2
    served = Served(tmp_path, bench)
    try:
        with closing(watch(served, hears=False)) as link:
            asked = {"id": "c" * 32, "act": "do done", "step": "", "seen": 7}
            link.sendall(frame(json.dumps(asked).encode()))
            assert bench.is_thinking.wait(10)
            left = {str(next_text(link, "clock")["timers"]) for _ in range(4)}
            assert len(left) >= 3, left
            wait_until(lambda: "late" in served.alarm.sounded, "it is rung for")
    finally:
        bench.has_thought.set()
        served.stop()
