"""A tablet server in this process, of a bench whose card and time a test sets."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import TypeVar

from shopstep.storage.device_book import DeviceBook
from shopstep.tablet import cookies
from shopstep.tablet.happenings import Happenings
from shopstep.tablet.ports import EarMaker, TabletPlan
from shopstep.tablet.server import TabletServer
from shopstep.wiring.screens import alarm_files
from tests.fake_bench import FakeBench
from tests.raw_web import Web

PATIENCE_S = 60.0
T = TypeVar("T")


class Loudspeaker:
    """An alarm that writes down what it is to sound."""

    def __init__(self, *, works: bool = True) -> None:
        self.works = works
        self.sounded: list[str] = []

    def sound(self, name: str) -> bool:
        """Sounds, or cannot."""
        self.sounded.append(name)
        return self.works


class DrawnAtOnce:
    """One picture for every step: its name in letters."""

    def drawing(self, plan: object, kind_id: str) -> tuple[str, str] | None:
        """SVG and words."""
        del plan
        svg = (
            '<svg xmlns="http://www.w3.org/2000/svg" width="640" height="400">'
            f"<script>document.title = 'run'</script><text>{kind_id}</text></svg>"
        )
        return svg, f"All of {kind_id}"

    def stop(self) -> None:
        """Nothing runs."""


class Served:
    """The server in a thread of its own; leave it with ``stop``."""

    def __init__(
        self,
        folder: Path,
        bench: FakeBench,
        pictures: DrawnAtOnce | None = None,
        ears: EarMaker | None = None,
    ) -> None:
        self.bench = bench
        self.alarm = Loudspeaker()
        self.log: list[str] = []
        self._book = DeviceBook(folder / "tablet")
        plan = TabletPlan(
            title="Sample",
            open_bench=lambda: bench,
            devices=self._book,
            screen_command=("false",),
            addresses=("127.0.0.1",),
            port=0,
            pictures=pictures,
            alarm=self.alarm,
            sounds=alarm_files(),
            ears=ears,
        )
        told = Happenings(self.log.append, time.monotonic, lambda: "19:00:00")
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, daemon=True)
        self._thread.start()
        self.server = self._wait(_started(plan, told))

    @property
    def url(self) -> str:
        """Where it is served."""
        return self.server.address

    def new_code(self) -> str:
        """A pairing code that was just opened."""
        return self.server.pairing.open(time.monotonic())

    def paired_web(self) -> Web:
        """A client with a pass."""
        device = self._book.add("127.0.0.1", int(time.time()))
        value = cookies.sign(self._book.secret(), device.id, int(time.time()))
        return Web(self.server.port, f"{cookies.NAME}={value}")

    def let_all_go(self) -> None:
        """No device is paired any more."""
        for device in self._book.all():
            assert self._book.let_go(device.name)

    def stop(self) -> None:
        """Close everything."""
        self._wait(self.server.stop())
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(PATIENCE_S)
        self._loop.close()

    def _wait(self, work: Coroutine[object, object, T]) -> T:
        return asyncio.run_coroutine_threadsafe(work, self._loop).result(PATIENCE_S)


async def _started(plan: TabletPlan, told: Happenings) -> TabletServer:
    server = TabletServer(plan, told)
    await server.start()
    return server


def wait_until(is_true: Callable[[], bool], what: str, patience_s: float = PATIENCE_S) -> float:
    """Wait for something; the seconds it took."""
    began = time.monotonic()
    while not is_true():
        assert time.monotonic() - began < patience_s, what
        time.sleep(0.02)
    return time.monotonic() - began
