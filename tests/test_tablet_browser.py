"""A tablet in the shop: real Chromium, touched, against the real server."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from shopstep.present.card import FIRST_ANSWER, CardMode
from shopstep.present.phrases import parse_command
from shopstep.wiring.benches import open_session
from shopstep.wiring.clocks import make_clock
from tests.raw_web import Web
from tests.tablet_page import LANDSCAPE, MM_PER_PX, PORTRAIT, Tablet, chromium, make_tablet
from tests.tablet_run import TabletRun, card_of, is_screen, make_session, walk

LEAST_MM = 20.0
BACK_S = 3.0


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all tests; every tablet has its own cookies."""
    with chromium() as started:
        yield started


@pytest.fixture(scope="module")
def fresh_session(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A session in which half of the milling is done."""
    path = make_session(tmp_path_factory.mktemp("fresh"))
    walk(path, "all/crosscut/end_piece")
    return path


@pytest.fixture
def run(fresh_session: Path, tmp_path: Path) -> Iterator[TabletRun]:
    """A server with a copy of that session."""
    session = tmp_path / "box.session"
    session.write_bytes(fresh_session.read_bytes())
    started = TabletRun(session)
    started.code = started.next_code()
    yield started
    started.stop()


def paired(browser: Browser, run: TabletRun, size: tuple[int, int] = LANDSCAPE) -> Tablet:
    """A tablet that was paired by taps."""
    tablet = make_tablet(browser, size)
    tablet.pair(run.url, run.code)
    return tablet


def is_sound(tablet: Tablet) -> bool:
    """Nothing was asked for elsewhere, and no script stumbled."""
    return not tablet.elsewhere and not tablet.faults


def follow(tablet: Tablet, run: TabletRun, steps: int) -> list[str]:
    """Do what the card says, by taps alone, until so many steps are done; their ids."""
    done: list[str] = []
    while len(done) < steps:
        card = card_of(run.session)
        tablet.wait_for_card()
        offered = {action.id for action in card.actions}
        if "measure" in offered:
            tablet.tap("measure")
            check = next(c for c in card.checks if c.expected_nm is not None and not c.within)
            tap_number(tablet, check.expected)
        elif "ack" in offered:
            tablet.tap("ack")
        elif "start" in offered:
            start_glue(tablet)
        else:
            tablet.tap("done")
            done.append(card.step_id)
        wait_for_change(tablet, run, card.version)
    return done


def tap_number(tablet: Tablet, text: str) -> None:
    """Tap a number as the rule shows it: ``31/64 in``, ``5 1/2 in``, ``0 in``."""
    for word in text.split()[:-1]:
        over, _, under = word.partition("/")
        if under and int(under) > 16:
            for _ in range(int(over)):
                tablet.page.get_by_role("button", name="+1/64", exact=True).tap()
        elif under:
            tablet.page.get_by_role("button", name=word, exact=True).tap()
        else:
            for digit in word:
                tablet.page.get_by_role("button", name=digit, exact=True).tap()
    expect(tablet.page.locator("#pad-value")).to_have_text(text)
    tablet.page.get_by_role("button", name="Save", exact=True).tap()


def start_glue(tablet: Tablet) -> None:
    """The first bead; where it is asked what the label says, that first."""
    tablet.tap("start")
    asked = tablet.page.locator('[data-act="say label 8 min"]')
    expect(asked.or_(tablet.page.locator(".timer")).first).to_be_visible()
    if asked.count():
        tablet.tap("say label 8 min")


def wait_for_change(tablet: Tablet, run: TabletRun, version: int) -> None:
    """Until what was tapped is on disk, and on the page."""
    ends = time.monotonic() + 10
    while card_of(run.session).version == version:
        assert time.monotonic() < ends, tablet.page.locator("#notice").inner_text()
        tablet.page.wait_for_timeout(50)
    expect(tablet.page.locator("body:not(.asking)")).to_be_visible()
    shows_the_card(tablet, run)


def shows_the_card(tablet: Tablet, run: TabletRun) -> None:
    """The page shows what another face reads from the file."""
    card = card_of(run.session)
    place = f"{card.done_count} of {card.total_count} steps done"
    expect(tablet.page.locator("#place")).to_contain_text(place)
    expect(tablet.page.locator("#words")).to_contain_text(card.headline)


def test_an_evening_at_the_tablet_outlives_all_that_can_happen(
    browser: Browser, run: TabletRun
) -> None:
    tablet = paired(browser, run)
    shows_the_card(tablet, run)
    done = follow(tablet, run, 10)
    assert done[0] == "all/crosscut/end_piece"
    assert "u1/glue/spread" in done
    assert tablet.page.locator(".timer").count() >= 1
    finished = card_of(run.session).done_count

    tablet.page.reload()
    tablet.wait_for_card()
    shows_the_card(tablet, run)

    _kill_the_screen(tablet, run)

    run.kill()
    veil = tablet.page.locator("#veil")
    expect(veil).to_contain_text("Not connected")
    expect(tablet.page.locator(".timer")).to_have_count(0)
    run.start_again()
    run.next_code()
    returned = time.monotonic()
    expect(tablet.page.locator("body:not(.lost)")).to_be_visible()
    assert time.monotonic() - returned < BACK_S
    shows_the_card(tablet, run)
    assert card_of(run.session).done_count == finished
    expect(tablet.page.locator(".timer").first).to_be_visible()
    assert is_sound(tablet)


def _kill_the_screen(tablet: Tablet, run: TabletRun) -> None:
    """The terminal's process dies; another one draws the same step."""
    tablet.tap("terminal")
    frame = tablet.page.frame_locator("#screen iframe")
    expect(frame.locator("body.-first-byte")).to_be_attached()
    (first,) = run.screens()
    os.kill(first, signal.SIGKILL)
    ends = time.monotonic() + 10
    while not (run.screens() and first not in run.screens()):
        assert time.monotonic() < ends
        tablet.page.wait_for_timeout(100)
    expect(frame.locator("body.-first-byte")).to_be_attached()
    tablet.tap("card")
    shows_the_card(tablet, run)
    assert tablet.page.locator("#screen iframe").count() == 0


def test_the_terminal_is_one_tap_away_and_obeys_taps_without_a_keyboard(
    browser: Browser, run: TabletRun
) -> None:
    tablet = paired(browser, run)
    tablet.tap("terminal")
    frame = tablet.page.frame_locator("#screen iframe")
    expect(frame.locator("body.-first-byte")).to_be_attached()
    assert frame.locator("textarea").first.get_attribute("inputmode") == "none"
    tablet.page.wait_for_timeout(1000)
    version = card_of(run.session).version
    box = tablet.page.locator("#screen iframe").bounding_box()
    assert box is not None
    # read on at the left; then the caution is answered at two places
    for _ in range(4):
        for across in (0.25, 0.87, 0.62):
            tablet.page.touchscreen.tap(box["width"] * across, box["y"] + box["height"] - 60)
            tablet.page.wait_for_timeout(900)
        if card_of(run.session).version != version:
            break
    assert card_of(run.session).version != version
    (orphan,) = run.screens()
    run.kill()
    expect(tablet.page.locator("#screen iframe")).to_be_hidden()
    ends = time.monotonic() + 10
    while is_screen(orphan):
        assert time.monotonic() < ends, "no screen outlives its server"
        tablet.page.wait_for_timeout(100)
    run.start_again()
    run.next_code()
    expect(frame.locator("body.-first-byte")).to_be_attached()
    expect(tablet.page.locator("#screen iframe")).to_be_visible()
    tablet.tap("card")
    shows_the_card(tablet, run)
    assert is_sound(tablet)


SMALL = """
() => [...document.querySelectorAll('button')]
  .filter((button) => button.checkVisibility())
  .map((button) => [button.textContent, button.getBoundingClientRect()])
  .map(([text, box]) => [text, box.width, box.height])
"""
OUTSIDE = """
() => [...document.querySelectorAll('#actions button, #page-foot button, #pad button')]
  .filter((button) => button.checkVisibility())
  .filter((button) => {
    const box = button.getBoundingClientRect();
    return box.left < 0 || box.top < 0 || box.right > innerWidth || box.bottom > innerHeight;
  })
  .map((button) => button.textContent)
"""


def has_large_targets(page: Page) -> None:
    """Every button in sight is 20 mm wide and high, and whole."""
    for text, width, height in page.evaluate(SMALL):
        assert min(width, height) * MM_PER_PX >= LEAST_MM, (text, width, height)
    assert page.evaluate(OUTSIDE) == []


def is_accessible(page: Page) -> None:
    """The accessibility checker (axe-core) finds nothing serious: contrast, names, roles."""
    found = Axe().run(page).response["violations"]
    serious = [v for v in found if v["impact"] in ("serious", "critical")]
    told = [(v["id"], [n["html"][:120] for n in v["nodes"]]) for v in serious]
    assert told == []


def test_every_target_is_twenty_millimetres_wide_and_high(browser: Browser, run: TabletRun) -> None:
    tablet = make_tablet(browser)
    tablet.page.goto(run.url)
    for width, height in (PORTRAIT, LANDSCAPE):
        tablet.page.set_viewport_size({"width": width, "height": height})
        has_large_targets(tablet.page)
    is_accessible(tablet.page)
    tablet.pair(run.url, run.code)
    walk(run.session, "u1/glue/square")
    expect(tablet.page.locator(".timer").first).to_be_visible()
    for width, height in (LANDSCAPE, PORTRAIT):
        tablet.page.set_viewport_size({"width": width, "height": height})
        for _ in ("near", "far"):
            _all_pages_have_large_targets(tablet)
            tablet.tap("size")
    assert is_sound(tablet)


def _all_pages_have_large_targets(tablet: Tablet) -> None:
    has_large_targets(tablet.page)
    is_accessible(tablet.page)
    for act, back in (("more", "close"), ("terminal", "card"), ("measure", "leave")):
        tablet.tap(act)
        has_large_targets(tablet.page)
        if act != "terminal":  # a canvas, with the card for whoever cannot see it
            is_accessible(tablet.page)
        tablet.tap(back)


def test_what_one_face_does_the_others_see(browser: Browser, run: TabletRun) -> None:
    first = paired(browser, run)
    second = make_tablet(browser, PORTRAIT)
    second.pair(run.url, run.new_code())
    headline = card_of(run.session).headline
    first.tap("ack")
    expect(second.page.locator("#words h1", has_text=headline)).to_be_visible()
    opened = open_session(str(run.session), make_clock(None), "do")
    with opened.journal:
        command = parse_command(["done"], opened.bench.card(), None, uuid4().hex)
        assert not isinstance(command, str)
        opened.bench.do(command)
        after = opened.bench.card().headline
    for tablet in (first, second):
        expect(tablet.page.locator("#words", has_text=after)).to_be_visible()
        assert is_sound(tablet)


def test_a_caution_is_answered_twice_at_two_places(browser: Browser, run: TabletRun) -> None:
    tablet = paired(browser, run)
    first = tablet.page.locator('[data-act="ready"]')
    second = tablet.page.locator('[data-act="ack"]')
    read_on = tablet.page.locator('[data-act="read"]')
    while read_on.count():
        read_on.tap()
        tablet.page.wait_for_timeout(60)
    expect(first).to_have_text(FIRST_ANSWER)
    assert second.count() == 0
    before = first.bounding_box()
    tablet.page.wait_for_timeout(820)
    first.tap()
    expect(second).to_be_visible()
    after = second.bounding_box()
    assert before is not None
    assert after is not None
    # a finger that stays where it was presses something else, or nothing
    one = (before["x"], before["y"], before["width"], before["height"])
    other = (after["x"], after["y"], after["width"], after["height"])
    assert is_apart(one, other)
    second.tap()  # too soon: nobody reads so fast
    tablet.page.wait_for_timeout(300)
    assert card_of(run.session).mode is CardMode.CAUTION
    tablet.page.wait_for_timeout(820)
    second.tap()
    expect(tablet.page.locator('[data-act="done"]')).to_be_visible()
    assert card_of(run.session).mode is CardMode.STEP
    assert is_sound(tablet)


Box = tuple[float, float, float, float]


def is_apart(one: Box, other: Box) -> bool:
    """Whether two boxes (left, top, width, height) share no point."""
    return any(
        a[side] + a[side + 2] <= b[side] for side in (0, 1) for a, b in ((one, other), (other, one))
    )


def test_a_smeared_tap_counts_and_a_bounce_does_not(browser: Browser, run: TabletRun) -> None:
    tablet = paired(browser, run)
    tablet.tap("ack")
    expect(tablet.page.locator('[data-act="done"]')).to_be_visible()
    tablet.page.wait_for_timeout(500)
    before = card_of(run.session).done_count
    touch = tablet.page.context.new_cdp_session(tablet.page)
    box = tablet.page.locator('[data-act="done"]').bounding_box()
    assert box is not None

    def smear(by: float) -> None:
        x, y = box["x"] + 40, box["y"] + 50
        for kind, across in (("touchStart", 0.0), ("touchMove", by), ("touchEnd", None)):
            points = [] if across is None else [{"x": x + across, "y": y}]
            touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    smear(60)
    tablet.page.wait_for_timeout(500)
    assert card_of(run.session).done_count == before
    smear(38)
    smear(0)
    smear(0)
    expect(tablet.page.locator("#place")).to_contain_text(f"{before + 1} of")
    tablet.page.wait_for_timeout(500)
    assert card_of(run.session).done_count == before + 1


def test_words_are_there_for_ears_and_for_eyes_two_metres_away(
    browser: Browser, run: TabletRun
) -> None:
    tablet = paired(browser, run)
    said = tablet.page.locator('#said[aria-live="polite"]')
    card = card_of(run.session)
    expect(said).to_contain_text(card.cautions[0].harm)
    is_accessible(tablet.page)
    tablet.tap("ack")
    expect(said).to_contain_text(card.headline)
    expect(said).to_contain_text(card.numbers[0].spoken)
    tablet.tap("size")
    size = tablet.page.evaluate(
        "() => Number.parseFloat(getComputedStyle(document.querySelector('#words h1')).fontSize)"
    )
    # 20 minutes of arc at 2 m are 11.6 mm; capitals are 0.7 em high at least
    assert 0.73 * size * MM_PER_PX >= 11.6


def test_a_refusal_is_told_and_a_device_that_is_let_go_has_to_pair(
    browser: Browser, run: TabletRun
) -> None:
    tablet = paired(browser, run)
    walk(run.session, "u1/glue/close")
    expect(tablet.page.locator("#words h1")).to_have_text(card_of(run.session).headline)
    version = card_of(run.session).version
    tablet.page.wait_for_timeout(400)
    tablet.tap("more")
    for choice in ("ask else", "ask aside", "say aside no reason"):
        tablet.tap(choice)
    expect(tablet.page.locator("#notice")).to_contain_text("glue")
    assert card_of(run.session).version == version
    assert run.run("devices", "--revoke", "tablet 1").returncode == 0
    expect(tablet.page).to_have_url(f"{run.url}/pair")
    assert Web(run.port).ask("/card.js").status == 401
