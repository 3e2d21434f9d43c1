"""The tablet's microphone in real Chromium: when it listens, what it shows, what it never does."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, expect

from shopstep.tablet.ear import BYTES_A_SECOND
from shopstep.units import Length
from shopstep.voice.hear_audio import RATE, write_wav
from shopstep.voice.hear_news import Judged, Order
from tests.ear_page import (
    CALM,
    FAKE,
    LEAST_PX,
    LOUD,
    NEXT,
    OUTSIDE_BUTTONS,
    READY,
    RESAMPLED,
    grammar_of,
    is_accessible,
    is_shut,
    judge,
    levels,
    listens,
    paired,
    quiet_shop,
    talking,
)
from tests.fake_bench import CAUTION, GLUE, MEASURE, OUTSIDE, STEP, FakeBench
from tests.fake_ears import PHRASES
from tests.tablet_ear import FedEars, FedMaker
from tests.tablet_page import LANDSCAPE, PORTRAIT, another, chromium, make_tablet
from tests.tablet_served import DrawnAtOnce, Served, wait_until


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """Every tablet of it stands in a quiet shop, and may use its microphone."""
    wav = tmp_path_factory.mktemp("quiet") / "quiet.wav"
    write_wav(wav, quiet_shop(10))
    with chromium(*FAKE, f"--use-file-for-fake-audio-capture={wav}") as started:
        yield started


@pytest.fixture(autouse=True)
def _put_away(browser: Browser) -> Iterator[None]:
    """The tablets of a test listen no longer than it."""
    yield
    for context in browser.contexts:
        context.close()


@pytest.fixture
def ears() -> FedEars:
    """An ear that is ready and has judged all that it was fed."""
    return FedEars(READY)


@pytest.fixture
def served(tmp_path: Path, ears: FedEars) -> Iterator[Served]:
    """A server of one step whose ear is made by hand."""
    bench = FakeBench(STEP)
    started = Served(tmp_path, bench, DrawnAtOnce(), FedMaker(ears, FedEars(READY)))
    yield started
    started.stop()


# Sound


@pytest.mark.parametrize("rate", [44_100, 48_000, 16_000])
@pytest.mark.parametrize(("hertz", "part"), [(300, 1.0), (3000, 1.0), (6500, 1.0), (9500, 0.0)])
def test_sound_is_taken_to_16_khz_without_what_is_too_high(
    browser: Browser, served: Served, rate: int, hertz: int, part: float
) -> None:
    if rate == RATE and hertz > RATE // 2:
        hertz, part = 7000, 1.0  # there is none higher at that rate
    page = paired(browser, served).page
    sound = np.array(page.evaluate(RESAMPLED, [rate, hertz]), float) / 32767
    assert RATE - 1700 <= len(sound) <= RATE
    steady = sound[1600:12_800]
    power = np.abs(np.fft.rfft(steady * np.hanning(len(steady))))
    loud = math.sqrt(2 * float(np.mean(steady**2)))
    assert loud == pytest.approx(0.5 * part, abs=0.02)
    if part:
        assert float(np.argmax(power)) * RATE / len(steady) == pytest.approx(hertz, abs=3)


def test_it_listens_after_a_tap_alone_and_sound_leaves_it_only_then(
    browser: Browser, served: Served, ears: FedEars
) -> None:
    tablet = paired(browser, served)
    page = tablet.page
    page.wait_for_timeout(600)
    assert page.evaluate("window.sent") == []
    page.locator("#talk-button").tap()
    listens(page)
    expect(page.locator("#heard")).to_contain_text("say: mark it done")
    wait_until(lambda: len(ears.came) > 20, "it is fed")
    page.locator("#talk-button").tap()
    wait_until(lambda: Order(None, is_cut=True) in ears.orders, "a second tap is the end")
    levels(ears)
    is_shut(page)
    expect(page.locator("#heard")).to_have_text("nobody was heard")
    sent = page.evaluate("window.sent")
    page.wait_for_timeout(700)
    assert page.evaluate("window.sent") == sent, "nothing leaves it any more"
    assert all(is_listening for is_listening, size in sent if size)
    before, *pieces = [size for _, size in sent]
    assert BYTES_A_SECOND / 3 < before <= BYTES_A_SECOND, "the second before"
    assert set(pieces[:-1]) == {1600}
    assert pieces[-1] == 0
    assert not tablet.faults
    assert not tablet.elsewhere


def test_a_tap_closes_by_itself_and_a_held_button_with_the_hand(
    browser: Browser, served: Served, ears: FedEars
) -> None:
    page = talking(browser, served)
    wait_until(lambda: Order(None, is_cut=True) in ears.orders, "it closes", 9)
    levels(ears)
    is_shut(page)
    ears.came.clear()
    box = page.locator("#talk-button").bounding_box()
    assert box is not None
    finger = page.context.new_cdp_session(page)
    at = {"x": box["x"] + 60, "y": box["y"] + 60}
    finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [at]})
    expect(page.locator("#talk-more")).to_have_text("while held")
    listens(page)
    page.wait_for_timeout(7000)
    assert not any(order.is_cut for order in ears.orders), "longer than a tap"
    finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    wait_until(lambda: any(order.is_cut for order in ears.orders), "let go", 2)
    levels(ears)
    is_shut(page)


def test_who_speaks_as_the_time_ends_is_heard_out(
    browser: Browser, served: Served, ears: FedEars
) -> None:
    page = talking(browser, served)
    grammar_of(ears)
    ears.waiting.append(replace(CALM, in_speech=True))
    page.wait_for_timeout(7000)
    assert not any(order.is_cut for order in ears.orders)
    wait_until(lambda: any(order.is_cut for order in ears.orders), "but not for ever", 4)


# What it shows and does


def test_what_was_heard_and_why_not_is_shown(
    browser: Browser, served: Served, ears: FedEars
) -> None:
    page = paired(browser, served).page
    served.bench.react = lambda _: NEXT
    page.locator("#talk-button").tap()
    listens(page)
    about = grammar_of(ears).about
    ears.waiting.append(Judged(about, "mark it done", None, "Not sure enough: more was heard."))
    expect(page.locator("#heard")).to_have_text(
        "not taken: Not sure enough: more was heard (nearest: mark it done)"
    )
    is_shut(page)
    page.locator("#talk-button").tap()
    wait_until(lambda: grammar_of(ears).about != about, "it listens again")
    judge(ears, "done")
    expect(page.locator("#words")).to_contain_text("Dry fit")
    expect(page.locator("#heard")).to_have_text("heard: mark it done; to undo: go back one step")
    is_shut(page)
    assert [type(command).__name__ for command in served.bench.commands] == ["FinishStep"]


def test_beside_a_machine_it_says_that_it_cannot_hear(
    browser: Browser, served: Served, ears: FedEars
) -> None:
    page = talking(browser, served)
    grammar_of(ears)
    ears.waiting.append(LOUD)
    expect(page.locator("#talk-word")).to_have_text("TOO LOUD")
    expect(page.locator("#talk-more")).to_have_text("tap instead")
    expect(page.locator("#heard")).to_contain_text("I cannot hear")
    expect(page.locator("body.too-loud")).to_be_attached()
    is_accessible(page)
    page.wait_for_timeout(400)
    page.locator('[data-act="done"]').tap()
    wait_until(lambda: len(served.bench.commands) == 1, "taps work on")


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
@pytest.mark.parametrize("answer", ["heard yes", "heard no"])
def test_a_number_is_shown_large_and_answered_by_a_tap(
    browser: Browser, served: Served, ears: FedEars, size: tuple[int, int], answer: str
) -> None:
    served.bench.shown = MEASURE
    page = talking(browser, served, size)
    judge(ears, "measure", Length.inches("1/32"))
    value = page.locator("#asked-value")
    expect(value).to_have_text("1/32 in")
    assert value.evaluate("(shown) => parseFloat(getComputedStyle(shown).fontSize)") >= 96
    expect(page.locator("#asked")).to_contain_text("for difference of the diagonals?")
    expect(page.locator("#asked")).to_contain_text(PHRASES["yes"])
    expect(page.locator("#asked .timer")).to_contain_text("clamps, unit 2")
    assert served.bench.commands == []
    is_accessible(page)
    for text, small, is_outside in page.evaluate(OUTSIDE_BUTTONS):
        assert small >= LEAST_PX, text
        assert not is_outside, text
    page.locator("#asked #talk-button").tap()
    listens(page)
    page.wait_for_timeout(300)
    page.locator(f'[data-act="{answer}"]').tap()
    expect(page.locator("#asked")).to_be_hidden()
    expect(page.locator("body > #talk")).to_be_visible()
    expect(page.locator("#card .timer")).to_be_visible()
    if answer == "heard yes":
        wait_until(lambda: len(served.bench.commands) == 1, "it was noted")
    page.wait_for_timeout(400)
    done = [type(command).__name__ for command in served.bench.commands]
    assert done == (["TakeMeasure"] if answer == "heard yes" else [])


@pytest.mark.parametrize(("action", "words"), [("why", STEP.why), ("number", "fence 12 3/8 in")])
def test_what_is_asked_for_by_voice_stands_on_a_page(
    browser: Browser, served: Served, ears: FedEars, action: str, words: str
) -> None:
    page = talking(browser, served)
    judge(ears, action)
    expect(page.locator("#page")).to_contain_text(words)
    is_shut(page)
    assert served.bench.commands == []


def test_armed_it_listens_after_each_card_but_never_while_it_sounds(
    browser: Browser, served: Served, ears: FedEars
) -> None:
    tablet = paired(browser, served)
    page = tablet.page
    tablet.tap("more")
    tablet.tap("arm")
    listens(page)
    judge(ears, "again")
    wait_until(lambda: ears.orders[-1].grammar is None, "a phrase was taken")
    listens(page)
    wait_until(lambda: any(order.is_cut for order in ears.orders), "eight seconds later", 10)
    levels(ears)
    is_shut(page)
    expect(page.locator("#talk-more")).to_have_text("listens after every card")
    served.bench.shown = NEXT
    listens(page)
    grammar_of(ears)
    page.evaluate("import('/sound.js').then((sound) => sound.play('late'))")
    expect(page.locator("body.listening")).not_to_be_attached()
    levels(ears)
    expect(page.locator("#talk-more")).to_have_text("it sounds; not listening")
    page.evaluate("window.sent.length = 0")
    page.wait_for_timeout(200)
    assert page.evaluate("window.sent") == []


def test_a_tap_while_the_page_sounds_is_heard_once_it_is_quiet(
    browser: Browser, served: Served, ears: FedEars
) -> None:
    page = talking(browser, served)
    judge(ears, "number")
    is_shut(page)
    ears.came.clear()
    page.evaluate("import('/sound.js').then((sound) => sound.play('late'))")
    expect(page.locator("#talk-more")).to_have_text("it sounds; not listening")
    page.locator('[data-act="close"]').tap()
    page.locator("#talk-button").tap()
    page.wait_for_timeout(200)
    assert ears.came == [], "nothing of the sound leaves it"
    wait_until(lambda: len(ears.came) > 20, "then it is fed")
    assert not any(order.is_cut for order in ears.orders)
    listens(page)


def test_a_card_that_changes_shuts_what_was_begun(
    browser: Browser, served: Served, ears: FedEars
) -> None:
    page = talking(browser, served)
    grammar_of(ears)
    ears.waiting.append(replace(CALM, in_speech=True))
    page.wait_for_timeout(300)
    served.bench.shown = NEXT
    expect(page.locator("#words")).to_contain_text("Dry fit")
    is_shut(page)
    expect(page.locator("#heard")).to_contain_text("The card changed while you spoke")
    assert served.bench.commands == []


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
def test_the_button_leaves_room_for_all_others(
    browser: Browser, served: Served, size: tuple[int, int]
) -> None:
    page = talking(browser, served, size)
    for number, card in enumerate((STEP, CAUTION, GLUE, OUTSIDE), 20):
        served.bench.shown = replace(card, version=number)
        expect(page.locator("#words")).to_contain_text(card.headline)
        for _ in ("near", "far"):
            page.wait_for_timeout(300)
            for text, small, is_outside in page.evaluate(OUTSIDE_BUTTONS):
                assert small >= LEAST_PX, (card.headline, text)
                assert not is_outside, (card.headline, text)
            page.locator('[data-act="size"]').tap()
    is_accessible(page)


# Without


def test_over_plain_http_there_is_no_button_and_more_says_why(
    browser: Browser, served: Served
) -> None:
    tablet = make_tablet(browser)
    tablet.page.add_init_script(
        "Object.defineProperty(window, 'isSecureContext', { get: () => false })"
    )
    tablet.pair(served.url, served.new_code())
    expect(tablet.page.locator("#talk")).to_be_hidden()
    tablet.tap("more")
    expect(tablet.page.locator("#page-rows")).to_contain_text("only over TLS")
    assert not tablet.faults


def test_without_the_extra_there_is_no_button_and_more_says_why(
    browser: Browser, tmp_path: Path
) -> None:
    served = Served(
        tmp_path, FakeBench(STEP), ears=FedMaker(why="Hearing needs the extra 'voice'.")
    )
    try:
        tablet = paired(browser, served)
        expect(tablet.page.locator("#talk")).to_be_hidden()
        tablet.tap("more")
        expect(tablet.page.locator("#page-rows")).to_contain_text("needs the extra 'voice'")
        assert not tablet.faults
    finally:
        served.stop()


def test_where_the_microphone_is_not_given_it_says_so_once(
    browser: Browser, served: Served
) -> None:
    with another(browser, "--use-fake-device-for-media-stream") as careful:  # nobody allows it
        tablet = paired(careful, served)
        tablet.page.locator("#talk-button").tap()
        expect(tablet.page.locator("#notice")).to_contain_text("may not use the microphone")
        expect(tablet.page.locator("#talk")).to_be_hidden()
        served.bench.react = lambda _: NEXT
        tablet.page.wait_for_timeout(400)
        tablet.page.locator('[data-act="done"]').tap()
        expect(tablet.page.locator("#words")).to_contain_text("Dry fit")
        expect(tablet.page.locator("#notice")).to_be_hidden()
        assert not tablet.faults


def test_the_microphone_is_let_go_when_nobody_sees_the_page(
    browser: Browser, served: Served, ears: FedEars
) -> None:
    page = talking(browser, served)
    grammar_of(ears)
    page.evaluate("""() => {
      Object.defineProperty(document, 'hidden', { get: () => true });
      document.dispatchEvent(new Event('visibilitychange'));
    }""")
    is_shut(page)
    expect(page.locator("body.ear")).not_to_be_attached()
    wait_until(lambda: ears.orders[-1] == Order(None), "it is not listened to any more")
