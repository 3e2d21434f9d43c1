"""One question to a process of its own, and its answer: a line each way.

The process is ended when it has answered, at its deadline, and on ``stop``. Nothing is imported
before it is asked, for the screen does not wait for it.
"""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import subprocess


class ChildAnswer:
    """For one question; ``ask`` in a thread, ``stop`` from any other."""

    def __init__(self, command: tuple[str, ...], deadline_s: float) -> None:
        self._command = command
        self._deadline_s = deadline_s
        self._lock = threading.Lock()
        self._process: subprocess.Popen[str] | None = None
        self.is_stopped = False
        """Nobody wants the answer any more."""

    @property
    def pid(self) -> int | None:
        """Of the process that is asked; None while there is none."""
        process = self._process
        return None if process is None else process.pid

    def ask(self, question: str) -> str:
        """The line that the process answers; empty where it gives none in time.

        OSError where no process can be started, or where it goes before it has read.
        """
        import subprocess

        with self._lock:
            if self.is_stopped:
                return ""
            process = self._process = subprocess.Popen(
                self._command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                text=True,
            )
        timer = threading.Timer(self._deadline_s, process.kill)
        timer.daemon = True
        timer.start()
        try:
            if process.stdin is None or process.stdout is None:
                return ""
            process.stdin.write(question + "\n")
            process.stdin.flush()
            return process.stdout.readline()
        finally:
            timer.cancel()
            self._end(process)

    def stop(self) -> None:
        """Ends the process; does not wait for it."""
        with self._lock:
            self.is_stopped = True
            if self._process is not None:
                self._process.kill()

    def _end(self, process: subprocess.Popen[str]) -> None:
        with self._lock:
            self._process = None
        process.kill()
        process.wait()
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                try:
                    pipe.close()
                except OSError:
                    continue
