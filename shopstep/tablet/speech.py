"""``/speech.wav``: the words of the card, or of its alarms, as sound; no words of a page's own.

``?of=card``, ``?of=slow`` (the card, slowly), ``?of=alarm`` and ``?of=asked`` (what this device was
asked back, or told, about what it heard); 204 where nothing can be spoken, or nothing is urgent.
Imports aiohttp, the words of ``present`` and the ports.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

from aiohttp import web

from shopstep.present.said import alarm_sentences, card_sentences
from shopstep.present.spoken_text import say_words
from shopstep.tablet.bench_thread import BenchThread
from shopstep.tablet.ports import Speech
from shopstep.words import say

PATH = "/speech.wav"
KINDS = ("card", "slow", "alarm", "asked")
MOST_WAITING = 4
"""Speech is made one after the other; who asks beyond that is asked to come again."""


class SpeechPage:
    """Answers the paired devices (the guard lets nobody else in)."""

    def __init__(
        self,
        bench: BenchThread,
        speech: Speech | None,
        asked_back: Callable[[web.Request], str] = lambda _: "",
    ) -> None:
        self._bench, self._speech, self._asked_back = bench, speech, asked_back
        self._pool = ThreadPoolExecutor(1, "speech")
        self._waiting = 0

    async def handle(self, request: web.Request) -> web.Response:
        """One WAV."""
        wanted = request.query.get("of", "")
        if wanted not in KINDS or len(request.query) != 1:
            return web.Response(
                status=400, text=say("Ask for one of {kinds}.", kinds=", ".join(KINDS))
            )
        if self._speech is None:
            return web.Response(status=204)
        if self._waiting >= MOST_WAITING:
            return web.Response(status=503, text=say("Ask again in a moment."))
        self._waiting += 1
        try:
            words = self._asked_back(request) if wanted == "asked" else ""
            wav = await self._make(wanted, words, self._speech)
        finally:
            self._waiting -= 1
        return web.Response(body=wav, content_type="audio/wav") if wav else web.Response(status=204)

    async def _make(self, wanted: str, words: str, speech: Speech) -> bytes:
        said: tuple[str, ...] = (say_words(words),) if words else ()
        if wanted != "asked":
            card, now_s, zone = await self._bench.card_now()
            is_alarm = wanted == "alarm"
            said = alarm_sentences(card, now_s, zone) if is_alarm else card_sentences(card)
        if not said:
            return b""
        loop, slowly = asyncio.get_running_loop(), wanted == "slow"
        return await loop.run_in_executor(self._pool, lambda: speech.speak(said, slowly=slowly))

    def close(self) -> None:
        """Let the thread go once it has answered."""
        self._pool.shutdown(wait=True, cancel_futures=True)
