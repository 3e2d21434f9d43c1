"""Keeps every page up to date: the card when it changes, the clocks each second.

A page never counts by itself, so where nothing comes nothing looks alive. Imports the thread of
the session and aiohttp's sockets.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from shopstep.tablet.bell import Bell
from shopstep.tablet.bench_thread import BenchThread, Look
from shopstep.words import say

if TYPE_CHECKING:
    from aiohttp import web

LOOK_S = 0.2
"""How often the session is looked at while somebody watches."""
CLOCK_S = 1.0
SEND_S = 5.0
"""A page that does not take what it is sent for so long is gone."""
LET_GO = 4401
"""Closing code: the device is not paired any more."""


class Watcher:
    """One page: what it was sent last, and the socket to it."""

    def __init__(self, socket: web.WebSocketResponse, device: str) -> None:
        self.device = device
        self.hears = False
        """Whether the page can sound alarms: it was tapped, and is in sight."""
        self._socket = socket
        self._sheet = ""
        self._lock = asyncio.Lock()

    async def show(self, look: Look) -> None:
        """The clocks; the card too where it is another one."""
        if self._sheet != look.sheet:
            await self._send(f'{{"kind": "card", "card": {look.sheet}}}')
            self._sheet = look.sheet
        await self.tell({"kind": "clock"} | look.clocks)

    async def tell(self, message: dict[str, Any]) -> None:
        """One message; a page that is gone hears nothing."""
        await self._send(json.dumps(message, ensure_ascii=False))

    async def _send(self, text: str) -> None:
        with suppress(ConnectionError, RuntimeError):
            try:
                async with asyncio.timeout(SEND_S), self._lock:
                    await self._socket.send_str(text)
            except TimeoutError:
                await self.close(1001)

    async def close(self, code: int) -> None:
        """Close the socket, and say by a code why."""
        with suppress(ConnectionError, RuntimeError):
            await self._socket.close(code=code)


class Feed:
    """Looks at the session, tells the watchers, and rings where none of them can."""

    def __init__(
        self,
        bench: BenchThread,
        is_paired: Callable[[str], bool],
        tell: Callable[[str], None],
        bell: Bell,
    ) -> None:
        self._bell = bell
        self._bench = bench
        self._is_paired = is_paired
        self._tell = tell
        self._watchers: set[Watcher] = set()
        self._changed = asyncio.Event()
        self._task: asyncio.Task[None] | None = None
        self._last: Look | None = None

    @property
    def count(self) -> int:
        """How many pages watch."""
        return len(self._watchers)

    def start(self) -> None:
        """Begin to look."""
        self._task = asyncio.create_task(self._run())

    async def stop(self) -> None:
        """Stop looking, and close every page's socket."""
        if self._task is not None:
            self._task.cancel()
            with suppress(asyncio.CancelledError):
                await self._task
        await asyncio.gather(*(watcher.close(1001) for watcher in self._watchers))

    def add(self, watcher: Watcher) -> None:
        """A page watches from now on; it is shown the card at once."""
        self._watchers.add(watcher)
        self._last = None
        self._changed.set()

    def remove(self, watcher: Watcher) -> None:
        """A page is gone."""
        self._watchers.discard(watcher)

    def look_now(self) -> None:
        """Something was done: look without waiting."""
        self._changed.set()

    async def _run(self) -> None:
        told = 0.0
        while True:
            pause = LOOK_S if self._watchers else CLOCK_S
            with suppress(TimeoutError):
                await asyncio.wait_for(self._changed.wait(), pause)
            self._changed.clear()
            now = asyncio.get_running_loop().time()
            is_second = now - told >= CLOCK_S
            if await self._look(is_second):
                told = now

    async def _look(self, is_second: bool) -> bool:
        """Look once, and tell what is new; True where the clocks were told."""
        try:
            look = await self._next_look()
        except Exception as problem:  # a card that was pulled out, a full disk: it may come back
            await self._all({"kind": "trouble", "text": _trouble(problem)})
            self._tell(say("the session cannot be read"))
            self._last = None
            await asyncio.sleep(CLOCK_S)
            return False
        if is_second:
            await self._second(look.clocks)
        is_news = self._last is None or look.sheet != self._last.sheet
        if not (is_second or is_news):
            return False
        self._last = look
        await asyncio.gather(*(watcher.show(look) for watcher in tuple(self._watchers)))
        return True

    async def _next_look(self) -> Look:
        """The next look; while the session makes a plan, the clocks go on without it."""
        asked = asyncio.create_task(self._bench.look())
        try:
            while not (await asyncio.wait({asked}, timeout=CLOCK_S))[0]:
                clocks = self._bench.clocks_meanwhile()
                if clocks is not None:
                    await self._second(clocks)
                    await self._all({"kind": "clock"} | clocks)
            return asked.result()
        finally:
            asked.cancel()

    async def _second(self, clocks: dict[str, Any]) -> None:
        """What is done once a second: ring, and let go who is not paired any more."""
        self._bell.look(clocks, is_heard=any(watcher.hears for watcher in self._watchers))
        await self._let_go()

    async def _let_go(self) -> None:
        for watcher in tuple(self._watchers):
            if not self._is_paired(watcher.device):
                await watcher.close(LET_GO)

    async def _all(self, message: dict[str, Any]) -> None:
        await asyncio.gather(*(watcher.tell(message) for watcher in tuple(self._watchers)))


def _trouble(problem: Exception) -> str:
    return say(
        "The session cannot be read just now: {problem}.", problem=str(problem).removesuffix(".")
    )
