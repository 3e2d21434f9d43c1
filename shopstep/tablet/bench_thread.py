"""The session in a thread of its own, so that a new plan never stops the clocks of a page.

While the thread is busy, the clocks of the last look run on by this machine's own time.
Imports the sheet, what is asked, and the shapes of the session.
"""

from __future__ import annotations

import asyncio
import json
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from shopstep.present.card import StepCard
from shopstep.present.choices import clamp_rows, label_rows, with_all
from shopstep.present.face import Bench
from shopstep.present.machines import is_at_machine
from shopstep.session.commands import Refusal
from shopstep.tablet.asking import Asked, command_for
from shopstep.tablet.board import board_values
from shopstep.tablet.picture_shelf import PictureShelf
from shopstep.tablet.sheet import clocks_of, sheet_of, summary_text
from shopstep.words import say

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Look:
    """What stands at the bench at one moment."""

    sheet: str
    """JSON text; the same as long as nothing changed."""
    clocks: dict[str, Any]


@dataclass(frozen=True, slots=True)
class _Shown:
    """What the clocks of a look were made of."""

    card: StepCard
    now_s: int
    zone: str
    quiet: dict[str, Any]
    looked: float
    """Monotonic seconds."""


class BenchThread:
    """Asks one session from one thread, one question after the other."""

    def __init__(
        self,
        open_bench: Callable[[], Bench],
        shelf: PictureShelf | None = None,
        *,
        is_loud_at_machines: bool = False,
    ) -> None:
        self._open_bench = open_bench
        self._is_loud_at_machines = is_loud_at_machines
        self._shelf = shelf or PictureShelf(None)
        self._pool = ThreadPoolExecutor(1, "bench")
        self._bench: Bench | None = None
        self._shown: _Shown | None = None
        self._told = ""
        """What nobody asked for and is worth a sentence; stays until something is done."""

    async def open(self) -> None:
        """Open the session; what is wrong with it comes out here."""
        await self._run(self._look)

    async def look(self) -> Look:
        """The card as of now, with what other faces did."""
        return await self._run(self._look)

    def clocks_meanwhile(self) -> dict[str, Any] | None:
        """The clocks of the last look as they have run on since; None before the first one."""
        shown = self._shown
        if shown is None:
            return None
        now_s = shown.now_s + int(time.monotonic() - shown.looked)
        return clocks_of(shown.card, now_s, shown.zone) | shown.quiet

    async def card_now(self) -> tuple[StepCard, int, str]:
        """The card, the moment (seconds since 1970 UTC) and the shop's zone."""
        return await self._run(self._card_now)

    async def use(self, work: Callable[[Bench], T]) -> T:
        """Something else that is asked of the session, or done in it."""
        return await self._run(lambda: work(self._at_bench()))

    def was_done(self) -> None:
        """Something was done, in the thread of the session: what was told before is over."""
        self._told = ""

    async def answer(self, asked: Asked) -> dict[str, Any]:
        """Do what was asked for; what the page is told about it."""
        return await self._run(lambda: self._answer(asked))

    def close(self) -> None:
        """Let the thread go once it has answered."""
        self._pool.shutdown(wait=True)
        self._shelf.stop()

    async def _run(self, work: Callable[[], T]) -> T:
        return await asyncio.get_running_loop().run_in_executor(self._pool, work)

    def _at_bench(self) -> Bench:
        if self._bench is None:
            self._bench = self._open_bench()
        return self._bench

    def _card_now(self) -> tuple[StepCard, int, str]:
        bench = self._at_bench()
        return bench.card(), bench.now_s(), bench.plan.zone

    def _look(self) -> Look:
        bench = self._at_bench()
        with suppress(Exception):  # nobody waits for it: the plan in force stands
            better = bench.better()
            self._told = better.notice if better is not None else self._told
        card = bench.card()
        if self._told:
            card = replace(card, notice=f"{self._told} {card.notice}".strip())
        picture = self._shelf.show(bench.plan, card.step_id)
        is_quiet = not self._is_loud_at_machines and is_at_machine(bench.plan, card.step_id)
        quiet = {"quiet": is_quiet}
        sheet = json.dumps(sheet_of(bench, card, picture) | quiet, ensure_ascii=False)
        shown = _Shown(card, bench.now_s(), bench.plan.zone, quiet, time.monotonic())
        self._shown = shown
        return Look(sheet, clocks_of(card, shown.now_s, shown.zone) | quiet)

    def _answer(self, asked: Asked) -> dict[str, Any]:
        bench = self._at_bench()
        card = bench.card()
        if asked.act == "look board":
            return {"ok": True, "text": "", "board": board_values(bench)}
        if asked.act == "look summary":
            rows = [["", line] for line in summary_text(bench)]
            return {"ok": True, "text": "", "page": {"title": say("Where are we"), "rows": rows}}
        command = command_for(asked, card, bench.now_s())
        if isinstance(command, str):
            return {"ok": False, "text": command}
        outcome = bench.do(command)
        if isinstance(outcome, Refusal):
            return {"ok": False, "text": outcome.text} | self.way_on(outcome, asked.act)
        self.was_done()
        return {"ok": True, "text": outcome.card.notice}

    def way_on(self, refusal: Refusal, act: str) -> dict[str, Any]:
        """The page that asks for what a refusal hangs on; nothing where it hangs on nothing."""
        if refusal.rule == "closing":
            return {"ask": "until"}
        rows = {"clamps": clamp_rows, "label": label_rows}.get(refusal.rule)
        if rows is not None:
            return {"page": {"title": refusal.text, "rows": rows()}}
        if refusal.rule == "joined":
            choice = act.partition(" ")[2]
            return {"page": {"title": refusal.text, "rows": with_all(choice)}}
        return {}
