"""``/speech.wav``: the words of the card, or of its alarms, as sound; no words of a page's own.

``?of=card`` and ``?of=alarm``; 204 where nothing can be spoken, or nothing is urgent. Imports
aiohttp, the words of ``present`` and the ports.
"""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor

from aiohttp import web

from shopstep.present.said import alarm_sentences, card_sentences
from shopstep.tablet.bench_thread import BenchThread
from shopstep.tablet.ports import Speech
from shopstep.words import say

PATH = "/speech.wav"
MOST_WAITING = 4
"""Speech is made one after the other; who asks beyond that is asked to come again."""


class SpeechPage:
    """Answers the paired devices (the guard lets nobody else in)."""

    def __init__(self, bench: BenchThread, speech: Speech | None) -> None:
        self._bench, self._speech = bench, speech
        self._pool = ThreadPoolExecutor(1, "speech")
        self._waiting = 0

    async def handle(self, request: web.Request) -> web.Response:
        """One WAV."""
        wanted = request.query.get("of", "")
        if wanted not in ("card", "alarm") or len(request.query) != 1:
            return web.Response(status=400, text=say("Ask for of=card or of=alarm."))
        if self._speech is None:
            return web.Response(status=204)
        if self._waiting >= MOST_WAITING:
            return web.Response(status=503, text=say("Ask again in a moment."))
        self._waiting += 1
        try:
            wav = await self._make(wanted, self._speech)
        finally:
            self._waiting -= 1
        return web.Response(body=wav, content_type="audio/wav") if wav else web.Response(status=204)

    async def _make(self, wanted: str, speech: Speech) -> bytes:
        card, now_s, zone = await self._bench.card_now()
        said = card_sentences(card) if wanted == "card" else alarm_sentences(card, now_s, zone)
        if not said:
            return b""
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._pool, speech.speak, said)

    def close(self) -> None:
        """Let the thread go once it has answered."""
        self._pool.shutdown(wait=True, cancel_futures=True)
