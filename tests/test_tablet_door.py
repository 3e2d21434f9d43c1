"""Who is let in: codes, passes, the book of devices, and what a page may ask for."""

from __future__ import annotations

import json
import re
import stat
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopstep.present.card import CardMode
from shopstep.session.commands import (
    AcknowledgeCaution,
    FinishStep,
    SetAside,
    TakeMeasure,
    TakeStep,
)
from shopstep.storage.device_book import DeviceBook
from shopstep.tablet import cookies
from shopstep.tablet.addresses import is_at_home
from shopstep.tablet.asking import BadMessage, command_for, read_message
from shopstep.tablet.bell import AGAIN_S, MOST, RECENT_S, Bell, Ringer
from shopstep.tablet.happenings import QUIET_S, Happenings
from shopstep.tablet.pages import read_pages
from shopstep.tablet.pairing import DIGITS, LASTS_S, TRIES, Pairing, Verdict, make_code
from shopstep.tablet.terminal_process import KEPT_NAMES, clean_environment
from shopstep.units import Length
from tests.fake_bench import STEP
from tests.tablet_served import Loudspeaker

SECRET, OTHER = b"s" * 32, b"t" * 32
DEVICE, NOW_S = "0123456789abcdef", 1_800_000_000


def test_a_code_works_once() -> None:
    pairing = Pairing(lambda: "12345678")
    code = pairing.open(0.0)
    assert pairing.try_code(code, 1.0) is Verdict.RIGHT
    assert pairing.try_code(code, 1.1) is Verdict.GONE


def test_a_code_works_for_two_minutes() -> None:
    pairing = Pairing(lambda: "12345678")
    pairing.open(0.0)
    assert pairing.try_code("12345678", LASTS_S) is Verdict.GONE
    pairing.open(500.0)
    assert pairing.try_code("12345678", 500.0 + LASTS_S - 0.001) is Verdict.RIGHT


def test_a_code_bears_five_tries() -> None:
    pairing = Pairing(lambda: "12345678")
    pairing.open(0.0)
    assert [pairing.try_code("00000000", 1.0) for _ in range(TRIES)] == [Verdict.WRONG] * TRIES
    assert pairing.try_code("12345678", 1.0) is Verdict.GONE


def test_before_a_code_is_opened_and_for_an_empty_one_nothing_is_right() -> None:
    pairing = Pairing(lambda: "12345678")
    assert pairing.try_code("", 0.0) is Verdict.GONE
    pairing.open(0.0)
    assert pairing.try_code("", 0.0) is Verdict.WRONG


def test_codes_have_eight_digits_and_differ() -> None:
    codes = {make_code() for _ in range(200)}
    assert all(len(code) == DIGITS and code.isdecimal() for code in codes)
    assert len(codes) > 190


def test_a_pass_holds_until_it_is_too_old() -> None:
    value = cookies.sign(SECRET, DEVICE, NOW_S)
    held = cookies.read(SECRET, value, NOW_S + cookies.LASTS_S - 1)
    assert held == cookies.Pass(DEVICE, NOW_S)
    assert cookies.read(SECRET, value, NOW_S + cookies.LASTS_S) is None
    assert cookies.read(SECRET, value, NOW_S - 10 * 86400) is None, "from the future"


@given(st.integers(0, 96), st.characters(codec="ascii"))
def test_a_pass_with_any_letter_changed_holds_nothing(place: int, letter: str) -> None:
    value = cookies.sign(SECRET, DEVICE, NOW_S)
    place %= len(value)
    forged = value[:place] + letter + value[place + 1 :]
    expected = cookies.Pass(DEVICE, NOW_S) if forged == value else None
    assert cookies.read(SECRET, forged, NOW_S) == expected


@given(st.text())
def test_what_is_no_pass_is_none(value: str) -> None:
    assert cookies.read(SECRET, value, NOW_S) is None


def test_a_pass_signed_elsewhere_holds_nothing() -> None:
    assert cookies.read(SECRET, cookies.sign(OTHER, DEVICE, NOW_S), NOW_S) is None


def test_the_secret_is_kept_for_its_owner_alone(tmp_path: Path) -> None:
    book = DeviceBook(tmp_path / "data" / "tablet")
    secret = book.secret()
    assert len(secret) == 32
    assert DeviceBook(tmp_path / "data" / "tablet").secret() == secret
    path = tmp_path / "data" / "tablet" / "secret"
    path.chmod(0o644)
    book.secret()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


@pytest.mark.parametrize("damaged", [b"", b"5", b"no secret", b"\xff\xfe\x00", b"ab" * 31])
def test_a_damaged_secret_is_made_anew(tmp_path: Path, damaged: bytes) -> None:
    book = DeviceBook(tmp_path / "tablet")
    old = book.secret()
    (tmp_path / "tablet" / "secret").write_bytes(damaged)
    assert len(book.secret()) == 32
    assert book.secret() not in (old, damaged)


def test_devices_are_listed_by_name_and_let_go_for_good(tmp_path: Path) -> None:
    book = DeviceBook(tmp_path / "tablet")
    first, second = book.add("192.0.2.5", NOW_S), book.add("192.0.2.6", NOW_S + 60)
    assert [d.name for d in book.all()] == ["tablet 1", "tablet 2"]
    book.note_seen(second.id, NOW_S + 900)
    assert book.find(second.id) == type(second)(
        second.id, "tablet 2", "192.0.2.6", NOW_S + 60, NOW_S + 900
    )
    assert book.let_go("tablet 1")
    assert not book.let_go("tablet 1")
    book.note_seen(first.id, NOW_S + 999)
    assert book.find(first.id) is None, "noting that it was here brings nothing back"
    assert book.add("192.0.2.7", NOW_S).name == "tablet 1"


@pytest.mark.parametrize("name", ["../secret", "..", "", "0123456789ABCDEF", DEVICE + "\n"])
def test_only_an_id_is_looked_up(tmp_path: Path, name: str) -> None:
    book = DeviceBook(tmp_path / "tablet")
    book.secret()
    book.add("192.0.2.5", NOW_S)
    assert book.find(name) is None


def test_a_damaged_file_is_no_device(tmp_path: Path) -> None:
    book = DeviceBook(tmp_path / "tablet")
    device = book.add("192.0.2.5", NOW_S)
    (tmp_path / "tablet" / "devices" / device.id).write_text("{", encoding="utf-8")
    assert book.all() == ()


def message(**changes: object) -> str:
    """A message as our page sends it."""
    whole = {"id": "0" * 32, "act": "do done", "step": STEP.step_id, "seen": STEP.version}
    return json.dumps(whole | changes)


@pytest.mark.parametrize(
    "text",
    [
        "", "{", "[]", "null", "7", '"x"', "[" * 5000, "{}",
        message(id="0" * 31), message(id="../../etc/passwd"), message(id=7),
        message(act=["do", "done"]), message(act="x" * 500), message(act="do\x1bdone"),
        message(step=None), message(step="a\nb"),
        message(seen="7"), message(seen=-1), message(seen=True), message(seen=1.5),
        message(seen=2**60),
    ],
)  # fmt: skip
def test_what_our_page_never_sends_is_no_message(text: str) -> None:
    with pytest.raises(BadMessage):
        read_message(text)


@pytest.mark.parametrize(
    ("act", "kind"),
    [
        ("do done", FinishStep),
        ("do ack", AcknowledgeCaution),
        ("take u1/fit/dry_fit", TakeStep),
        ("say aside no reason", SetAside),
    ],
)
def test_what_is_asked_for_carries_the_step_and_the_version_that_were_seen(
    act: str, kind: type
) -> None:
    asked = read_message(message(act=act, seen=3, step="u9/old"))
    command = command_for(asked, STEP, NOW_S)
    assert isinstance(command, kind)
    assert not isinstance(command, str)
    assert command.seen == 3
    assert command.id == "0" * 32
    if kind is not TakeStep:
        assert command.step == "u9/old"


def test_a_number_is_read_as_the_same_words_are_elsewhere() -> None:
    command = command_for(read_message(message(act="measure gap 1 1/16 in toe")), STEP, NOW_S)
    assert isinstance(command, TakeMeasure)
    assert (command.name, command.value, command.where) == ("gap", Length.inches("17/16"), "toe")


@pytest.mark.parametrize(
    "act",
    [
        "", "do", "do rm", "do accept", "say", "say spoiled x", "say clamps many",
        "say label x min",
        "say spoiled a b c", "open /etc/passwd", "take", "take a b", "measure", "measure gap much",
    ],
)  # fmt: skip
def test_what_is_not_known_is_answered_with_a_sentence(act: str) -> None:
    assert STEP.mode is CardMode.STEP
    answer = command_for(read_message(message(act=act)), STEP, NOW_S)
    assert isinstance(answer, str)
    assert answer.endswith((".", "NAME 1/32 in", "'more')", "in"))


def test_what_happens_often_is_told_once_and_counted() -> None:
    lines: list[str] = []
    now = [0.0]
    happenings = Happenings(lines.append, lambda: now[0], lambda: "19:00:00")
    for _ in range(50):
        happenings.tell("refused: no pass", "192.0.2.9")
    now[0] = QUIET_S + 1
    happenings.tell("refused: no pass", "192.0.2.9\x1b[31m\n")
    happenings.tell("refused: no pass", "192.0.2.9")
    assert lines == [
        "19:00:00 refused: no pass (192.0.2.9)",
        "19:00:00 refused: no pass (192.0.2.9?[31m?)",
        "19:00:00 refused: no pass (192.0.2.9), and 49 times before",
    ]


def test_a_screen_is_started_with_nothing_but_what_it_needs(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("SOME_TOKEN", "hush")
    given_names = set(clean_environment(80, 24))
    ours = {name for name in given_names if name.startswith(("TEXTUAL_", "TERM", "PYTHONUN"))}
    assert given_names - ours - {"COLUMNS", "ROWS"} <= set(KEPT_NAMES)


@pytest.mark.parametrize(
    ("address", "is_home"),
    [
        # RFC 1918 and RFC 3927; the rest of the internet is none of our business
        ("192.168.1.20", True), ("10.0.0.3", True), ("172.16.0.1", True), ("172.31.255.1", True),
        ("169.254.7.7", True), ("172.32.0.1", False), ("8.8.8.8", False), ("127.0.0.1", False),
        ("0.0.0.0", False), ("100.64.0.1", False),
    ],
)  # fmt: skip
def test_only_the_home_network_is_served(address: str, is_home: bool) -> None:
    assert is_at_home(address) is is_home


def clocks(*, quiet: bool = False, **stages: str) -> dict[str, object]:
    """Timers by name and stage, as pages are told them."""
    timers = [
        {"name": name, "kind": "open", "stage": stage, "words": stage}
        for name, stage in stages.items()
    ]
    return {"time": "20:15", "timers": timers, "quiet": quiet}


class Rung:
    """Writes down what was rung for, and with which sound."""

    def __init__(self) -> None:
        self.words: list[str] = []
        self.sounds: list[str] = []

    def __call__(self, sound: str, what: str) -> None:
        """One ring."""
        self.words.append(what)
        self.sounds.append(sound)


def test_the_machine_rings_itself_once_no_page_can() -> None:
    rung = Rung()
    bell = Bell(rung)
    bell.look(clocks(glue="running", paint="waiting", old="ready"), is_heard=False)
    bell.look(clocks(glue="half", paint="waiting", old="ready"), is_heard=True)
    for _ in range(RECENT_S + 1):
        bell.look(clocks(glue="nearly", paint="waiting", old="ready"), is_heard=True)
    assert rung.words == [], "the page rings"
    bell.look(clocks(glue="nearly", paint="waiting", old="ready"), is_heard=False)
    assert rung.words == ["glue: nearly"], "what presses is told when the page vanishes"
    for _ in range(2):
        bell.look(clocks(glue="late", paint="waiting", old="ready"), is_heard=False)
    assert rung.words == ["glue: nearly", "glue: late"]
    assert rung.sounds == ["due", "late"]


def test_what_came_up_while_a_tablet_was_lost_unnoticed_is_rung_for_too() -> None:
    rung = Rung()
    bell = Bell(rung)
    bell.look(clocks(paint="waiting"), is_heard=True)
    bell.look(clocks(paint="ready"), is_heard=True)
    bell.look(clocks(paint="ready"), is_heard=True)
    for _ in range(3):
        bell.look(clocks(paint="ready"), is_heard=False)
    assert rung.words == ["paint: ready"], "once"


def test_what_presses_is_rung_for_again_until_nobody_can_be_there() -> None:
    rung = Rung()
    bell = Bell(rung)
    bell.look(clocks(glue="running"), is_heard=False)
    for _ in range(AGAIN_S * (MOST + 5)):
        bell.look(clocks(glue="late"), is_heard=False)
    assert rung.sounds == ["late"] * MOST


def test_at_a_machine_the_line_comes_without_a_sound() -> None:
    rung = Rung()
    bell = Bell(rung)
    bell.look(clocks(paint="waiting"), is_heard=False)
    bell.look(clocks(paint="ready", quiet=True), is_heard=False)
    assert (rung.words, rung.sounds) == (["paint: ready"], [""])


def test_the_terminals_bell_rings_where_no_sound_can_be_made() -> None:
    told: list[tuple[str, bool]] = []
    for speaker in (Loudspeaker(works=True), Loudspeaker(works=False), None):
        Ringer(speaker, lambda what, with_bell: told.append((what, with_bell)))("late", "glue")
        assert speaker is None or speaker.sounded == ["late"]
    assert told == [("glue", False), ("glue", True), ("glue", True)]
    Ringer(Loudspeaker(works=True), lambda what, with_bell: told.append((what, with_bell)))("", "x")
    assert told[-1] == ("x", False), "silent at a machine"


def test_a_wait_that_ends_unseen_is_rung_for() -> None:
    rung = Rung()
    bell = Bell(rung)
    clamp = {"name": "glue", "kind": "clamp", "stage": "waiting", "words": "off in 1 min"}
    cure = {"name": "glue", "kind": "cure", "stage": "waiting", "words": "cured in 1 day"}
    bell.look({"timers": [clamp, cure], "quiet": False}, is_heard=False)
    ready = clamp | {"stage": "ready", "words": "ready, off"}
    bell.look({"timers": [ready, cure], "quiet": False}, is_heard=False)
    assert rung.words == ["glue: ready, off"]


def test_every_file_that_a_page_asks_for_is_in_the_table() -> None:
    pages = read_pages(None, {"half": b"", "due": b"", "late": b""})
    asked = re.compile(r"""(?:from |import |src=|href=|"src": |fetch\()["']\.?(/[\w.-]+)""")
    named = {
        found
        for path, file in pages.items()
        if not file.is_binary and path != "/textual.js"
        for found in asked.findall(file.body.decode("utf-8"))
    }
    assert {"/words.js", "/link.js", "/card.css", "/icon-192.png"} <= named
    assert named <= {*pages, "/alive", "/pair"}
