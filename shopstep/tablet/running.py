"""Serves until it is ended, and shows what a person needs to pair a tablet.

Imports segno for the square code, and the server.
"""

from __future__ import annotations

import asyncio
import io
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import suppress

import segno

from shopstep.tablet.happenings import Happenings
from shopstep.tablet.pairing import LASTS_S, TRIES
from shopstep.tablet.ports import TabletPlan
from shopstep.tablet.server import TabletServer
from shopstep.words import say, to_say

Write = Callable[[str], None]
WHITE_ON_BLACK, PLAIN = "\x1b[97;40m", "\x1b[0m"
"""So that the code is the right way round on a light terminal too (ECMA-48, SGR)."""
HOW_TO_GO_ON = to_say("Enter: a new code.   Ctrl-C: stop serving; the session is kept.")


def run_server(plan: TabletPlan, say: Write, log: Write, lines: Iterator[str]) -> None:
    """Serve until SIGINT or SIGTERM; each line that comes in asks for a new code.

    OSError where the port is taken; what is wrong with the session comes out as it is.
    """
    asyncio.run(_serve(plan, say, log, lines))


async def _serve(plan: TabletPlan, say: Write, log: Write, lines: Iterator[str]) -> None:
    happenings = Happenings(log, time.monotonic, lambda: time.strftime("%H:%M:%S"))
    server = TabletServer(plan, happenings)
    ended, asked = asyncio.Event(), asyncio.Event()
    asked.set()
    _hear_signals(ended)
    try:
        await server.start()
        _hear_lines(lines, asked)
        while not ended.is_set():
            if asked.is_set():
                asked.clear()
                say("\n".join(pairing_lines(server)))
            await _first_of(ended, asked)
    finally:
        await server.stop()


def pairing_lines(server: TabletServer) -> list[str]:
    """Title, address, square code, and a new pairing code with how long it works."""
    code = server.pairing.open(time.monotonic())
    until = time.strftime("%H:%M:%S", time.localtime(time.time() + LASTS_S))
    return [
        say(
            "{server_title}: on a tablet at {address}",
            server_title=server.title,
            address=server.address,
        ),
        square_code(f"{server.address}/pair#{code}"),
        say("Code: {code} {code_2}", code=code[:4], code_2=code[4:]),
        say(
            "It pairs one tablet, once, until {until}, in at most {tries} tries.",
            until=until,
            tries=TRIES,
        ),
        *other_lines(server),
        *trust_lines(server),
        say(HOW_TO_GO_ON),
    ]


def other_lines(server: TabletServer) -> list[str]:
    """What to do where this machine is in several networks; nothing where it is in one."""
    if not server.others:
        return []
    known = ", ".join(server.others)
    return [
        say(
            "This machine is in other networks too ({known}); to serve one: --address ADDRESS",
            known=known,
        )
    ]


def trust_lines(server: TabletServer) -> list[str]:
    """How a tablet comes to trust this machine; nothing over plain HTTP."""
    if not server.fingerprint:
        return []
    half = len(server.fingerprint) // 2
    return [
        say("The first time the tablet's browser warns, for it does not know this machine. Go on"),
        say(
            "to {address}/authority.crt, and install the file in the tablet's settings, where",
            address=server.address,
        ),
        say("certificates are, as an authority. Its SHA-256 must read:"),
        f"  {server.fingerprint[:half]}",
        f"  {server.fingerprint[half:].lstrip(':')}",
        say("It can speak for addresses in home networks only. To be rid of it: delete it there."),
    ]


def square_code(text: str) -> str:
    """A QR code (ISO/IEC 18004) in half blocks, for a camera to read off the terminal."""
    drawn = io.StringIO()
    segno.make(text, error="m", micro=False).terminal(drawn, compact=True)
    rows = drawn.getvalue().rstrip("\n").split("\n")
    if "NO_COLOR" in os.environ:
        return "\n".join(rows)
    return "\n".join(f"{WHITE_ON_BLACK}{row}{PLAIN}" for row in rows)


async def _first_of(*events: asyncio.Event) -> None:
    waits = [asyncio.create_task(event.wait()) for event in events]
    await asyncio.wait(waits, return_when=asyncio.FIRST_COMPLETED)
    for wait in waits:
        wait.cancel()


def _hear_signals(ended: asyncio.Event) -> None:
    loop = asyncio.get_running_loop()
    for name in (signal.SIGINT, signal.SIGTERM):
        try:
            loop.add_signal_handler(name, ended.set)
        except NotImplementedError:  # not on every platform; Ctrl-C then ends the loop itself
            return


def _hear_lines(lines: Iterator[str], asked: asyncio.Event) -> None:
    """A thread that reads, for standard input cannot be waited for alike on every platform."""
    loop = asyncio.get_running_loop()

    def read() -> None:
        for _ in lines:
            with suppress(RuntimeError):  # the loop has ended
                loop.call_soon_threadsafe(asked.set)

    threading.Thread(target=read, daemon=True, name="lines").start()


def typed_lines() -> Iterator[str]:
    """What is typed, line by line; nothing where there is no standard input."""
    if sys.stdin is not None:
        with suppress(ValueError, OSError):
            yield from sys.stdin
