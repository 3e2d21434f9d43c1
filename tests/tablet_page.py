"""A tablet's browser: real Chromium, 10 inches, touched and not clicked."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from playwright.sync_api import Browser, Page, Route, expect, sync_playwright

expect.set_options(timeout=30_000)
"""How long a page is looked at, ms: a busy machine is slow, and how fast it is benchmarks tell."""
LANDSCAPE, PORTRAIT = (1280, 800), (800, 1280)
MM_PER_PX = 0.1705
"""Of a 10-inch tablet with 1280 × 800 CSS pixels: its diagonal is 254 mm / 1509 px, rounded up."""


@contextmanager
def chromium(*words: str) -> Iterator[Browser]:
    """The system's Chromium without a window; ``words``: more that it is started with."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    assert path, "Chromium is not installed; on Debian: apt-get install chromium"
    with sync_playwright() as player:
        browser = player.chromium.launch(
            executable_path=path,
            args=["--no-sandbox", "--force-device-scale-factor=1", *words],
        )
        yield browser
        browser.close()


@contextmanager
def another(browser: Browser, *words: str) -> Iterator[Browser]:
    """A second browser that is started with more words."""
    started = browser.browser_type.launch(
        executable_path=shutil.which("chromium") or shutil.which("chromium-browser"),
        args=["--no-sandbox", "--force-device-scale-factor=1", *words],
    )
    yield started
    started.close()


@dataclass
class Tablet:
    """One tablet; what it asked for from elsewhere, and what went wrong in its page."""

    page: Page
    elsewhere: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def pair(self, url: str, code: str) -> None:
        """Tap the code in, digit by digit."""
        self.page.goto(url)
        expect(self.page).to_have_url(f"{url}/pair")
        for digit in code:
            self.page.get_by_role("button", name=digit, exact=True).tap()
        self.page.get_by_role("button", name="Pair", exact=True).tap()
        self.wait_for_card()

    def wait_for_card(self) -> None:
        """Until the card is there and up to date."""
        expect(self.page.locator("body:not(.lost)")).to_be_visible()
        expect(self.page.locator("#actions button").first).to_be_visible()

    def headline(self) -> str:
        """What the card is about."""
        return self.page.locator("#words h1, #words p").first.inner_text()

    def tap(self, act: str) -> None:
        """Tap what does this, reading on as long as it is not offered yet."""
        button = self.page.locator(f'[data-act="{act}"]')
        first = self.page.locator('[data-act="ready"]')
        read_on = self.page.locator('[data-act="read"]')
        for _ in range(30):
            if button.count() or first.count() or not read_on.count():
                break
            read_on.tap()
            self.page.wait_for_timeout(60)
        # a glove's bounce is no tap, and who answers a caution at once has not read it
        if act == "ack" and first.count():
            self.page.wait_for_timeout(820)
            first.tap()
        self.page.wait_for_timeout(820 if act == "ack" else 360)
        button.tap()


def touch(page: Page, way: list[tuple[float, float]]) -> None:
    """One finger along these points, as fast as a hand swipes."""
    session = page.context.new_cdp_session(page)
    kinds = ["touchStart", *["touchMove"] * (len(way) - 1), "touchEnd"]
    for kind, point in zip(kinds, [*way, None], strict=True):
        points = [] if point is None else [{"x": point[0], "y": point[1]}]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
        page.wait_for_timeout(15)
    session.detach()


def swipe(page: Page, start: tuple[float, float], across: float, down: float) -> None:
    """A swipe in ten moves."""
    x, y = start
    touch(page, [(x + across * n / 10, y + down * n / 10) for n in range(11)])


def make_tablet(
    browser: Browser, size: tuple[int, int] = LANDSCAPE, host: str = "127.0.0.1", tls: str = ""
) -> Tablet:
    """A tablet with nothing on it; every request that would leave this machine is stopped.

    ``host`` is the address that the server has; ``tls`` is ``s`` where it is served by TLS.
    """
    width, height = size
    context = browser.new_context(
        viewport={"width": width, "height": height},
        has_touch=True,
        is_mobile=True,
        ignore_https_errors=bool(tls),
    )
    tablet = Tablet(context.new_page())

    def look(route: Route) -> None:
        if route.request.url.startswith(f"http{tls}://{host}:"):
            route.continue_()
        else:
            tablet.elsewhere.append(route.request.url)
            route.abort()

    context.route("**/*", look)
    tablet.page.on("pageerror", lambda problem: tablet.faults.append(str(problem)))
    tablet.page.on(
        "websocket",
        lambda s: (
            None if s.url.startswith(f"ws{tls}://{host}:") else tablet.elsewhere.append(s.url)
        ),
    )
    return tablet
