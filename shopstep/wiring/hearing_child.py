"""The process that listens beside the bench: orders in, news out, a line of JSON each.

Run as ``python -m shopstep.wiring.hearing_child [open]``; ``wiring.listening`` is the other end.
The recogniser and the microphone are loaded here and nowhere else, so the screen never waits for
them. It ends by itself when nobody listens to it any more. No sound is kept.
"""

from __future__ import annotations

import os
import queue
import sys
import threading
from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import TYPE_CHECKING, Protocol

from shopstep.voice.hear_news import News, Order, Trouble, news_line, read_order
from shopstep.wiring.hearing import open_ear
from shopstep.wiring.listening import OPEN
from shopstep.wiring.problems import Problem

if TYPE_CHECKING:
    from shopstep.voice.hear_audio import Samples

MOST_SILENT = 5
"""Seconds without a sample after which the microphone is given up."""
FELL_SILENT = "The microphone gives no sound any more; tap instead, or leave and resume."


class Sounding(Protocol):
    """A microphone that is open."""

    def read(self, timeout_s: float = 1.0) -> Samples | None:
        """The next block; None where none came in time."""
        ...


Opens = Callable[[], AbstractContextManager[Sounding]]


def main(open_microphone: Opens | None = None) -> None:
    """Hear until the input ends; without ear or microphone one sentence says why."""
    orders: queue.SimpleQueue[Order] = queue.SimpleQueue()
    threading.Thread(target=_read_orders, args=(orders,), daemon=True).start()
    try:
        _tell(Trouble(_hear(orders, open_microphone)))
    except Problem as problem:
        text = str(problem).removeprefix("shopstep: ").removesuffix(".")
        _tell(Trouble(f"{text[:1].upper()}{text[1:]}."))


def _hear(orders: queue.SimpleQueue[Order], open_microphone: Opens | None) -> str:
    """Why it has ended."""
    ear = open_ear(is_always_open=OPEN in sys.argv[1:])
    from shopstep.voice.hear_loop import HearLoop
    from shopstep.voice.microphone import NoMicrophone
    from shopstep.voice.microphone import open_microphone as open_real

    loop = HearLoop(ear, _tell)
    silent = 0
    try:
        with (open_microphone or open_real)() as microphone:
            loop.begin()
            while silent < MOST_SILENT:
                block = microphone.read()
                while not orders.empty():
                    loop.obey(orders.get())
                silent = silent + 1 if block is None else 0
                if block is not None:
                    loop.feed(block)
    except NoMicrophone as problem:
        return str(problem)
    return FELL_SILENT


def _tell(news: News) -> None:
    sys.stdout.write(news_line(news) + "\n")
    sys.stdout.flush()


def _read_orders(orders: queue.SimpleQueue[Order]) -> None:
    """Orders as they come; goes with the other end, and with it the whole process.

    Reads past ``sys.stdin``: whoever waits inside it holds a lock that ending needs.
    """
    rest = b""
    while data := os.read(0, 65536):
        *lines, rest = (rest + data).split(b"\n")
        for line in lines:
            orders.put(read_order(line.decode()))
    os._exit(0)


if __name__ == "__main__":
    main()
