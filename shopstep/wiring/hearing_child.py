"""The process that listens beside a face: orders in, news out, a line of JSON each.

Run as ``python -m shopstep.wiring.hearing_child``; ``wiring.listening`` is the other end. The
recogniser and the microphone are loaded here and nowhere else, so the face never waits for them.
With ``--fed`` it has no microphone: sound comes in the same lines, in its place among the orders.
With ``--open`` it listens always. It ends by itself when nobody listens to it any more. No sound is
kept.
"""

from __future__ import annotations

import os
import queue
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from typing import TYPE_CHECKING, Protocol

from shopstep.voice.hear_news import News, Order, Trouble, news_line, read_line
from shopstep.wiring.hearing import open_ear
from shopstep.wiring.languages import speak_as_chosen
from shopstep.wiring.listening import OPEN
from shopstep.wiring.problems import Problem
from shopstep.words import say, to_say

if TYPE_CHECKING:
    from shopstep.voice.hear import Ear
    from shopstep.voice.hear_audio import Samples

FED = "--fed"
MOST_SILENT = 5
"""Seconds without a sample after which the microphone is given up."""
FELL_SILENT = to_say("The microphone gives no sound any more; tap instead, or leave and resume.")


class Sounding(Protocol):
    """A microphone that is open."""

    def read(self, timeout_s: float = 1.0) -> Samples | None:
        """The next block; None where none came in time."""
        ...


Opens = Callable[[], AbstractContextManager[Sounding]]
Lines = queue.SimpleQueue[Order | bytes]


def main(open_microphone: Opens | None = None, *, is_fed: bool = False) -> None:
    """Hear until the input ends; without ear or microphone one sentence says why.

    ``is_fed``: the microphone is elsewhere, its sound comes among the orders.
    """
    speak_as_chosen()
    lines: Lines = queue.SimpleQueue()
    threading.Thread(target=_read_lines, args=(lines,), daemon=True).start()
    try:
        _tell(Trouble(_hear_fed(lines) if is_fed else _hear(lines, open_microphone)))
    except Problem as problem:
        text = str(problem).removeprefix("shopstep: ").removesuffix(".")
        _tell(Trouble(f"{text[:1].upper()}{text[1:]}."))


def _hear(lines: Lines, open_microphone: Opens | None) -> str:
    """Why it has ended."""
    ear = open_ear(is_always_open=OPEN in sys.argv)
    from shopstep.voice.microphone import NoMicrophone
    from shopstep.voice.microphone import open_microphone as open_real

    try:
        with (open_microphone or open_real)() as microphone:
            return _follow(ear, _from_microphone(lines, microphone))
    except NoMicrophone as problem:
        return str(problem)


def _hear_fed(lines: Lines) -> str:
    return _follow(open_ear(), _from_input(lines))


def _follow(ear: Ear, source: Iterator[Order | Samples]) -> str:
    """Orders and sound as they come; why it has ended."""
    from shopstep.voice.hear_loop import HearLoop

    loop = HearLoop(ear, _tell)
    loop.begin()
    for each in source:
        if isinstance(each, Order):
            loop.obey(each)
        else:
            loop.feed(each)
    return say(FELL_SILENT)


def _from_microphone(lines: Lines, microphone: Sounding) -> Iterator[Order | Samples]:
    """Ends where the microphone falls silent."""
    silent = 0
    while silent < MOST_SILENT:
        block = microphone.read()
        while not lines.empty():
            if isinstance(order := lines.get(), Order):
                yield order
        silent = silent + 1 if block is None else 0
        if block is not None:
            yield block


def _from_input(lines: Lines) -> Iterator[Order | Samples]:
    """All in the order in which it came; the process goes with its input."""
    from shopstep.voice.hear_audio import samples_of

    while True:
        each = lines.get()
        yield each if isinstance(each, Order) else samples_of(each)


def _tell(news: News) -> None:
    sys.stdout.write(news_line(news) + "\n")
    sys.stdout.flush()


def _read_lines(read: Lines) -> None:
    """Orders and sound as they come; goes with the other end, and with it the whole process.

    Reads past ``sys.stdin``: whoever waits inside it holds a lock that ending needs.
    """
    rest = b""
    while data := os.read(0, 65536):
        *lines, rest = (rest + data).split(b"\n")
        for line in lines:
            read.put(read_line(line.decode()))
    os._exit(0)


if __name__ == "__main__":
    main(is_fed=FED in sys.argv)
