"""The real tablet server in a process of its own, and a session for it to serve."""

from __future__ import annotations

import os
import queue
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Sequence
from pathlib import Path
from uuid import uuid4

from shopstep.present.card import StepCard
from shopstep.present.phrases import parse_command
from shopstep.session.commands import Refusal
from shopstep.wiring.benches import OpenSession, open_session
from shopstep.wiring.clocks import make_clock

ROOT = Path(__file__).parent.parent
PATIENCE_S = 60.0
CODE = re.compile(r"Code: (\d{4}) (\d{4})")


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def make_session(folder: Path) -> Path:
    """The smallest build that ships with the program, begun in a file of its own."""
    places = {name: str(folder / name.lower()) for name in PLACES}
    run = [sys.executable, "-m", "shopstep"]
    for words in (
        ["new", "herb-box"],
        ["start", "herb-box.yaml", "--temperature", "18 C", "--session", "box.session", "--plain"],
    ):
        subprocess.run(
            [*run, *words],
            cwd=folder,
            env=os.environ | places | {"PYTHONPATH": str(ROOT)},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            check=True,
        )
    return folder / "box.session"


PLACES = ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME")
LEADING = ("ack", "measure", "start", "done")


def walk(path: Path, until: str) -> None:
    """Go through the session as a person would, up to the step of that id."""
    opened = open_session(str(path), make_clock(None), "do")
    with opened.journal:
        for _ in range(60):
            card = opened.bench.card()
            if card.step_id == until:
                return
            lead_on(opened, card)
    raise AssertionError(f"the session never came to {until}")


def lead_on(opened: OpenSession, card: StepCard) -> None:
    """Do what the card says: an answer, a number as planned, a tick."""
    offered = {action.id for action in card.actions}
    word = next(name for name in LEADING if name in offered)
    words = [word]
    if word == "measure":
        check = next(c for c in card.checks if c.expected_nm is not None and not c.within)
        words = ["measure", check.name, *check.expected.split()]
    command = parse_command(words, card, None, uuid4().hex)
    assert not isinstance(command, str), command
    outcome = opened.bench.do(command)
    if isinstance(outcome, Refusal):
        assert outcome.rule == "label", outcome
        asked = parse_command(["label", "8", "min"], card, None, uuid4().hex)
        assert not isinstance(asked, str), asked
        opened.bench.do(asked)


def card_of(path: Path) -> StepCard:
    """What stands at the bench, read from the file by another face."""
    opened = open_session(str(path), make_clock(None), "do")
    with opened.journal:
        return opened.bench.card()


class TabletRun:
    """``shopstep tablet`` as a person starts it; lines that it prints, and keys that are typed."""

    def __init__(self, session: Path, *words: str, port: int | None = None) -> None:
        self.session = session
        self.folder = session.parent
        self.port = port or free_port()
        self.log: list[str] = []
        self.printed: list[str] = []
        """What it showed to the person."""
        self.code = ""
        """A pairing code that was read already."""
        self._said: queue.Queue[str] = queue.Queue()
        self._words = words
        self._start()

    @property
    def url(self) -> str:
        """Where it is served."""
        return f"http://127.0.0.1:{self.port}"

    def run(self, *words: str) -> subprocess.CompletedProcess[str]:
        """Another command of the same person."""
        return subprocess.run(
            [sys.executable, "-m", "shopstep", *words],
            env=self._environment(),
            capture_output=True,
            text=True,
            check=False,
            stdin=subprocess.DEVNULL,
        )

    def _environment(self) -> dict[str, str]:
        places = {name: str(self.folder / name.lower()) for name in PLACES}
        return os.environ | places | {"PYTHONPATH": str(ROOT), "SECRET_OF_THE_SHELL": "hush"}

    def _start(self) -> None:
        words: Sequence[str] = (str(self.session), "--port", str(self.port), *self._words)
        self.process = subprocess.Popen(
            [sys.executable, "-m", "shopstep", "tablet", *words],
            env=self._environment(),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            bufsize=1,
        )
        self._readers = [
            threading.Thread(target=self._read_words, daemon=True),
            threading.Thread(target=self._read_log, daemon=True),
        ]
        for reader in self._readers:
            reader.start()

    def _read_words(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.printed.append(line)
            self._said.put(line)

    def _read_log(self) -> None:
        assert self.process.stderr is not None
        for line in self.process.stderr:
            self.log.append(line)

    def next_code(self) -> str:
        """The next pairing code that it prints."""
        ends = time.monotonic() + PATIENCE_S
        while time.monotonic() < ends:
            try:
                match = CODE.search(self._said.get(timeout=0.2))
            except queue.Empty:
                assert self.process.poll() is None, "".join(self.log)
                continue
            if match:
                return match[1] + match[2]
        raise AssertionError("no code came")

    def new_code(self) -> str:
        """Press Enter, and read the code that comes."""
        assert self.process.stdin is not None
        self.process.stdin.write("\n")
        self.process.stdin.flush()
        return self.next_code()

    def kill(self) -> None:
        """As a power cut does."""
        self.process.kill()
        self._wait()

    def start_again(self) -> None:
        """The same command once more."""
        self._start()

    def stop(self) -> int:
        """Ctrl-C; the exit code."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
        return self._wait()

    def _wait(self) -> int:
        code = self.process.wait(timeout=PATIENCE_S)
        for reader in self._readers:
            reader.join(timeout=5)
        for stream in (self.process.stdin, self.process.stdout, self.process.stderr):
            if stream is not None:
                stream.close()
        return code

    def screens(self) -> list[int]:
        """Process ids of the bench screens that it started (Linux)."""
        children = Path(f"/proc/{self.process.pid}/task").glob("*/children")
        pids = [int(child) for file in children for child in file.read_text().split()]
        return [pid for pid in pids if is_screen(pid)]


def is_screen(pid: int) -> bool:
    """Whether a process is a bench screen that still runs (Linux)."""
    try:
        return b"tablet_screen" in Path(f"/proc/{pid}/cmdline").read_bytes()
    except OSError:  # it has just gone
        return False
