"""Attacks on the tablet's microphone, each against the real server with the real ear: it closes
within seconds, nothing is ticked, no sound is kept, and who may is heard after it."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from shopstep.storage.device_book import DeviceBook
from shopstep.tablet.ear import BUSY, MOST_SOUND, SILENT_S
from tests.attacked_tablet import Target, forged_passes, pass_in, wait_until
from tests.raw_web import Web, frame
from tests.shop_sounds import in_shop, speak
from tests.tablet_ear import BINARY, PIECE, QUIET, EarLink, close_all
from tests.tablet_run import TabletRun, card_of, make_session

SOON_S = SILENT_S + 3.0
BAD = {1008}
SAID = "hold the batch here"


@pytest.fixture(scope="module")
def target(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Target]:
    """One server for all attacks: what one breaks, the next one meets."""
    folder = tmp_path_factory.mktemp("ear")
    os.environ["TMPDIR"] = str(folder)
    run = TabletRun(make_session(folder))
    del os.environ["TMPDIR"]
    stranger = Web(run.port)
    reply = stranger.pair(run.next_code())
    assert reply.status == 204, reply
    book = DeviceBook(folder / "xdg_data_home" / "shopstep" / "tablet")
    before = card_of(run.session).version
    yield Target(run, book, replace(stranger, cookie=pass_in(reply)))
    assert card_of(run.session).version == before, "nothing was done in the session"
    assert run.stop() == 0
    assert ears_of(run) == []


@pytest.fixture(autouse=True)
def _lives_on(target: Target) -> Iterator[None]:
    """After every attack nothing is ticked, and a paired page can open its microphone."""
    before = card_of(target.run.session).version
    yield
    close_all()
    assert card_of(target.run.session).version == before
    ends = time.monotonic() + SOON_S
    while time.monotonic() < ends:
        link = EarLink.open(target.web, before)
        told = link.next_of("open", "trouble")
        link.close()
        if told["kind"] == "open":
            return
        assert told["text"] == BUSY
        time.sleep(0.05)
    raise AssertionError("nobody is heard any more")


def ears_of(run: TabletRun) -> list[int]:
    """Process ids of the ears that the server started (Linux)."""
    found = []
    for each in Path("/proc").glob("[0-9]*"):
        try:
            words = (each / "cmdline").read_bytes()
            parent = (each / "stat").read_text().rpartition(")")[2].split()[1]
        except OSError:  # it has just gone
            continue
        if b"hearing_child" in words and int(parent) == run.process.pid:
            found.append(int(each.name))
    return found


def version(target: Target) -> int:
    """Of the card in sight."""
    return card_of(target.run.session).version


def sound_of(words: str) -> bytes:
    """A phrase in a quiet shop, as a page sends it."""
    speech = speak(words, "en-us+m3")
    return in_shop(speech, "clean", 0, np.random.default_rng(2), 0.8, 0.6).tobytes()


def shut_within(link: EarLink, seconds: float) -> int:
    """The closing code, within so long."""
    began = time.monotonic()
    link.rest()
    assert time.monotonic() - began < seconds
    return link.code


def test_until_a_tablet_listens_nothing_of_voice_is_loaded() -> None:
    # what the command loads to serve; the real process is looked at by its maps below
    code = (
        "import sys, shopstep.cli.tablet_command, shopstep.tablet.running, shopstep.tablet.server\n"
        "from shopstep.wiring.tablets import LateEars\n"
        "assert LateEars().why_not() == ''\n"
        "heavy = ('shopstep.voice', 'shopstep.tablet.hearing', 'numpy', 'pocketsphinx')\n"
        "print([name for name in sys.modules if name.startswith(heavy)])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "[]"


def test_the_ear_is_a_process_of_its_own_and_the_server_stays_free_of_it(target: Target) -> None:
    link = EarLink.open(target.web, version(target))
    link.next("open")
    (ear,) = ears_of(target.run)
    link.send(QUIET)
    link.next("level")
    assert "pocketsphinx" in Path(f"/proc/{ear}/maps").read_text()
    maps = Path(f"/proc/{target.run.process.pid}/maps").read_text()
    assert "pocketsphinx" not in maps
    assert "numpy" not in maps
    link.close()


def test_without_a_pass_or_with_a_forged_one_nobody_is_heard(target: Target) -> None:
    passes = {"none": target.stranger} | {
        name: target.forged(value) for name, value in forged_passes(target).items()
    }
    for name, web in passes.items():
        assert EarLink.open(web, version(target)).status == 401, name


@pytest.mark.parametrize(
    "origin", [None, "null", "http://evil.example", "https://127.0.0.1:{port}"]
)
def test_a_foreign_page_is_not_heard_although_it_has_the_pass(
    target: Target, origin: str | None
) -> None:
    shown = origin.format(port=target.run.port) if origin else origin
    assert EarLink.open(target.web, version(target), Origin=shown).status == 403
    assert EarLink.open(target.web, version(target), Host="evil.example").status == 421


def test_only_the_cards_page_may_ask_for_the_microphone(target: Target) -> None:
    for path in ("/", "/pair", "/terminal", "/ear.js", "/ear?seen=1", "/card"):
        policy = target.web.ask(path).headers["permissions-policy"]
        assert ("microphone=(self)" in policy) == (path == "/"), path
        assert ("microphone=()" in policy) == (path != "/"), path
    assert target.web.ask("/ear?seen=1").status == 400
    assert target.web.ask("/ear?seen=1", "POST", QUIET).status == 405


@pytest.mark.parametrize("seen", ["", "x", "-1", "1.5", "9" * 16, "1&seen=2", "1&way=x", "%00"])
def test_a_card_that_is_no_number_is_none(target: Target, seen: str) -> None:
    link = EarLink.open(target.web, seen)
    assert shut_within(link, 2) in BAD


def test_a_card_that_is_not_in_sight_is_not_listened_to(target: Target) -> None:
    for seen in (0, version(target) + 1, 10**14):
        link = EarLink.open(target.web, seen)
        assert [told["kind"] for told in link.rest()] == ["trouble"]


@pytest.mark.parametrize(
    ("frames", "codes"),
    [
        ([frame(b"x" * (MOST_SOUND + 1), BINARY)], {1009, 0}),
        ([frame(b"x", BINARY, length=2**62)], {1009, 1002, 0}),
        ([frame(b"\x00" * 1001, BINARY)], BAD),
        ([frame(QUIET, BINARY), frame(b"\x00", BINARY)], BAD),
        ([frame(b'{"act": "do done"}', 1)], BAD),
        ([frame(b"", 1)], BAD),
        ([frame(b"\xff\xfe", 1)], {1007, 0}),
        ([frame(b"x", 11)], {1002, 0}),
        ([b"GET / HTTP/1.1\r\n\r\n"], {1002, 0}),
        ([frame(b"", BINARY), frame(QUIET, BINARY)], {1000, 1008}),
        ([frame(b"\x00" * MOST_SOUND, BINARY)] * 8, BAD),
        ([frame(QUIET, BINARY)] * 400, BAD),
    ],
    ids=["too large", "a huge length", "half a sample", "one byte", "words", "no words",
         "no UTF-8", "unknown kind", "no frame", "sound after the end", "a flood of large ones",
         "a flood of small ones"],
)  # fmt: skip
def test_what_is_no_sound_shuts_the_microphone(
    target: Target, frames: list[bytes], codes: set[int]
) -> None:
    link = EarLink.open(target.web, version(target))
    link.next("open")
    link.throw(b"".join(frames))
    assert shut_within(link, SOON_S) in codes


def test_who_sends_nothing_or_hardly_anything_is_shut_out_soon(target: Target) -> None:
    link = EarLink.open(target.web, version(target))
    assert shut_within(link, SOON_S) in BAD, "pings are answered, and that is not enough"


def test_a_device_that_is_let_go_is_cut_off_in_the_middle_of_a_phrase(target: Target) -> None:
    reply = target.stranger.pair(target.run.new_code())
    web = replace(target.web, cookie=pass_in(reply))
    link = EarLink.open(web, version(target))
    link.next("open")
    sound = sound_of(SAID)
    half = len(sound) // 2 // PIECE * PIECE
    link.send(sound[:MOST_SOUND])
    link.send(sound[MOST_SOUND:half])
    assert target.book.let_go("tablet 2")
    began = time.monotonic()
    link.send(sound[half : half + MOST_SOUND])
    link.send(b"")
    link.rest()
    assert link.code == 4401
    assert time.monotonic() - began < 3
    assert EarLink.open(web, version(target)).status == 401


def test_no_sound_is_kept_anywhere(target: Target) -> None:
    """Neither in a file of the session's folder, settings, data, cache or temporary files, nor in
    a file that server or ear hold open."""
    began_s = time.time()
    link = EarLink.open(target.web, version(target))
    link.next("open")
    sound = sound_of("the weather is going to turn cold")
    link.say(sound)
    pids = [target.run.process.pid, *ears_of(target.run)]
    assert len(pids) == 2
    opened = {path for pid in pids for path in files_of(pid)}
    link.rest()
    parts = [sound[at : at + 64] for at in range(16_000, len(sound) - 64, 8_000)]
    kept = [path for path in target.run.folder.rglob("*") if path.is_file()]
    changed = [path.name for path in kept if path.stat().st_mtime >= began_s]
    assert [name for name in changed if not name.endswith(".session")] == []
    for path in {*kept, *opened}:
        data = path.read_bytes() if path.exists() and path.stat().st_size < 50e6 else b""
        assert not any(part in data for part in parts), path
    assert not any(path.suffix in (".wav", ".pcm", ".raw") for path in kept)


def files_of(pid: int) -> list[Path]:
    """Regular files that a process holds open for writing (Linux)."""
    found = []
    for link in Path(f"/proc/{pid}/fd").iterdir():
        try:
            flags = Path(f"/proc/{pid}/fdinfo/{link.name}").read_text().split("flags:")[1].split()
            path = link.resolve()
        except (OSError, IndexError):
            continue
        if path.is_file() and int(flags[0], 8) & (os.O_WRONLY | os.O_RDWR):
            found.append(path)
    return found


def test_the_log_says_why_a_microphone_was_shut_and_no_word_that_was_said(target: Target) -> None:
    for data in (frame(b"", 1), frame(QUIET, BINARY) * 400, b""):
        link = EarLink.open(target.web, version(target))
        link.next("open")
        link.throw(data)
        link.rest()
    link = EarLink.open(target.web, version(target))
    link.say(sound_of("the weather is going to turn cold"))
    link.rest()
    told = ("what came was no sound", "more sound came than is spoken", "no sound came")
    wait_until(
        lambda: all(f"a microphone was shut: {why}" in "".join(target.run.log) for why in told)
    )
    log = "".join(target.run.log)
    assert "Traceback" not in log
    assert "weather" not in log
