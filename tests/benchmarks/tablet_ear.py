"""How soon a phrase at a tablet's microphone changes the card, and what the ear costs.

Run: ``python -m tests.benchmarks.tablet_ear [PHRASES] [--floor]``. The microphone is a file of
synthetic speech that goes round in Chromium; the page listens after every card. Times are taken in
the page: from the last piece of sound with speech in it that is sent, to the frame that shows the
changed card. ``--floor`` follows a whole floor by sound in the socket, and by taps beside it.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import numpy as np

from shopstep.voice.hear_audio import write_wav
from tests.benchmarks.tablet_taps import told
from tests.floor import floor_plan
from tests.followed_by_ear import Worker, what_happened
from tests.shop_sounds import in_shop, speak
from tests.spoken_to_tablet import TabletSpeaker
from tests.tablet_page import Tablet, chromium, make_tablet
from tests.tablet_run import TabletRun, make_session
from tests.test_tablet_ear_attacks import ears_of

GAP_S = 3.0
STEPS = 200
LOUD = 0.01
"""Root mean square of a piece with speech in it, of full scale."""
WATCH = """
([loud]) => {
  window.times = [];
  window.refused = 0;
  let spoken = 0;
  const send = WebSocket.prototype.send;
  WebSocket.prototype.send = function (data) {
    if (data instanceof ArrayBuffer && data.byteLength) {
      let power = 0;
      const samples = new Int16Array(data);
      for (const sample of samples) power += (sample / 32768) ** 2;
      if (Math.sqrt(power / samples.length) > loud) spoken = performance.now();
    }
    return send.call(this, data);
  };
  new MutationObserver(() => {
    if (!spoken) return;
    const from = spoken;
    spoken = 0;
    requestAnimationFrame(() => window.times.push(performance.now() - from));
  }).observe(document.getElementById('words'), { childList: true });
  new MutationObserver(() => {
    window.refused += document.getElementById('heard').textContent.startsWith('not taken');
  }).observe(document.getElementById('heard'), { childList: true });
}
"""


def main(phrases: int, *, with_floor: bool) -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as folder:
        wav = Path(folder) / "said.wav"
        dice = np.random.default_rng(7)
        said = [
            in_shop(speak(words, "en-us+m3"), "vacuum", 20, dice, GAP_S, GAP_S)
            for words in ("hold the batch here", "resume the work now")
        ]
        write_wav(wav, np.concatenate(said))
        run = TabletRun(make_session(Path(folder)))
        words = ("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream")
        with chromium(*words, f"--use-file-for-fake-audio-capture={wav}") as browser:
            tablet = make_tablet(browser)
            tablet.pair(run.url, run.next_code())
            server = memory_mb(run.process.pid)
            times = measure(tablet, phrases)
            (ear,) = ears_of(run)
            print(f"ear: {memory_mb(ear):.0f} MB; server: {server:.0f} MB before,", end=" ")
            print(f"{memory_mb(run.process.pid):.0f} MB after")
            told("end of speech to changed card", times)
            ranked = sorted(times)
            print(f"95 %: {ranked[int(0.95 * (len(ranked) - 1))]:.0f} ms")
            print(f"refused: {tablet.page.evaluate('window.refused')}")
        run.stop()
    if with_floor:
        follow_floor()


def measure(tablet: Tablet, phrases: int) -> list[float]:
    """Milliseconds of so many phrases that changed the card."""
    page = tablet.page
    page.evaluate(WATCH, [LOUD])
    tablet.page.wait_for_timeout(1000)
    tablet.tap("more")
    tablet.tap("arm")
    times: list[float] = []
    for _ in range(20 * phrases):
        page.wait_for_timeout(1000)
        if page.locator("#talk-word").inner_text() == "Talk":  # nobody was heard for eight seconds
            page.locator("#talk-button").tap()
        times = page.evaluate("window.times")
        if len(times) >= phrases:
            break
    return times


def memory_mb(pid: int) -> float:
    """Proportional set size of a process (Linux)."""
    rows = Path(f"/proc/{pid}/smaps_rollup").read_text(encoding="ascii").splitlines()
    return next(int(row.split()[1]) for row in rows if row.startswith("Pss:")) / 1024


def follow_floor() -> None:
    """A whole floor at vacuum 20 dB, by sound in the tablet's socket and by taps."""
    plan = floor_plan(units=1)
    tapped = Worker(plan)
    tapped.follow(STEPS)
    with tempfile.TemporaryDirectory() as folder:
        spoken = TabletSpeaker(plan, Path(folder), "en-us+m3", "vacuum", 20)
        try:
            spoken.follow(STEPS)
        finally:
            spoken.stop()
    is_same = what_happened(spoken.journal) == what_happened(tapped.journal)
    count = spoken.count
    print(f"floor: {'the same events' if is_same else 'OTHER EVENTS'} as by taps;", end=" ")
    print(f"{count.said} sayings, {count.taken} taken, {count.tapped} tapped")


if __name__ == "__main__":
    numbers = [word for word in sys.argv[1:] if word.isdigit()]
    main(int(numbers[0]) if numbers else 20, with_floor="--floor" in sys.argv)
