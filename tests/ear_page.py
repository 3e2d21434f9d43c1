"""The page of a tablet that listens: paired by taps, opened by one, and what stands on it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from shopstep.units import Length
from shopstep.voice.hear_audio import RATE, Samples
from shopstep.voice.hear_news import Grammar, Judged, Level, Ready
from shopstep.voice.hear_policy import Heard
from tests.fake_bench import STEP
from tests.fake_ears import PHRASES
from tests.shop_sounds import ROOM, as_samples, hiss
from tests.tablet_ear import FedEars
from tests.tablet_page import LANDSCAPE, Tablet, make_tablet
from tests.tablet_served import Served, wait_until

LEAST_PX = 117.3
"""20 mm on a 10-inch tablet."""
FAKE = ("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream")
NEXT = replace(STEP, version=8, step_id="u1/fit/dry", headline="Dry fit")
READY = Ready(tuple(PHRASES.items()), True)
CALM, LOUD = Level(-60.0, False, False), Level(-12.0, False, True)
COUNT_SENT = """
() => {
  window.sent = [];
  const send = WebSocket.prototype.send;
  WebSocket.prototype.send = function (data) {
    if (typeof data !== 'string')
      window.sent.push(
        [document.body.classList.contains('listening'), data.size ?? data.byteLength]);
    return send.call(this, data);
  };
}
"""
RESAMPLED = """
async ([rate, hertz]) => {
  const context = new OfflineAudioContext(1, rate, rate);
  await context.audioWorklet.addModule('/ear_worklet.js');
  const ear = new AudioWorkletNode(context, 'ear');
  const pieces = [];
  ear.port.onmessage = (event) => pieces.push(...new Int16Array(event.data));
  const sound = new AudioBuffer({ length: rate, sampleRate: rate });
  const values = sound.getChannelData(0);
  for (let at = 0; at < rate; at += 1)
    values[at] = 0.5 * Math.sin((2 * Math.PI * hertz * at) / rate);
  const tone = new AudioBufferSourceNode(context, { buffer: sound });
  tone.connect(ear).connect(context.destination);
  tone.start();
  await context.startRendering();
  await new Promise((done) => setTimeout(done, 300));
  return pieces;
}
"""
OUTSIDE_BUTTONS = """
() => [...document.querySelectorAll('button')].filter((b) => b.checkVisibility()).map((b) => {
  const box = b.getBoundingClientRect();
  return [b.textContent, Math.min(box.width, box.height),
    box.bottom > innerHeight + 0.5 || box.right > innerWidth + 0.5 || box.top < -0.5];
})
"""


def quiet_shop(seconds: float) -> Samples:
    """A room in which nobody speaks."""
    return as_samples(ROOM * hiss(int(seconds * RATE), np.random.default_rng(5), -0.3))


def paired(browser: Browser, served: Served, size: tuple[int, int] = LANDSCAPE) -> Tablet:
    """A tablet that was paired by taps."""
    tablet = make_tablet(browser, size)
    tablet.page.add_init_script(f"({COUNT_SENT})()")
    tablet.pair(served.url, served.new_code())
    return tablet


def word(page: Page) -> str:
    """What the button says."""
    return page.locator("#talk-word").inner_text()


def listens(page: Page) -> None:
    """Until it listens, with all its signs."""
    expect(page.locator("#talk-word")).to_contain_text("LISTENING")
    expect(page.locator("body.listening")).to_be_attached()


def is_shut(page: Page) -> None:
    """Until it does not listen any more."""
    expect(page.locator("#talk-word")).to_have_text("Talk")
    expect(page.locator("body.listening")).not_to_be_attached()


def grammar_of(ears: FedEars) -> Grammar:
    """What it was last told to hear, once it is."""
    wait_until(lambda: bool(ears.orders) and ears.orders[-1].grammar is not None, "it listens")
    grammar = ears.orders[-1].grammar
    assert grammar is not None
    return grammar


def talking(browser: Browser, served: Served, size: tuple[int, int] = LANDSCAPE) -> Page:
    """The page of a paired tablet whose microphone was opened by a tap."""
    page = paired(browser, served, size).page
    page.locator("#talk-button").tap()
    listens(page)
    return page


def judge(ears: FedEars, action: str, value: Length | None = None) -> None:
    """A phrase was taken for certain."""
    words = PHRASES[action]
    ears.waiting.append(Judged(grammar_of(ears).about, words, Heard(action, words, value), ""))


def levels(ears: FedEars) -> None:
    """The ear is through with all that it was fed."""
    ears.waiting += [CALM] * sum(isinstance(each, bytes) for each in ears.came)


def is_accessible(page: Page) -> None:
    """The accessibility checker (axe-core) finds nothing serious."""
    found = Axe().run(page).response["violations"]
    assert [v["id"] for v in found if v["impact"] in ("serious", "critical")] == []
