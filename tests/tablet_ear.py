"""A tablet's microphone as bytes: what the page's sound socket would send, and what it is told."""

from __future__ import annotations

import json
import socket
import time
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from shopstep.tablet.ear import AHEAD_S, BYTES_A_SECOND
from shopstep.voice.hear_news import News, Order
from tests.raw_web import Web, frame, read_frame

PIECE = 1600
"""Bytes in 50 ms."""
QUIET = bytes(PIECE)
BINARY = 2
Told = dict[str, Any]
_LINKS: list[socket.socket] = []


def close_all() -> None:
    """Every page of a test is gone."""
    while _LINKS:
        _LINKS.pop().close()


@dataclass
class EarLink:
    """One opening of a microphone."""

    link: socket.socket
    status: int
    told: list[Told] = field(default_factory=list)
    code: int = -1
    """Why it was closed; -1 while it is open."""

    @classmethod
    def open(cls, web: Web, seen: int | str, **changes: str | None) -> EarLink:
        """Ask for the socket as the page does."""
        link, reply = web.open(f"/ear?seen={seen}", **changes)
        _LINKS.append(link)
        return cls(link, reply.status)

    def send(self, sound: bytes) -> None:
        """One frame of sound; empty says that this was all."""
        self.throw(frame(sound, BINARY))

    def throw(self, data: bytes) -> None:
        """Any bytes."""
        with suppress(ConnectionError):  # it was closed meanwhile
            self.link.sendall(data)

    def say(self, sound: bytes) -> None:
        """Sound in pieces, not faster than is borne, and that it was all."""
        began = time.monotonic()
        for at in range(0, len(sound), PIECE):
            ahead_s = at / BYTES_A_SECOND - (time.monotonic() - began) - AHEAD_S + 0.3
            time.sleep(max(0.0, ahead_s))
            self.send(sound[at : at + PIECE])
        self.send(b"")

    def next(self, kind: str) -> Told:
        """The next that is told of a kind."""
        return self.next_of(kind)

    def next_of(self, *kinds: str) -> Told:
        """The next that is told of one of these kinds."""
        while self.code < 0:
            message = self._read()
            if message and message["kind"] in kinds:
                return message
        raise AssertionError(f"none of {kinds} came: {self.told}")

    def rest(self) -> list[Told]:
        """All that is told until it is closed."""
        while self.code < 0:
            self._read()
        self.link.close()
        return self.told

    def _read(self) -> Told | None:
        opcode, payload = read_frame(self.link)
        if opcode == 8:
            self.code = int.from_bytes(payload[:2], "big")
            with suppress(OSError):
                self.link.sendall(frame(payload[:2], 8))
        elif opcode == 9:
            self.link.sendall(frame(payload, 10))
        elif opcode == 1:
            self.told.append(json.loads(payload))
            return self.told[-1]
        return None

    def close(self) -> None:
        """As a page that is gone."""
        self.link.close()


class FedEars:
    """An ear that tells what is put there, and writes down what it is ordered and fed."""

    def __init__(self, *first: News) -> None:
        self.waiting: list[News] = list(first)
        self.came: list[Order | bytes] = []
        self.is_stopped = False

    def start(self) -> None:
        """It began."""

    def order(self, order: Order) -> None:
        """Write it down."""
        self.came.append(order)

    def feed(self, sound: bytes) -> None:
        """Write it down."""
        self.came.append(sound)

    def news(self) -> list[News]:
        """What was put there, once."""
        return [self.waiting.pop(0) for _ in range(len(self.waiting))]  # another thread adds

    def stop(self) -> None:
        """It ended."""
        self.is_stopped = True

    @property
    def orders(self) -> list[Order]:
        """Without the sound."""
        return [each for each in self.came if isinstance(each, Order)]


class FedMaker:
    """Gives ears that were made before, one after the other."""

    def __init__(self, *ears: FedEars, why: str = "") -> None:
        self.ears, self.why = list(ears), why
        self.opened: list[FedEars] = []

    def why_not(self) -> str:
        """What was set."""
        return self.why

    def open(self, has_ended: str) -> FedEars:
        """The next one."""
        assert has_ended
        self.opened.append(self.ears.pop(0))
        return self.opened[-1]
