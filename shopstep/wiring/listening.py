"""The real ear of a face: a process of its own, orders and news through threads.

Nothing of the recogniser is imported here, and no call waits. Whatever goes wrong with the process
is one sentence, and all else works on.
"""

from __future__ import annotations

import queue
import subprocess
import sys
import threading
from collections.abc import Sequence
from contextlib import suppress

from shopstep.voice.hear_news import News, Order, Trouble, order_line, read_news, sound_line
from shopstep.words import say, to_say

CHILD = (sys.executable, "-m", "shopstep.wiring.hearing_child")
FED = (*CHILD, "--fed")
"""It has no microphone and hears what it is fed."""
OPEN = "--open"
"""Said to the process where it listens always."""
HAS_ENDED = to_say("Hearing has ended; tap instead, or leave and resume to hear again.")


class ChildEars:
    """Listens in a process beside the face, from ``start`` to ``stop``."""

    def __init__(
        self,
        command: Sequence[str] = CHILD,
        has_ended: str = HAS_ENDED,
        *,
        is_always_open: bool = False,
    ) -> None:
        self._command = (*command, *([OPEN] if is_always_open else []))
        self._has_ended = has_ended
        self._orders: queue.SimpleQueue[Order | bytes | None] = queue.SimpleQueue()
        self._news: queue.SimpleQueue[News] = queue.SimpleQueue()
        self._lock = threading.Lock()
        self._child: subprocess.Popen[str] | None = None
        self._is_stopped = False

    def start(self) -> None:
        """Begin; news come once it hears, or cannot."""
        threading.Thread(target=self._read, name="ear", daemon=True).start()

    def order(self, order: Order) -> None:
        """What it is to do from now on."""
        self._orders.put(order)

    def feed(self, sound: bytes) -> None:
        """Sound of a microphone elsewhere, for a process that is ``FED``: 16 kHz, mono, 16 bit."""
        self._orders.put(sound)

    def news(self) -> list[News]:
        """All that it told since the last call."""
        found: list[News] = []
        while not self._news.empty():
            found.append(self._news.get())
        return found

    def stop(self) -> None:
        """Nothing is heard any more; does not wait for it."""
        with self._lock:
            self._is_stopped = True
            if self._child is not None:
                self._child.kill()
        self._orders.put(None)

    def _read(self) -> None:
        try:
            child = self._begin()
        except OSError as problem:
            self._news.put(Trouble(say("Hearing cannot be started: {problem}.", problem=problem)))
            return
        if child is None or child.stdout is None:
            return
        threading.Thread(target=self._write, args=(child,), name="orders", daemon=True).start()
        told: News | None = None
        with suppress(ValueError), child.stdout:
            for line in child.stdout:
                told = read_news(line)
                self._news.put(told)
        child.kill()
        child.wait()
        self._orders.put(None)
        if not isinstance(told, Trouble) and not self._is_stopped:
            self._news.put(Trouble(say(self._has_ended)))

    def _begin(self) -> subprocess.Popen[str] | None:
        with self._lock:
            if not self._is_stopped:
                self._child = subprocess.Popen(
                    self._command, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL, text=True, encoding="utf-8",
                )  # fmt: skip
            return self._child

    def _write(self, child: subprocess.Popen[str]) -> None:
        assert child.stdin is not None
        with suppress(OSError):  # whoever is gone needs no orders
            while (order := self._orders.get()) is not None:
                line = sound_line(order) if isinstance(order, bytes) else order_line(order)
                child.stdin.write(line + "\n")
                child.stdin.flush()
            child.stdin.close()
