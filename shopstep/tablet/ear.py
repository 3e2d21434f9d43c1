"""``/ear``: a tablet's microphone while it is open, one socket for each opening.

The page sends sound and nothing else: binary frames of 16 kHz, mono, 16 bit, low byte first; the
first one is what was heard just before the button was down, an empty one says that this was all.
How much, how fast and how long is bounded; one tablet is heard at a time; no sound is kept. Nothing
of ``voice`` is loaded before a tablet listens. Imports aiohttp, the thread of the session, the
ports.
"""

from __future__ import annotations

import asyncio
import json
import re
import time
from collections.abc import Callable
from contextlib import suppress
from enum import Enum
from typing import TYPE_CHECKING, Any

from aiohttp import WSMsgType, web

from shopstep.tablet.bench_thread import BenchThread
from shopstep.tablet.guard import Guard
from shopstep.tablet.ports import EarMaker
from shopstep.words import say, to_say

if TYPE_CHECKING:
    from shopstep.tablet.hearing import Hearing, Opening

PATH = "/ear"
YES, NO = "heard yes", "heard no"
"""What a page sends on its other socket where the answer to what was asked back is tapped."""
BYTES_A_SECOND = 32_000
MOST_SOUND = 40_000
"""Bytes in a frame: a good second."""
AHEAD_S = 3.0
"""So much more sound than time may come: what was heard before, and a hitch of the network."""
SILENT_S = 3.0
"""A page that sends nothing for so long is gone."""
HELD_S = 15.0
"""The button may be held so long."""
MOST_S = 20.0
"""An opening is over after this, whatever comes."""
JUDGE_S = 10.0
"""So long what was said last is waited for; the first time the ear is still being loaded."""
IDLE_S = 300.0
"""The ear is let go when nobody listened for so long."""
LOOK_S = 0.03
PAIRED_S = 0.5
"""How often it is looked whether the device is still paired."""
CLOSE_S = 2.0
LET_GO, FULL, BAD = 4401, 4429, 1008
BUSY = to_say("Another tablet listens just now; wait until it has heard, or tap.")
CHANGED = to_say("The card has changed; look, and say it again.")
LATE = to_say("Hearing took too long; say it again, or tap.")
NOT_SAVED = to_say("This was not saved, nothing has changed: {problem}. Say it again, or tap.")
HAS_ENDED = to_say("Hearing has ended; press again, or tap.")
_CLOSED = (WSMsgType.CLOSE, WSMsgType.CLOSING, WSMsgType.CLOSED, WSMsgType.ERROR)
_SEEN = re.compile(r"\d{1,15}")
Values = dict[str, Any]


class End(Enum):
    """Why no more sound is taken."""

    GONE = to_say("the page is gone")
    LATE = to_say("it was not judged in time")
    SILENT = to_say("no sound came")
    NO_SOUND = to_say("what came was no sound")
    TOO_MUCH = to_say("more sound came than is spoken")


class EarPage:
    """Answers the paired devices (the guard lets nobody else in)."""

    def __init__(
        self,
        bench: BenchThread,
        maker: EarMaker | None,
        guard: Guard,
        tell: Callable[[str, str], None],
        look_now: Callable[[], None],
    ) -> None:
        self._bench, self._maker, self._guard = bench, maker, guard
        self._tell, self._look_now = tell, look_now
        self._hearing: Hearing | None = None
        self._open = ""
        """The device that listens."""
        self._idle: asyncio.TimerHandle | None = None

    def why_not(self) -> str:
        """Why no tablet is heard here, in a sentence; empty where one can be."""
        return self._maker.why_not() if self._maker is not None else say("Nobody is heard here.")

    async def handle(self, request: web.Request) -> web.WebSocketResponse:
        """One opening of a microphone."""
        visit = self._guard.visit(request)
        assert visit is not None, "the guard lets nobody else in"
        socket = web.WebSocketResponse(
            heartbeat=SILENT_S, max_msg_size=MOST_SOUND + 1, compress=False, timeout=CLOSE_S
        )
        await socket.prepare(request)
        seen, why_not = request.query.get("seen", ""), self.why_not()
        if not _SEEN.fullmatch(seen) or len(request.query) != 1:
            await socket.close(code=BAD)
        elif why_not:
            await _refuse(socket, why_not)
        elif not await self._is_free_for(visit.device.id):
            await _refuse(socket, say(BUSY), FULL)
        else:
            await self._hold(socket, visit.device.id, int(seen), request.remote or "?")
        return socket

    async def _is_free_for(self, device: str) -> bool:
        """Whether nobody else listens; what the same tablet opened before may still be closing."""
        for _ in range(20):
            if self._open != device:
                break
            await asyncio.sleep(LOOK_S)
        return not self._open

    async def _hold(
        self, socket: web.WebSocketResponse, device: str, seen: int, address: str
    ) -> None:
        self._open = device
        try:
            hearing = self._wake()
            opening = await hearing.open(device, seen)
            if opening is None:
                await _refuse(socket, say(CHANGED))
                return
            try:
                await self._listen(socket, hearing, opening, address)
            finally:
                hearing.close(opening)
        finally:
            self._open = ""
            if self._hearing is not None:
                self._idle = asyncio.get_running_loop().call_later(IDLE_S, self.close)

    def _wake(self) -> Hearing:
        if self._idle is not None:
            self._idle.cancel()
            self._idle = None
        if self._hearing is None:
            from shopstep.tablet.hearing import Hearing

            assert self._maker is not None, "why_not would have said so"
            ears = self._maker.open(HAS_ENDED)
            ears.start()
            self._hearing = Hearing(ears, self._bench, self._guard.is_paired, time.monotonic)
        return self._hearing

    async def _listen(
        self, socket: web.WebSocketResponse, hearing: Hearing, opening: Opening, address: str
    ) -> None:
        """Sound goes in and news go out until a phrase was taken, or all is judged."""
        await _send(socket, hearing.words_of(opening) | {"held_s": HELD_S})
        telling = asyncio.create_task(self._tell_news(socket, hearing, opening))
        taking = asyncio.create_task(_take_sound(socket, hearing, opening))
        try:
            await asyncio.wait({telling, taking}, return_when=asyncio.FIRST_COMPLETED)
            if taking.done():
                await self._end(socket, taking.result(), address)
        finally:
            for task in (telling, taking):
                task.cancel()
                with suppress(asyncio.CancelledError):
                    await task
        await socket.close()

    async def _end(self, socket: web.WebSocketResponse, why: End, address: str) -> None:
        if why is End.LATE:
            await _refuse(socket, say(LATE))
            self.close()
        elif why is not End.GONE:
            self._tell(say("a microphone was shut: {why_value}", why_value=say(why.value)), address)
            await socket.close(code=BAD)

    async def _tell_news(
        self, socket: web.WebSocketResponse, hearing: Hearing, opening: Opening
    ) -> None:
        from shopstep.tablet.hearing import EarGone

        looked = 0.0
        while not opening.is_over:
            if time.monotonic() - looked >= PAIRED_S:
                looked = time.monotonic()
                if not self._guard.is_paired(opening.device):
                    await socket.close(code=LET_GO)
                    return
            try:
                told = await hearing.news(opening)
            except EarGone as problem:
                await _refuse(socket, str(problem))
                self.close()
                return
            except Exception as problem:  # a full or removed disk: nothing was done
                await _refuse(socket, say(NOT_SAVED, problem=str(problem).rstrip(".")))
                return
            for message in told:
                await _send(socket, message)
            await asyncio.sleep(LOOK_S)
        self._look_now()

    async def tapped(self, device: str, seen: int, act: str) -> Values:
        """Yes or no by a tap to what was asked back."""
        if self._hearing is None:
            from shopstep.tablet.hearing import NOTHING_ASKED

            return {"ok": False, "text": say(NOTHING_ASKED)}
        return await self._hearing.tapped(device, seen, act.rpartition(" ")[2])

    def asked_back(self, device: str) -> str:
        """What a device was asked back last; empty for nothing."""
        return self._hearing.asked_back(device) if self._hearing is not None else ""

    def close(self) -> None:
        """Let the ear go; the next opening begins another one."""
        if self._hearing is not None:
            self._hearing.ears.stop()
        self._hearing = None


async def _take_sound(socket: web.WebSocketResponse, hearing: Hearing, opening: Opening) -> End:
    """Feed what comes, within its bounds; why it has ended."""
    began, heard_s, is_all = time.monotonic(), 0.0, False
    while True:
        try:
            async with asyncio.timeout(JUDGE_S if is_all else SILENT_S):
                message = await socket.receive()
        except TimeoutError:
            return End.LATE if is_all else End.SILENT
        if message.type in _CLOSED:
            return End.GONE
        if message.type is not WSMsgType.BINARY or len(message.data) % 2:
            return End.NO_SOUND
        if is_all:
            return End.TOO_MUCH
        if not message.data:
            is_all = True
            hearing.cut(opening)
            continue
        passed_s = time.monotonic() - began
        heard_s += len(message.data) / BYTES_A_SECOND
        if passed_s > MOST_S or heard_s > passed_s + AHEAD_S:
            return End.TOO_MUCH
        hearing.feed(opening, message.data)


async def _send(socket: web.WebSocketResponse, message: Values) -> None:
    with suppress(ConnectionError, RuntimeError):
        await socket.send_str(json.dumps(message, ensure_ascii=False))


async def _refuse(socket: web.WebSocketResponse, text: str, code: int = 1000) -> None:
    await _send(socket, {"kind": "trouble", "text": text})
    await socket.close(code=code)
