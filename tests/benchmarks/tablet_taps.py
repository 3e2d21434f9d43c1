"""From tap to changed card in a real browser, and what ten tablets cost.

Run: ``python -m tests.benchmarks.tablet_taps [TAPS]``. Times are taken inside the page, from the
finger's lifting to the frame after the new card.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from contextlib import ExitStack, closing
from pathlib import Path

from tests.raw_web import Web, next_text
from tests.tablet_page import Tablet, chromium, make_tablet
from tests.tablet_run import TabletRun, make_session

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


def main(taps: int) -> None:
    """Print the table."""
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
        tablet.tap("terminal")
        time.sleep(10)
        print(f"ten clients, each with a screen: {memory_mb(run):.0f} MB")
        tablet.tap("card")
        crowded = measure(tablet, taps)
    for name, times in (("one tablet", alone), ("ten", crowded)):
        ranked = sorted(times)
        p95 = ranked[int(0.95 * (len(ranked) - 1))]
        print(f"{name}: median {statistics.median(ranked):.0f} ms, p95 {p95:.0f} ms, {len(times)}")


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
