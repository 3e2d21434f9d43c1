"""What a person of another language sees: a made-up one shows whether a word was forgotten.

Every sentence of the template gets accents (``tests.pseudo_language``). Then cards, pages,
refusals and lists are looked through for words without one. Those of build files, of sources and
of what is typed stay as they are. The share may not fall.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.present.lines import card_lines
from shopstep.present.phrases import COMMAND_USAGE
from shopstep.safety.leaving_rows import LEAVING_ROWS
from shopstep.safety.table import ROWS
from shopstep.storage.clock import FixedClock
from shopstep.tablet.pages import read_pages
from shopstep.tablet.sheet import sheet_of
from shopstep.wiring.demo import make_demo
from shopstep.words import PLAIN, speak
from tests.every_card import BEGIN_S, every_card, shelf_plan
from tests.pseudo_language import PSEUDO, WORD, Shown, accent, keep_pseudo
from tests.tui_pilot import sight_of

LEAST = {"cards": 0.999, "bench": 0.99, "tablet": 0.99, "lines": 0.97}
"""The share of words that are translated, by where they are shown; it may rise, not fall."""
SOURCES = " ".join([row.caution.source for row in ROWS] + [row.source for row in LEAVING_ROWS])
DAYS = "Sun Mon Tue Wed Thu Fri Sat Sunday Monday Tuesday Wednesday Thursday Friday Saturday Jan"
KNOWN = (*COMMAND_USAGE, *WORD.findall(SOURCES), *DAYS.split())
KEYS = ("PageUp", "PageDown", "tab", "shift", "enter")
NOW_S = BEGIN_S + 5 * 86400
PAGES = ("", "w", "m", "mi", "question_mark", "o", "e", "d", "b", "ee", "h")
"""Keys that open a page of the bench, one letter each."""


@pytest.fixture
def _pseudo() -> Iterator[None]:
    speak(PSEUDO)
    yield
    speak(PLAIN)


def report(shown: Shown, of: str) -> None:
    """Print the share, and hold it."""
    print(f"{of}: {shown.share:.4f} of {shown.translated} words; left: {sorted(shown.left)}")
    assert shown.translated > 100
    assert shown.share >= LEAST[of], shown.left


def test_accents_keep_places_and_what_is_typed() -> None:
    assert accent("Set the fence at {fence}.") == "Šéţ ţĥé ƒéñçé áţ {fence}."
    assert accent("In words: `done`.") == "Íñ ŵóŕðš: `done`."


@pytest.mark.usefixtures("_pseudo")
def test_every_card_of_a_floor() -> None:
    shown = Shown(KNOWN)
    for card in every_card(shelf_plan.__wrapped__("screened-floor", "in")):
        for line in card_lines(card, BEGIN_S, "UTC"):
            shown.look(line, card.step_id)
    report(shown, "cards")


@pytest.mark.usefixtures("_pseudo")
async def test_pages_of_the_bench(tmp_path: Path) -> None:
    shown = Shown((*KNOWN, *KEYS))
    bench = make_demo(tmp_path, FixedClock(NOW_S, "UTC")).bench
    for size in ((120, 40), (80, 24)):
        for keys in PAGES:
            async with sight_of(bench, size) as sight:
                await sight.press(*([keys] if len(keys) > 2 else keys))
                labels = [button.place.label for button in sight.buttons().values()]
                shown.look("\n".join([sight.text(), *labels]), f"{size} {keys}")
    report(shown, "bench")


@pytest.mark.usefixtures("_pseudo")
def test_the_card_of_the_tablet(tmp_path: Path) -> None:
    shown = Shown(KNOWN)
    bench = make_demo(tmp_path, FixedClock(NOW_S, "UTC")).bench
    for card in every_card(bench.plan):
        for words in _words(sheet_of(bench, card)):
            shown.look(words, card.step_id)
    report(shown, "tablet")


CODES = ("step", "mode", "signal", "measure", "drawn", "picture", "spoken", "asks", "unit")
"""Of the tablet's card what no person reads; and what is spoken, which is English so far."""


def _words(value: object, key: str = "") -> Iterator[str]:
    """The words of a card: of a pair what is read, not what is sent."""
    if isinstance(value, dict):
        for name, inner in value.items():
            if name not in CODES:
                yield from _words(inner, name)
    elif isinstance(value, list | tuple):
        is_row = key in ("actions", "menus", "rows", "numbers") and len(value) > 1
        is_sent = is_row and all(isinstance(each, str) for each in value)
        if is_sent and key == "numbers":
            value = value[:2]
        elif (is_sent and key != "rows") or (is_sent and value[0].islower()):
            value = value[1:2]
        for inner in value:
            yield from _words(inner, key)
    elif isinstance(value, str):
        yield value


def test_scripts_and_pages_of_the_tablet_are_served_in_that_language() -> None:
    english = read_pages()
    speak(PSEUDO)
    for path, page in read_pages().items():
        if page.is_binary or path.startswith("/textual") or path == "/xterm.css":
            continue
        text = page.body.decode()
        assert path.endswith(".js") or "[[" not in text, path
        plain = re.findall(r'worded\(\s*"((?:[^"\\]|\\.)*)"', text)
        shown = Shown()
        for words in plain:
            shown.look(re.sub(r"\{\w+\}", " ", json.loads(f'"{words}"')), path)
        assert not shown.left, path
    speak(PLAIN)
    again = read_pages()
    assert again == english
    assert b'<html lang="en">' in again["/"].body
    assert b"[[" not in again["/"].body


LINES = (
    "builds",
    "check screened-floor",
    "check screened-floor --set box_width=2in",
    "plan screened-floor --units 2",
    "start screened-floor --units 2",
    "do LAST done",
    "do LAST ack",
    "do LAST measure gap 3",
    "do LAST accept",
    "do LAST take nothing",
    "do LAST conditions 90C 5%",
    "do LAST back",
    "do LAST hold",
    "do LAST done",
    "do LAST resume",
    "do LAST more",
    "board",
    "log LAST",
    "tonight LAST --until 23:00",
    "rack list",
    "rack add 38in 5.5in 3/4in",
    "lessons screened-floor",
    "resume nowhere",
    "frobnicate",
)
"""Commands that are given one after the other, with their refusals."""


def test_lists_and_refusals_by_lines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    keep_pseudo(tmp_path / "data")
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    monkeypatch.setenv("LANGUAGE", "xx")
    shown = Shown((*KNOWN, "shopstep", "session", "frobnicate", "nothing", "nowhere"))
    for line in LINES:
        run(line.split())
        out = capsys.readouterr()
        for text in (out.out + out.err).splitlines():
            shown.look(text.replace(str(tmp_path), ""), line)
    report(shown, "lines")


def test_help_is_in_that_language_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    keep_pseudo(tmp_path / "data")
    for language, words in (("xx", accent("How many to make")), ("en", "How many to make")):
        monkeypatch.setenv("LANG", "de_DE.UTF-8")
        monkeypatch.setenv("LANGUAGE", language)
        run(["plan", "--help"])
        assert words in capsys.readouterr().out
        run(["--help"])
        assert (accent("Examples:") in capsys.readouterr().out) is (language == "xx")


@pytest.mark.parametrize("name", ["screened-floor", "hive-body"])
def test_the_language_changes_no_step_no_time_and_no_caution(name: str) -> None:
    english = shelf_plan.__wrapped__(name, "in")
    speak(PSEUDO)
    other = shelf_plan.__wrapped__(name, "in")
    speak(PLAIN)
    assert [s.id for s in other.steps] == [s.id for s in english.steps]
    assert [s.start_s for s in other.steps] == [s.start_s for s in english.steps]
    for mine, theirs in zip(other.kinds, english.kinds, strict=True):
        assert [c.id for c in mine.cautions] == [c.id for c in theirs.cautions], mine.id
        assert [c.name for c in mine.checks] == [c.name for c in theirs.checks]
        assert [n.value for n in mine.numbers] == [n.value for n in theirs.numbers]
    assert [s.operations for s in other.setups] == [s.operations for s in english.setups]
    assert [p.cuts for p in other.stock] == [p.cuts for p in english.stock]
