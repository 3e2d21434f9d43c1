"""From tap to changed card in a real browser, what ten tablets cost, and how soon others see it.

Run: ``python -m tests.benchmarks.tablet_taps [TAPS]``. Times are taken inside the page, from the
finger's lifting to the frame after the new card. For two tablets and a terminal: from the moment
that a command is on disk to the frame in which a page shows it, and to the terminal's next look.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from contextlib import ExitStack, closing
from pathlib import Path
from uuid import uuid4

from shopstep.present.phrases import parse_command
from shopstep.wiring.benches import open_session
from shopstep.wiring.clocks import make_clock
from tests.raw_web import Web, next_text, stay_alive
from tests.tablet_page import PORTRAIT, Tablet, chromium, make_tablet
from tests.tablet_run import TabletRun, card_of, make_session

CLIENTS = 9
"""Besides the browser: a page's socket and a bench screen each."""
WATCH = """
() => {
  const isWatched = Boolean(window.times);
  window.times = [];
  if (isWatched) return;
  let lifted = 0;
  addEventListener('pointerup', () => { lifted = performance.now(); }, true);
  new MutationObserver(() => {
    if (!lifted) return;
    const from = lifted;
    lifted = 0;
    requestAnimationFrame(() => window.times.push(performance.now() - from));
  }).observe(document.getElementById('words'), { childList: true });
}
"""


SEEN = """
() => {
  window.seen = [];
  new MutationObserver(() => requestAnimationFrame(() => window.seen.push(Date.now())))
    .observe(document.getElementById('words'), { childList: true });
}
"""
ROUNDS = 20
RETURNS = 5
TERMINAL_LOOKS_S = 0.02
"""How often the other face of this measurement looks into the file."""


def main(taps: int) -> None:
    """Print the table."""
    measure_together()
    with tempfile.TemporaryDirectory() as folder, ExitStack() as stack:
        run = TabletRun(make_session(Path(folder)))
        stack.callback(run.stop)
        browser = stack.enter_context(chromium())
        tablet = make_tablet(browser)
        tablet.pair(run.url, run.next_code())
        alone = measure(tablet, taps)
        cookie = tablet.page.context.cookies()[0]
        web = Web(run.port, f"{cookie['name']}={cookie['value']}")
        for path in ["/card", "/ws"] * CLIENTS:
            link = stack.enter_context(closing(web.open(path)[0]))
            if path == "/card":
                next_text(link, "card")
            stay_alive(link)
        tablet.tap("terminal")
        time.sleep(10)
        count = len(run.screens())
        print(f"ten clients and {count} bench screens: {memory_mb(run):.0f} MB")
        tablet.tap("card")
        crowded = measure(tablet, taps)
    for name, times in (("one tablet", alone), ("ten", crowded)):
        ranked = sorted(times)
        p95 = ranked[int(0.95 * (len(ranked) - 1))]
        print(f"{name}: median {statistics.median(ranked):.0f} ms, p95 {p95:.0f} ms, {len(times)}")


def measure_together() -> None:
    """Two tablets and a terminal on one session; then the server dies and returns."""
    with tempfile.TemporaryDirectory() as folder, ExitStack() as stack:
        run = TabletRun(make_session(Path(folder)))
        stack.callback(run.stop)
        browser = stack.enter_context(chromium())
        first, second = make_tablet(browser), make_tablet(browser, PORTRAIT)
        first.pair(run.url, run.next_code())
        second.pair(run.url, run.new_code())
        told("command in a terminal, seen on two tablets", from_terminal(run, [first, second]))
        told("tap on one tablet, in the terminal's file", from_tablet(run, first))
        told("server's return, card up to date again", returns(run, first))


def told(what: str, times: list[float]) -> None:
    """One line of the table; times in milliseconds."""
    ranked = sorted(times)
    middle, most = statistics.median(ranked), ranked[-1]
    print(f"{what}: median {middle:.0f} ms, most {most:.0f} ms, {len(ranked)}")


def from_terminal(run: TabletRun, tablets: list[Tablet]) -> list[float]:
    """Hold and resume by another face; milliseconds until each page shows it."""
    times: list[float] = []
    for tablet in tablets:
        tablet.page.evaluate(SEEN)
    opened = open_session(str(run.session), make_clock(None), "do")
    with opened.journal:
        for number in range(ROUNDS):
            for tablet in tablets:
                tablet.page.evaluate("() => { window.seen.length = 0; }")
            words = ["hold" if number % 2 == 0 else "resume"]
            command = parse_command(words, opened.bench.card(), None, uuid4().hex)
            assert not isinstance(command, str), command
            opened.bench.do(command)
            done = time.time() * 1000
            tablets[0].page.wait_for_timeout(900 + 37 * number % 200)
            times += [tablet.page.evaluate("window.seen[0]") - done for tablet in tablets]
    return times


def from_tablet(run: TabletRun, tablet: Tablet) -> list[float]:
    """Milliseconds from a tap to the moment in which another face reads it."""
    times: list[float] = []
    for _ in range(ROUNDS // 2):
        for act in ("hold", "resume"):
            tablet.page.wait_for_timeout(900)
            before = card_of(run.session).version
            tablet.page.locator(f'[data-act="{act}"]').tap()
            began = time.monotonic()
            while card_of(run.session).version == before:
                time.sleep(TERMINAL_LOOKS_S)
            times.append((time.monotonic() - began) * 1000)
    return times


def returns(run: TabletRun, tablet: Tablet) -> list[float]:
    """The server is killed and started; milliseconds from its return to a live card."""
    times: list[float] = []
    for _ in range(RETURNS):
        run.kill()
        tablet.page.locator("body.lost").wait_for()
        run.start_again()
        run.next_code()
        began = time.monotonic()
        tablet.page.locator("body:not(.lost)").wait_for()
        times.append((time.monotonic() - began) * 1000)
    return times


def measure(tablet: Tablet, taps: int) -> list[float]:
    """Milliseconds from each tap on Hold or Resume to the card that it changed."""
    tablet.page.evaluate(WATCH)
    for _ in range(taps):
        for act in ("hold", "resume"):
            tablet.page.locator(f'[data-act="{act}"]').wait_for()
            tablet.page.wait_for_timeout(900)
            tablet.page.locator(f'[data-act="{act}"]').tap()
    tablet.page.wait_for_timeout(1000)
    times: list[float] = tablet.page.evaluate("window.times")
    return times


def memory_mb(run: TabletRun) -> float:
    """Proportional set size of the server and its screens (Linux)."""
    total = 0
    for pid in (run.process.pid, *run.screens()):
        rows = Path(f"/proc/{pid}/smaps_rollup").read_text(encoding="ascii").splitlines()
        total += next(int(row.split()[1]) for row in rows if row.startswith("Pss:"))
    return total / 1024


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
