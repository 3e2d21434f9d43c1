"""The words in one place: the template is whole, and no catalogue can harm a number."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from inspect import cleandoc
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo

from shopstep.cli.main import run
from shopstep.words import (
    PLAIN,
    Manner,
    figure,
    has_same_places,
    manner,
    places_of,
    say,
    say_count,
    speak,
)
from tests.make_words import TEMPLATE, gather, template_text

ROOT = Path(__file__).parent.parent


class Translated:
    """A catalogue from a table."""

    def __init__(self, **told: str) -> None:
        self.told = {"Set the fence at {fence}.": told.get("fence", "")}

    def gettext(self, message: str, /) -> str:
        return self.told.get(message, message)

    def ngettext(self, one: str, many: str, n: int, /) -> str:
        return "ein Teil" if n == 1 else "{n} Teile"


def keep_words(folder: Path, language: str, told: dict[str | tuple[str, str], object]) -> Path:
    """A catalogue in a person's own folder."""
    catalogue = Catalog(locale=language)
    for message, translated in told.items():
        catalogue.add(message, translated)  # type: ignore[arg-type]
    file = folder / "shopstep" / "words" / language / "LC_MESSAGES" / "shopstep.mo"
    file.parent.mkdir(parents=True)
    with file.open("wb") as out:
        write_mo(out, catalogue)
    return file


def test_the_template_is_as_the_sources_are() -> None:
    is_same = TEMPLATE.read_text(encoding="utf-8") == template_text()
    assert is_same, "the words have changed: python -m tests.make_words"


FACES = ("tui", "tablet", "cli", "wiring", "workbench", "desk", "present", "session", "storage")
_SENTENCE = re.compile(r"[A-Z][a-z']*( \S+){2,}[.!?]")


def told_by(path: Path) -> Iterator[tuple[int, str]]:
    """Whole sentences that a module holds besides its docstrings, with their lines."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or id(node) in docs:
            continue
        if isinstance(node.value, str) and _SENTENCE.fullmatch(node.value):
            yield node.lineno, node.value


@pytest.mark.parametrize("room", FACES)
def test_every_sentence_of_a_face_can_be_translated(room: str) -> None:
    known = {text for told in gather() for text in ((told,) if isinstance(told, str) else told)}
    left = [
        (path.name, line, text)
        for path in sorted((ROOT / "shopstep" / room).rglob("*.py"))
        for line, text in told_by(path)
        if cleandoc(text) not in known
    ]
    assert left == []


def test_every_place_of_a_sentence_has_a_name() -> None:
    for message, where in gather().items():
        texts = (message,) if isinstance(message, str) else message
        for text in texts:
            try:
                places_of(text)
            except ValueError:
                assert "{" in text, (text, where)
                assert re.search(r"say\(\s*[\"']", text) is None
        if not isinstance(message, str):
            one, many = (places_of(text) for text in texts)
            assert one | {"n"} == many | {"n"}, (message, where)


def test_without_a_catalogue_it_is_the_english_sentence() -> None:
    assert say("Set the fence at {fence}.", fence="2 in") == "Set the fence at 2 in."
    assert say('write for example {"a": 1}') == 'write for example {"a": 1}'
    assert say_count("{n} piece", "{n} pieces", 1) == "1 piece"
    assert say_count("{n} piece", "{n} pieces", 0) == "0 pieces"
    assert figure(2.5, "g") == "2.5"


@pytest.mark.parametrize(
    ("translated", "shown"),
    [
        ("Anschlag auf {fence}.", "Anschlag auf 2 in."),
        ("Anschlag auf {zaun}.", "Set the fence at 2 in."),
        ("Anschlag.", "Set the fence at 2 in."),
        ("Anschlag auf {fence} und {fence}.", "Anschlag auf 2 in und 2 in."),
        ("Anschlag auf {fence:>20}.", "Set the fence at 2 in."),
        ("Anschlag auf {fence.__class__}.", "Set the fence at 2 in."),
        ("Anschlag auf {fence!r}.", "Set the fence at 2 in."),
        ("Anschlag auf {fence", "Set the fence at 2 in."),
        ("Anschlag auf {0}.", "Set the fence at 2 in."),
        ("", "Set the fence at 2 in."),
    ],
)
def test_a_translation_is_used_only_with_the_same_places(translated: str, shown: str) -> None:
    speak(Manner("de", Translated(fence=translated)))
    assert say("Set the fence at {fence}.", fence="2 in") == shown


def test_the_number_of_a_plural_may_be_said_in_words() -> None:
    speak(Manner("de", Translated()))
    assert say_count("{n} piece", "{n} pieces", 1) == "ein Teil"
    assert say_count("{n} piece", "{n} pieces", 3) == "3 Teile"
    assert not has_same_places("{n} pieces", "Teile")


def test_a_catalogue_of_ones_own_is_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    keep_words(tmp_path / "data", "de", {"It fits: a plan can be made.": "Es passt."})
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    assert run(["check", "screened-floor"]) == 0
    out = capsys.readouterr()
    assert "Es passt." in out.out
    assert not out.err
    assert manner().language == "de"
    monkeypatch.setenv("LANG", "C.UTF-8")
    assert run(["check", "screened-floor"]) == 0
    assert "It fits: a plan can be made." in capsys.readouterr().out


def test_a_catalogue_that_cannot_be_read_is_told_once_and_harms_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = keep_words(tmp_path / "data", "de", {})
    file.write_bytes(b"\xde\x12\x04\x95 no catalogue")
    monkeypatch.setenv("LANGUAGE", "de")
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    assert run(["check", "screened-floor"]) == 0
    out = capsys.readouterr()
    assert "It fits: a plan can be made." in out.out
    assert out.err.count("\n") == 1
    assert out.err.startswith(f"shopstep: the words in {file} cannot be read")


def test_the_settings_choose_before_the_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    keep_words(tmp_path / "data", "de", {"It fits: a plan can be made.": "Es passt."})
    settings = tmp_path / "config" / "shopstep" / "settings.toml"
    settings.parent.mkdir(parents=True)
    settings.write_text('language = "de"\n', encoding="utf-8")
    monkeypatch.setenv("LANG", "C.UTF-8")
    assert run(["check", "screened-floor"]) == 0
    assert "Es passt." in capsys.readouterr().out
    settings.write_text('language = "en"\n', encoding="utf-8")
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    assert run(["check", "screened-floor"]) == 0
    assert "It fits: a plan can be made." in capsys.readouterr().out
    settings.write_text('language = "xx"\n', encoding="utf-8")
    assert run(["check", "screened-floor"]) == 0
    out = capsys.readouterr()
    assert "It fits: a plan can be made." in out.out
    assert "there are no words for 'xx'" in out.err


def test_json_stays_english_and_plain(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ["plan", "screened-floor", "--json", "--show", "mm"]
    moment = ["--now", "2026-01-15T18:00:00+00:00"]
    assert run([*arguments, *moment]) == 0
    english = capsys.readouterr().out
    keep_words(
        tmp_path / "data",
        "de",
        {("{n} day", "{n} days"): ("{n} Tag", "{n} Tage"), "unit {unit}": "Stück {unit}"},
    )
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    assert run([*arguments, *moment]) == 0
    assert capsys.readouterr().out == english


LOADED = """
import sys
from shopstep.cli.main import run
run(["--help"])
late = ("babel", "tomllib", "shopstep.local_forms", "shopstep.typed")
print([name for name in late if name in sys.modules])
"""


@pytest.mark.parametrize("language", ["C", "en_GB.UTF-8", "en_US.UTF-8"])
def test_english_loads_no_catalogue(language: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LANG", language)
    said = subprocess.run(
        [sys.executable, "-c", LOADED], check=True, cwd=ROOT, capture_output=True, text=True
    )
    assert said.stdout.splitlines()[-1] == "[]"


def teardown_module() -> None:
    """What is spoken outside these tests."""
    speak(PLAIN)
