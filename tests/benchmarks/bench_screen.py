"""How quick and how light the bench screen is: ``python -m tests.benchmarks.bench_screen``.

First frame of ``resume`` beside that of an empty Textual app, in turns in one run, by the clock
and by processor time (which a busy machine does not change); key to repaint at 120 by 40 with six
timers, likewise; idle processor time with timers; memory of the process. The screens run on a
pseudo terminal, so it needs a system that has one.
"""

from __future__ import annotations

import asyncio
import os
import pty
import select
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
import time
from dataclasses import replace
from fcntl import ioctl
from pathlib import Path

EMPTY_APP = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self):
        yield Static("ready when you see this")
Empty().run()
"""
RUNS = 7
KEYS = 60
IDLE_S = 20
TIMERS = 6


class Terminal:
    """A program on a pseudo terminal of 120 by 40 cells."""

    def __init__(self, command: list[str], environment: dict[str, str]) -> None:
        self.began = time.monotonic()
        ours, theirs = pty.openpty()
        ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))
        self.process = subprocess.Popen(
            command, stdin=theirs, stdout=theirs, stderr=theirs, env=environment, close_fds=True
        )
        os.close(theirs)
        self._file = ours
        self.seen = b""

    def wait_for(self, words: bytes, limit_s: float = 30) -> float:
        """Seconds from the start until the words were painted."""
        while words not in self.seen:
            if not self.read(limit_s):
                raise TimeoutError(self.seen[-500:])
        return time.monotonic() - self.began

    def read(self, limit_s: float) -> bool:
        """Read what was painted; False where nothing came."""
        ready, _, _ = select.select([self._file], [], [], limit_s)
        if ready:
            self.seen += os.read(self._file, 65536)
        return bool(ready)

    def drain(self, seconds: float) -> None:
        """Read for so long."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            self.read(left)

    def close(self) -> None:
        """End the program."""
        self.process.kill()
        self.process.wait()
        os.close(self._file)


def first_frames(folder: Path) -> tuple[list[float], list[float]]:
    """Median seconds to the first frame, by clock and by processor: of resume, of an empty app."""
    environment = os.environ | {"XDG_DATA_HOME": str(folder), "TERM": "xterm-256color"}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # both compiled before, as installed ones are
    shopstep = [sys.executable, "-m", "shopstep"]
    make = [*shopstep, "start", "screened-floor", "--units", "2", "--temperature", "18 C"]
    subprocess.run([*make, "--plain"], env=environment, input=b"", capture_output=True, check=True)
    resumed: list[tuple[float, float]] = []
    empty: list[tuple[float, float]] = []
    for _ in range(RUNS):
        for command, words, times in (
            ([*shopstep, "resume"], b"whole batch", resumed),
            ([sys.executable, "-c", EMPTY_APP], b"ready when", empty),
        ):
            terminal = Terminal(command, environment)
            passed = terminal.wait_for(words)
            times.append((passed, _running_s(terminal.process.pid)))
            terminal.close()
    return [statistics.median(part) for part in zip(*resumed, strict=True)], [
        statistics.median(part) for part in zip(*empty, strict=True)
    ]


def idle_and_memory(folder: Path) -> tuple[float, float]:
    """Share of one processor while nothing is done, and MB of the process at its largest."""
    terminal = Terminal(
        [sys.executable, "-c", "from tests.benchmarks.bench_screen import serve; serve()"],
        os.environ | {"XDG_DATA_HOME": str(folder), "TERM": "xterm-256color"},
    )
    terminal.wait_for(b"clamps")
    terminal.drain(3)
    before = _processor_s(terminal.process.pid)
    terminal.drain(IDLE_S)
    used = _processor_s(terminal.process.pid) - before
    memory = _peak_mb(terminal.process.pid)
    terminal.close()
    return used / IDLE_S, memory


def _processor_s(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _running_s(pid: int) -> float:
    """Processor time of all threads that live, to the nanosecond (Linux, proc(5): schedstat)."""
    threads = Path(f"/proc/{pid}/task").glob("*/schedstat")
    return sum(int(thread.read_text(encoding="utf-8").split()[0]) for thread in threads) / 1e9


def _peak_mb(pid: int) -> float:
    rows = Path(f"/proc/{pid}/status").read_text(encoding="utf-8").splitlines()
    peak = next(row for row in rows if row.startswith("VmHWM"))
    return int(peak.split()[1]) / 1024


def serve() -> None:
    """The bench screen with six timers that run by the real clock."""
    from shopstep.tui import run_bench
    from tests.fake_bench import FakeBench

    class Live(FakeBench):
        def now_s(self) -> int:
            return int(time.time())

    run_bench(Live(_card_with_timers(int(time.time()))))


def _card_with_timers(now_s: int):  # type: ignore[no-untyped-def]
    from tests.fake_bench import CLAMP_TIMER, GLUE, GLUE_TIMER

    glue = replace(GLUE_TIMER, started_s=now_s - 10, due_s=now_s + 290)
    waits = tuple(
        replace(CLAMP_TIMER, name=f"clamps, unit {n}", started_s=now_s, due_s=now_s + 600 * n)
        for n in range(2, TIMERS + 1)
    )
    return replace(GLUE, timers=(glue, *waits))


async def key_to_repaint() -> list[tuple[float, float]]:
    """Seconds, by clock and by processor, from a key until all was laid out and painted again."""
    from tests.fake_bench import NOW_S, FakeBench
    from tests.tui_pilot import sight_of

    times = []
    async with sight_of(FakeBench(_card_with_timers(NOW_S)), (120, 40)) as sight:
        for turn in range(KEYS):
            sight.clock.pass_by(1)
            before = time.perf_counter(), time.process_time()
            sight.app.simulate_key(("v", "pageup", "v", "left")[turn % 4])
            await sight.pilot.pause()
            times.append((time.perf_counter() - before[0], time.process_time() - before[1]))
    return times


def main() -> None:
    """Print the figures beside what they are to be."""
    with tempfile.TemporaryDirectory() as place:
        resumed, empty = first_frames(Path(place))
        idle, memory = idle_and_memory(Path(place))
    keys = [sorted(part) for part in zip(*asyncio.run(key_to_repaint()), strict=True)]
    clock, processor = (part[int(len(part) * 0.95)] * 1000 for part in keys)
    for name, ours, bare in zip(("clock", "processor"), resumed, empty, strict=True):
        print(f"first frame by {name}: resume {ours:.3f} s, empty app {bare:.3f} s")
        print(f"  ratio {ours / bare:.2f} (wanted 1.3; see DEVELOPERS, First frame)")
    print(f"key to repaint, 120x40, {TIMERS} timers: p95 {clock:.0f} ms (at most 50)")
    print(f"  by processor {processor:.0f} ms")
    print(f"idle with {TIMERS} timers: {idle:.1%} of one processor (under 2 %)")
    print(f"memory at its largest: {memory:.0f} MB (under 120)")


if __name__ == "__main__":
    main()
