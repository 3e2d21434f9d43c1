"""Stands before the HTTP parser: not too many connections, and none that never says what it wants.

Every connection carries one request (answers close it, sockets keep it), so one deadline for its
head is enough against slow ones. Imports asyncio only.
"""

from __future__ import annotations

import asyncio
from collections import Counter
from collections.abc import Callable

from shopstep.words import say

MOST_CONNECTIONS = 96
MOST_FROM_ONE = 48
"""Connections that one address may hold, so that one machine cannot shut the others out."""
HEAD_S = 4.0
"""How long the head of a request may take."""
HEAD_END = b"\r\n\r\n"
Protocol = asyncio.Protocol
Log = Callable[[str, str], None]
"""Takes what happened, and the address that it came from."""


class Doorman:
    """Counts connections, and hands each to a protocol of its own."""

    def __init__(self, make_protocol: Callable[[], Protocol], log: Log) -> None:
        self._make_protocol = make_protocol
        self._log = log
        self._open: Counter[str] = Counter()

    def __call__(self) -> Protocol:
        """A protocol for one connection."""
        return _Guest(self, self._make_protocol())

    def let_in(self, address: str) -> bool:
        """Whether there is room for one more from an address; then it is counted."""
        if self._open.total() >= MOST_CONNECTIONS or self._open[address] >= MOST_FROM_ONE:
            self._log(say("too many connections at once"), address)
            return False
        self._open[address] += 1
        return True

    def let_out(self, address: str) -> None:
        """A connection that was let in is gone."""
        self._open[address] -= 1
        if not self._open[address]:
            del self._open[address]

    def tell_slow(self, address: str) -> None:
        """A connection was cut because it never finished its head."""
        self._log(say("too slow to say what it wants"), address)


class _Guest(asyncio.Protocol):
    """One connection: passes all on, and cuts it where its head does not come in time."""

    def __init__(self, doorman: Doorman, inner: Protocol) -> None:
        self._doorman = doorman
        self._inner = inner
        self._address: str | None = None
        self._deadline: asyncio.TimerHandle | None = None
        self._tail = b""
        self._is_begun = False
        """Something else came than empty lines, which the parser skips (RFC 9112, 2.2)."""

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        peer = transport.get_extra_info("peername")
        address = str(peer[0]) if peer else "?"
        assert isinstance(transport, asyncio.Transport)
        if not self._doorman.let_in(address):
            transport.abort()
            return
        self._address = address
        loop = asyncio.get_running_loop()
        self._deadline = loop.call_later(HEAD_S, self._cut, transport)
        self._inner.connection_made(transport)

    def _cut(self, transport: asyncio.Transport) -> None:
        self._deadline = None
        self._doorman.tell_slow(self._address or "?")
        transport.abort()

    def data_received(self, data: bytes) -> None:
        if self._address is None:
            return
        if self._deadline is not None:
            seen = (self._tail + data).lstrip(b"\r\n") if not self._is_begun else self._tail + data
            self._is_begun = bool(seen)
            self._tail = seen[-len(HEAD_END) + 1 :]
            if HEAD_END in seen:
                self._deadline.cancel()
                self._deadline = None
        self._inner.data_received(data)

    def eof_received(self) -> bool | None:
        return self._inner.eof_received() if self._address is not None else None

    def pause_writing(self) -> None:
        if self._address is not None:
            self._inner.pause_writing()

    def resume_writing(self) -> None:
        if self._address is not None:
            self._inner.resume_writing()

    def connection_lost(self, exc: Exception | None) -> None:
        if self._address is None:
            return
        if self._deadline is not None:
            self._deadline.cancel()
        self._doorman.let_out(self._address)
        self._inner.connection_lost(exc)
