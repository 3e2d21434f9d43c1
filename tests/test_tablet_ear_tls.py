"""Speech in real Chromium, over TLS, into a real session: the step is ticked."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
from playwright.sync_api import expect

from shopstep.present.phrases import parse_command
from shopstep.voice.hear_audio import write_wav
from shopstep.wiring.benches import open_session
from shopstep.wiring.clocks import make_clock
from tests.ear_page import FAKE, is_shut, listens
from tests.shop_sounds import in_shop, speak
from tests.tablet_page import chromium, make_tablet
from tests.tablet_run import TabletRun, card_of, make_session, walk


def test_speech_at_the_tablets_microphone_ticks_the_step_over_tls(tmp_path: Path) -> None:
    wav = tmp_path / "said.wav"
    speech = speak("mark it done", "en-us+m3")
    write_wav(wav, in_shop(speech, "clean", 0, np.random.default_rng(1), 2.0, 3.5))
    run = TabletRun(make_session(tmp_path), "--tls")
    try:
        code = run.next_code()
        walk(run.session, "all/crosscut/end_piece")
        answer_caution(run.session)
        before = card_of(run.session)
        assert any(action.id == "done" for action in before.actions)
        with chromium(*FAKE, f"--use-file-for-fake-audio-capture={wav}") as speaking:
            tablet = make_tablet(speaking, tls="s")
            tablet.pair(run.url.replace("http:", "https:"), code)
            for _ in range(4):  # the file goes round and round: it may be cut off in a phrase
                tablet.page.locator("#talk-button").tap()
                listens(tablet.page)
                is_shut(tablet.page)
                tablet.page.wait_for_timeout(700)
                if card_of(run.session).version != before.version:
                    break
            expect(tablet.page.locator("#heard")).to_contain_text("heard: mark it done")
            assert before.step_id not in (card_of(run.session).step_id, "")
            assert not tablet.faults
            assert not tablet.elsewhere
        told: dict[str, Any] = json.loads(run.run("log", str(run.session), "--json").stdout)
        finished = [entry for entry in told["entries"] if entry["kind"] == "step_finished"]
        assert finished[-1]["step"] == before.step_id
    finally:
        run.stop()


def answer_caution(session: Path) -> None:
    """By another face."""
    opened = open_session(str(session), make_clock(None), "do")
    with opened.journal:
        command = parse_command(["ack"], opened.bench.card(), None, "a" * 32)
        assert not isinstance(command, str)
        opened.bench.do(command)
