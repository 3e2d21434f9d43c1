"""What stands around the card in the browser: pictures, the board, swipes, sounds, the icon."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, Route, expect

from shopstep.cli.tablet_addresses import served_addresses
from shopstep.present.card import CardMode
from shopstep.present.hand_pictures import hand_name
from shopstep.tablet.addresses import is_in_internet, own_addresses
from shopstep.wiring.problems import Problem
from shopstep.wiring.screens import alarm_files
from tests.fake_bench import CAUTION, GLUE, STEP, FakeBench
from tests.raw_web import Web
from tests.tablet_page import LANDSCAPE, PORTRAIT, Tablet, chromium, make_tablet, swipe
from tests.tablet_run import TabletRun, card_of, make_session, walk
from tests.tablet_served import DrawnAtOnce, Served

LONG = replace(STEP, sentence=" ".join([STEP.sentence] * 12))
LEAST_PX = 117.3
"""20 mm on a 10-inch tablet."""
BOARD_BUTTONS = """
() => [...document.querySelectorAll('#board button')].map((b) => b.getBoundingClientRect())
  .map((box) => [Math.min(box.width, box.height),
    box.bottom > innerHeight || box.right > innerWidth])
"""
LARGE = """
() => Number.parseFloat(
  getComputedStyle(document.querySelector('.timer.nearly.first .left')).fontSize)
"""
COUNT_SOUNDS = """
() => {
  window.started = [];
  const start = AudioBufferSourceNode.prototype.start;
  AudioBufferSourceNode.prototype.start = function (...at) {
    window.started.push(this.buffer.duration);
    return start.apply(this, at);
  };
}
"""
HEAR = """
async ([stages, quiet]) => {
  const sound = await import('/sound.js');
  for (const stage of stages)
    sound.hear([{ name: 'glue', kind: 'open', stage, most: true }], quiet);
}
"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all tests; every tablet has its own cookies."""
    with chromium() as started:
        yield started


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """A server of one step, with its picture."""
    started = Served(tmp_path, FakeBench(STEP), DrawnAtOnce())
    yield started
    started.stop()


def paired(browser: Browser, served: Served, size: tuple[int, int] = LANDSCAPE) -> Tablet:
    """A tablet that was paired by taps."""
    tablet = make_tablet(browser, size)
    tablet.pair(served.url, served.new_code())
    return tablet


def show(tablet: Tablet, served: Served, card: Any) -> None:
    """Another card stands at the bench, and the page has it."""
    served.bench.shown = replace(card, version=served.bench.shown.version + 1)
    expect(tablet.page.locator("#words")).to_contain_text(
        card.headline if card.mode is CardMode.CAUTION else card.sentence
    )
    tablet.page.wait_for_timeout(400)


def sounds_started(page: Page, count: int) -> list[float]:
    """How long each sound is that was started, once there are so many; a little later no more."""
    for _ in range(50):
        if len(page.evaluate("window.started")) >= count:
            break
        page.wait_for_timeout(100)
    page.wait_for_timeout(200)
    started: list[float] = page.evaluate("window.started")
    assert len(started) == count
    return started


def is_accessible(page: Page) -> None:
    """The accessibility checker (axe-core) finds nothing serious."""
    found = Axe().run(page).response["violations"]
    assert [v["id"] for v in found if v["impact"] in ("serious", "critical")] == []


LAID_OUT = """
() => {
  const box = (part) => part.getBoundingClientRect();
  const picture = document.getElementById('picture');
  const shown = picture.checkVisibility() ? box(picture) : null;
  const meets = (one, other) => one.left < other.right - 1 && other.left < one.right - 1
    && one.top < other.bottom - 1 && other.top < one.bottom - 1;
  const words = document.getElementById('words');
  const parts = [...document.querySelectorAll('#actions button, #notice, header, .timer'), words]
    .filter((part) => part.checkVisibility());
  return {
    is_shown: Boolean(shown),
    is_whole: !shown || (shown.left >= 0 && shown.top >= 0 && shown.right <= innerWidth
      && shown.bottom <= innerHeight),
    covers: shown ? parts.filter((part) => meets(shown, box(part))).map((part) => part.id) : [],
    number: getComputedStyle(document.querySelector('dd')).fontSize,
    outside: [...document.querySelectorAll('#actions button')]
      .filter((button) => box(button).bottom > innerHeight).length,
    offers: Boolean(document.querySelector('[data-act="picture"]')),
    scrolls: words.scrollHeight > words.clientHeight + 2,
  };
}
"""


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
def test_the_picture_stands_where_words_and_buttons_leave_room(
    browser: Browser, served: Served, size: tuple[int, int]
) -> None:
    tablet = paired(browser, served, size)
    for number in ("58px", "104px"):
        for card in (STEP, LONG):
            show(tablet, served, card)
            laid = tablet.page.evaluate(LAID_OUT)
            assert laid["is_whole"]
            assert laid["covers"] == []
            assert laid["outside"] == 0
            assert laid["number"] == number, "no number gives way"
            assert laid["is_shown"] != laid["offers"], "in sight, or one tap away"
            if card is STEP and number == "58px":
                assert laid["is_shown"]
                assert not laid["scrolls"], "no word is pushed off by it"
        tablet.tap("size")
        tablet.page.wait_for_timeout(300)
    assert not tablet.faults


def test_words_that_fit_are_not_asked_to_be_read_on_because_of_the_picture_before(
    browser: Browser, served: Served
) -> None:
    tablet = paired(browser, served)
    half, full = (replace(STEP, sentence=" ".join([STEP.sentence] * n)) for n in (4, 9))
    show(tablet, served, half)
    expect(tablet.page.locator("#body.beside #picture")).to_be_visible()
    show(tablet, served, full)
    expect(tablet.page.locator('[data-act="done"]')).to_be_visible()
    assert tablet.page.locator('[data-act="read"]').count() == 0


def test_a_picture_has_the_steps_own_words_and_no_script_of_it_runs(
    browser: Browser, served: Served
) -> None:
    tablet = paired(browser, served)
    picture = tablet.page.get_by_role("button", name="Picture: All of rip/rail")
    expect(picture).to_be_visible()
    is_accessible(tablet.page)
    assert tablet.page.title().startswith(STEP.headline), "its script did not run"
    picture.tap()
    whole = tablet.page.get_by_role("img", name="Picture: All of rip/rail")
    expect(whole.last).to_be_visible()
    is_accessible(tablet.page)
    address = tablet.page.locator("#picture img").get_attribute("src")
    assert address is not None
    paired_web = served.paired_web()
    reply = paired_web.ask(address)
    assert (reply.status, reply.headers["content-type"]) == (200, "image/svg+xml; charset=utf-8")
    assert "default-src 'none'" in reply.headers["content-security-policy"]
    assert replace(paired_web, cookie="").ask(address).status == 401
    for name in ("0" * 32, "../card.js", "", "%2e%2e%2fcard.js"):
        assert paired_web.ask(f"/picture.svg?of={name}").status == 404
    assert not tablet.faults


def test_a_caution_shows_where_the_other_hand_goes(browser: Browser, served: Served) -> None:
    tablet = paired(browser, served)
    show(tablet, served, replace(CAUTION, headline="Before it"))
    expect(tablet.page.locator("#picture")).to_be_hidden()
    hand = tablet.page.locator("img.hand").first
    caution = next(caution for caution in CAUTION.cautions if caution.hand)
    assert hand.get_attribute("src") == f"/hand-{hand_name(caution.id)}.svg"
    assert hand.evaluate("(drawn) => drawn.naturalWidth") > 0
    expect(tablet.page.locator(".hand-row", has=hand)).to_contain_text(caution.hand)
    is_accessible(tablet.page)


def test_swipes_turn_pages_and_do_nothing_to_the_work(browser: Browser, served: Served) -> None:
    tablet = paired(browser, served)
    page = tablet.page
    page.wait_for_timeout(500)
    swipe(page, (700, 600), -400, 20)
    expect(page.locator("#board")).to_be_visible()
    expect(page.locator("#board")).to_contain_text("Board")
    is_accessible(page)
    swipe(page, (200, 400), 400, 10)
    expect(page.locator("#board")).to_be_hidden()
    swipe(page, (200, 600), 400, 10)
    expect(page.locator("#page .whole")).to_be_visible()
    swipe(page, (700, 400), -400, 10)
    expect(page.locator("#page")).to_be_hidden()
    done = page.locator('[data-act="done"]').bounding_box()
    assert done is not None
    for across, down in ((-300, 0), (0, -200), (60, 0), (0, 100)):
        swipe(page, (done["x"] + 80, done["y"] + 60), across, down)
        page.wait_for_timeout(100)
        if page.locator("#board").is_visible():
            page.locator('#board [data-act="card"]').tap()
            page.wait_for_timeout(400)
    show(tablet, served, LONG)
    tablet.tap("size")
    page.wait_for_timeout(500)
    swipe(page, (400, 700), 0, -400)
    page.wait_for_timeout(600)
    turned = page.evaluate("document.getElementById('words').scrollTop")
    assert turned > 100
    swipe(page, (400, 300), 0, 300)
    page.wait_for_timeout(600)
    assert page.evaluate("document.getElementById('words').scrollTop") < turned
    assert served.bench.commands == []
    assert not tablet.faults


def test_the_board_shows_where_the_batch_stands(browser: Browser, tmp_path: Path) -> None:
    run = TabletRun(make_session(tmp_path))
    code = run.next_code()
    walk(run.session, "all/crosscut/end_piece")
    tablet = make_tablet(browser, PORTRAIT)
    tablet.pair(run.url, code)
    tablet.tap("ack")
    drawn = tablet.page.locator('#picture img[src^="/picture.svg?of="]')
    # drawn by the same process as for the bench screen, from the same plan
    expect(drawn).to_have_attribute("alt", re.compile(r"^Picture: Crosscut .*end piece"))
    tablet.page.wait_for_timeout(400)
    tablet.tap("more")
    tablet.tap("open board")
    board = tablet.page.locator("#board")
    card = card_of(run.session)
    expect(board).to_contain_text(f"{card.done_count} of {card.total_count} steps done")
    expect(board.locator("th", has_text="glue")).to_be_visible()
    for size in (LANDSCAPE, PORTRAIT):
        tablet.page.set_viewport_size({"width": size[0], "height": size[1]})
        tablet.page.wait_for_timeout(300)
        for small, outside in tablet.page.evaluate(BOARD_BUTTONS):
            assert small >= LEAST_PX
            assert not outside
    is_accessible(tablet.page)
    walk(run.session, "all/crosscut/side")
    after = card_of(run.session)
    expect(board).to_contain_text(f"{after.done_count} of {after.total_count} steps done")
    board.locator('[data-act="card"]').tap()
    expect(board).to_be_hidden()
    run.stop()
    assert not tablet.faults


def test_alarms_are_the_files_of_every_face_and_silent_at_machines(
    browser: Browser, served: Served
) -> None:
    tablet = paired(browser, served)
    page = tablet.page
    page.evaluate(COUNT_SOUNDS)
    page.evaluate(HEAR, [["running", "late"], False])
    assert page.evaluate("window.started") == [], "nothing before a first tap"
    expect(page.locator("#ear")).to_be_visible()
    tablet.tap("more")
    expect(page.locator("#ear")).to_be_hidden()
    tablet.tap("test sound")
    sounds_started(page, 1)
    page.evaluate(HEAR, [["running", "half", "half"], True])
    page.evaluate(HEAR, [["running", "late", "late"], False])
    due, late = sounds_started(page, 2)
    files = alarm_files()
    seconds = {name: (len(body) - 44) / 2 / 22050 for name, body in files.items()}
    assert late / due == pytest.approx(seconds["late"] / seconds["due"], rel=0.02)
    assert not tablet.faults


def test_say_it_takes_the_servers_voice_else_the_browsers_else_says_so(
    browser: Browser, served: Served
) -> None:
    tablet = paired(browser, served)
    page = tablet.page
    answer: dict[str, Any] = {"status": 200, "body": alarm_files()["half"]}
    asked: list[str] = []

    def speak(route: Route) -> None:
        asked.append(route.request.url)
        route.fulfill(content_type="audio/wav", **answer)

    page.route("**/speech.wav**", speak)
    page.evaluate(COUNT_SOUNDS)
    page.wait_for_timeout(400)
    assert asked == [], "off as long as nobody asks"
    for _ in range(2):
        tablet.tap("more")
        tablet.tap("say it")
        page.wait_for_timeout(600)
        if answer["status"] == 200:
            assert asked == [f"{served.url}/speech.wav?of=card"]
            assert len(page.evaluate("window.started")) == 1
            answer |= {"status": 204, "body": b""}
    spoken = "window.speechSynthesis && speechSynthesis.getVoices().length"
    told = page.locator("#notice", has_text="this browser has no voice")
    assert page.evaluate(spoken) or told.is_visible()
    assert not tablet.faults


def test_a_browser_may_keep_it_on_its_home_screen(browser: Browser, served: Served) -> None:
    tablet = paired(browser, served)
    session = tablet.page.context.new_cdp_session(tablet.page)
    session.send("Page.enable")
    found = session.send("Page.getAppManifest")
    assert found["errors"] == []
    manifest = json.loads(found["data"])
    assert (manifest["name"], manifest["display"]) == ("shopstep", "fullscreen")
    web = served.paired_web()
    for icon in manifest["icons"]:
        reply = web.ask(icon["src"])
        assert (reply.status, reply.headers["content-type"].split(";")[0]) == (200, icon["type"])
        if icon["type"] == "image/png":
            assert reply.body[:8] == b"\x89PNG\r\n\x1a\n"
            size = f"{int.from_bytes(reply.body[16:20], 'big')}x"
            assert icon["sizes"] == size + str(int.from_bytes(reply.body[20:24], "big"))
    errors = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    # a private window, as tests use it, is the only thing that stands in the way
    assert [error["errorId"] for error in errors] in ([], ["in-incognito"])


def test_on_a_real_address_of_this_machine_it_is_served_there(
    browser: Browser, tmp_path: Path
) -> None:
    own = [address for address in own_addresses() if not is_in_internet(address)]
    if not own:
        with pytest.raises(Problem, match="in no home network"):
            served_addresses(None, lan=True)
        return
    run = TabletRun(make_session(tmp_path), "--address", own[0])
    code = run.next_code()
    url = f"http://{own[0]}:{run.port}"
    assert any(url in line for line in run.printed)
    tablet = make_tablet(browser, host=own[0])
    tablet.pair(url, code)
    expect(tablet.page.locator("#words")).to_contain_text(card_of(run.session).headline)
    (cookie,) = tablet.page.context.cookies()
    assert (cookie["domain"], cookie["httpOnly"], cookie["sameSite"]) == (own[0], True, "Strict")
    web = Web(run.port, f"{cookie['name']}={cookie['value']}")
    there = f"{own[0]}:{run.port}"
    assert web.ask("/card.js", Host=there).status == 200
    for origin, status in ((url, 101), (web.origin, 403), ("http://192.0.2.99:1", 403)):
        link, reply = web.open("/card", Origin=origin, Host=there)
        link.close()
        assert reply.status == status, origin
    assert web.ask("/card.js", Host=f"evil.example:{run.port}").status == 421
    run.stop()
    assert not tablet.elsewhere
    assert not tablet.faults


def test_glue_that_presses_is_told_large_in_every_view(browser: Browser, served: Served) -> None:
    tablet = paired(browser, served)
    show(tablet, served, GLUE)
    served.bench.time_s = GLUE.timers[0].due_s - 10
    timer = tablet.page.locator(".timer.nearly.first")
    for size in (LANDSCAPE, PORTRAIT):
        tablet.page.set_viewport_size({"width": size[0], "height": size[1]})
        for _ in ("near", "far"):
            expect(timer.locator(".left")).to_have_text("0:10")
            height = tablet.page.evaluate(LARGE)  # at once: a clock is drawn anew each second
            assert height >= 104
            tablet.tap("size")
    is_accessible(tablet.page)
