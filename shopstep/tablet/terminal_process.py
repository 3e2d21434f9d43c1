"""One bench screen in a process of its own, for one tablet; its way in and out is textual-serve's.

Unlike the stock service: started without a shell and with a clean environment, no address is
opened and no file sent on its behalf, and it ends for certain. Imports textual-serve.
"""

from __future__ import annotations

import asyncio
import json
import os
from asyncio.subprocess import PIPE, Process
from collections.abc import Awaitable, Callable, Sequence
from contextlib import suppress

from textual_serve.app_service import AppService
from textual_serve.download_manager import DownloadManager

from shopstep.words import say

KEPT_NAMES = (
    "HOME", "LANG", "LC_ALL", "PATH", "SYSTEMROOT", "TEMP", "TMP", "TMPDIR", "TZ", "USERPROFILE",
    "APPDATA", "LOCALAPPDATA", "PYTHONPATH", "VIRTUAL_ENV",
    "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME",
)  # fmt: skip
"""What a screen is told of the environment of the server; nothing else."""
LEAVING_S = 3.0
"""How long a screen may take to leave before it is ended."""
MOST_PACKET = 8 * 1024 * 1024
MOST_LINES = 20
READY = b"__GANGLION__\n"
"""The line after which Textual's web driver speaks in packets."""
_DATA, _META = b"D", b"M"
_MOST_LETTERS = 400


def clean_environment(width: int, height: int) -> dict[str, str]:
    """What the screen's process is started with."""
    kept = {name: os.environ[name] for name in KEPT_NAMES if name in os.environ}
    return kept | {
        "TEXTUAL_DRIVER": "textual.drivers.web_driver:WebDriver",
        "TEXTUAL_COLOR_SYSTEM": "truecolor",
        "TERM": "xterm-256color",
        "TERM_PROGRAM": "textual",
        "COLUMNS": str(width),
        "ROWS": str(height),
        "PYTHONUNBUFFERED": "1",
    }


class TerminalProcess(AppService):
    """A bench screen that talks over a socket; ``problem`` says why it ended by itself."""

    def __init__(
        self,
        argv: Sequence[str],
        write_bytes: Callable[[bytes], Awaitable[None]],
        on_end: Callable[[], Awaitable[None]],
    ) -> None:
        async def write_nothing(_: str) -> None:
            """Texts are for addresses and files, which this page does not open."""

        super().__init__(
            "",
            write_bytes=write_bytes,
            write_str=write_nothing,
            close=on_end,
            download_manager=DownloadManager(),
        )
        self._argv = tuple(argv)
        self._errors = b""

    @property
    def problem(self) -> str:
        """The last line it complained with; empty where it left in peace."""
        if self._process is None or self._process.returncode in (0, None):
            return ""
        lines = self._errors.decode("utf-8", "replace").strip().splitlines()
        return lines[-1][:_MOST_LETTERS] if lines else say("The screen ended.")

    async def _open_app_process(self, width: int = 80, height: int = 24) -> Process:
        process = await asyncio.create_subprocess_exec(
            *self._argv,
            stdin=PIPE,
            stdout=PIPE,
            stderr=PIPE,
            env=clean_environment(width, height),
        )
        self._process, self._stdin = process, process.stdin
        return process

    async def run(self) -> None:
        """Pass on what the screen draws until it ends; then tell."""
        assert self._process is not None
        assert self._process.stdout is not None
        errors = asyncio.create_task(self._read_errors())
        try:
            await self._pass_on(self._process.stdout)
        except (asyncio.IncompleteReadError, ConnectionError, ValueError):
            pass
        finally:
            await self._see_off(self._process)
            await errors
        await self.remote_close()

    async def _pass_on(self, stdout: asyncio.StreamReader) -> None:
        for _ in range(MOST_LINES):
            if await stdout.readline() == READY:
                break
        while True:
            head = await stdout.readexactly(5)
            size = int.from_bytes(head[1:], "big")
            if size > MOST_PACKET:
                # not a packet: something printed over the stream
                raise ValueError
            payload = await stdout.readexactly(size)
            if head[:1] == _DATA:
                await self.on_data(payload)
            elif head[:1] == _META and json.loads(payload).get("type") == "exit":
                return

    async def _read_errors(self) -> None:
        assert self._process is not None
        assert self._process.stderr is not None
        while part := await self._process.stderr.read(4096):
            self._errors = (self._errors + part)[-8192:]

    async def stop(self) -> None:
        """Ask the screen to leave, and end it where it does not."""
        if self._task is None:
            return
        task, self._task = self._task, None
        await self.send_meta({"type": "quit"})
        with suppress(TimeoutError, asyncio.CancelledError):
            await asyncio.wait_for(asyncio.shield(task), LEAVING_S)
        if self._process is not None and self._process.returncode is None:
            with suppress(ProcessLookupError):
                self._process.kill()
        with suppress(Exception):
            await task

    async def _see_off(self, process: Process) -> None:
        """Wait for the end of the process; end it where it lingers."""
        try:
            await asyncio.wait_for(process.wait(), LEAVING_S)
        except TimeoutError:
            with suppress(ProcessLookupError):
                process.kill()
            await process.wait()
