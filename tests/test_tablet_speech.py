"""The card's words as sound for a tablet: paired devices only, no words of a page's own."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import cast

import pytest
from aiohttp.test_utils import make_mocked_request

from shopstep.present.card import CardTimer, StepCard
from shopstep.present.said import card_sentences
from shopstep.tablet.bench_thread import BenchThread
from shopstep.tablet.speech import MOST_WAITING, SpeechPage
from shopstep.voice.speak import MOST_BYTES
from shopstep.voice.speak_wav import read_wav, seconds_of
from tests.fake_bench import NOW_S, STEP, FakeBench
from tests.raw_web import Web
from tests.tablet_run import TabletRun, make_session


@pytest.fixture(scope="module")
def web(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Web]:
    """A server that runs, and a device that is paired with it."""
    run = TabletRun(make_session(tmp_path_factory.mktemp("speech")))
    stranger = Web(run.port)
    cookie = stranger.pair(run.next_code()).headers["set-cookie"].split(";")[0]
    yield replace(stranger, cookie=cookie)
    assert run.stop() == 0


def test_a_paired_tablet_hears_the_card(web: Web) -> None:
    reply = web.ask("/speech.wav?of=card")
    assert (reply.status, reply.headers["content-type"]) == (200, "audio/wav")
    assert len(reply.body) <= MOST_BYTES + 100
    assert 2 < seconds_of(reply.body) < 80
    assert read_wav(reply.body)[1] == 24_000
    assert web.ask("/speech.wav?of=alarm").status == 204  # nothing is urgent
    assert web.ask("/speech.wav?of=asked").status == 204  # nobody was asked back
    slow = web.ask("/speech.wav?of=slow")
    assert seconds_of(slow.body) > 1.1 * seconds_of(reply.body)


@pytest.mark.parametrize(
    "query", ["", "?of=", "?of=text", "?of=card&text=hello", "?of=card&of=alarm", "?text=hello"]
)
def test_no_other_words_are_spoken(web: Web, query: str) -> None:
    assert web.ask(f"/speech.wav{query}").status == 400


def test_a_stranger_and_a_foreign_page_hear_nothing(web: Web) -> None:
    assert replace(web, cookie="").ask("/speech.wav?of=card").status == 401
    assert web.ask("/speech.wav?of=card", Origin="http://elsewhere.example").status == 403
    assert web.ask("/speech.wav?of=card", "POST").status == 405


class FakeSpeech:
    """Writes down what it is to say; slow until it is let go."""

    def __init__(self) -> None:
        self.said: list[tuple[str, ...]] = []
        self.go = threading.Event()
        self.go.set()

    def speak(self, sentences: Sequence[str], *, slowly: bool = False) -> bytes:
        assert not slowly
        self.said.append(tuple(sentences))
        self.go.wait(10)
        return b"RIFF"


async def test_what_was_asked_back_is_said_to_the_device_that_was_asked() -> None:
    speech = FakeSpeech()
    asked = {"one": "12 3/8 in for the fence?"}
    thread = cast("BenchThread", FakeThread(STEP))
    page = SpeechPage(thread, speech, lambda request: asked.get(request.headers["Host"], ""))
    for host, status in (("one", 200), ("two", 204)):
        request = make_mocked_request("GET", "/speech.wav?of=asked", headers={"Host": host})
        assert (await page.handle(request)).status == status
    assert speech.said == [("twelve and three eighths inches for the fence?",)]
    page.close()


class FakeThread:
    """Gives one card."""

    def __init__(self, card: StepCard) -> None:
        self.card = card

    async def card_now(self) -> tuple[StepCard, int, str]:
        return self.card, NOW_S, "UTC"


def page_of(card: StepCard, speech: FakeSpeech | None) -> SpeechPage:
    """The handler alone."""
    return SpeechPage(cast("BenchThread", FakeThread(card)), speech)


async def test_an_alarm_says_the_urgent_limit_alone_and_no_engine_is_no_error() -> None:
    glue = CardTimer("back glue, unit 1", "open", NOW_S - 250, NOW_S + 50, True, "u1/x")
    paint = CardTimer("first coat, unit 1", "recoat", NOW_S - 50, NOW_S + 5000, False, "u1/y")
    card = replace(STEP, timers=(paint, glue))
    speech = FakeSpeech()
    page = page_of(card, speech)
    for wanted in ("alarm", "card"):
        reply = await page.handle(make_mocked_request("GET", f"/speech.wav?of={wanted}"))
        assert reply.status == 200
    assert speech.said[0] == ("Close now.", "Back glue, unit one.", "Fifty seconds left.")
    assert speech.said[1] == card_sentences(card)
    page.close()
    mute = await page_of(card, None).handle(make_mocked_request("GET", "/speech.wav?of=card"))
    assert mute.status == 204


async def test_who_asks_too_often_is_asked_to_come_again() -> None:
    speech = FakeSpeech()
    speech.go.clear()
    page = page_of(STEP, speech)
    asked = [
        asyncio.create_task(page.handle(make_mocked_request("GET", "/speech.wav?of=card")))
        for _ in range(MOST_WAITING + 2)
    ]
    await asyncio.sleep(0)
    done, _ = await asyncio.wait(asked, return_when=asyncio.FIRST_COMPLETED)
    speech.go.set()
    statuses = [task.result().status for task in (await asyncio.wait(asked))[0]]
    assert {task.result().status for task in done} == {503}
    assert (statuses.count(200), statuses.count(503)) == (MOST_WAITING, 2)
    page.close()


def test_the_words_are_those_of_the_card_at_the_bench_just_now() -> None:
    thread = BenchThread(lambda: FakeBench(STEP))

    async def look() -> tuple[StepCard, int, str]:
        await thread.open()
        return await thread.card_now()

    assert asyncio.run(look()) == (STEP, NOW_S, "UTC")
    thread.close()
