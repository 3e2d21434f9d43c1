"""A settings file that cannot be read: the line, and the usual cause in plain words."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.storage.folders import settings_file
from shopstep.storage.toml_trouble import toml_trouble
from shopstep.wiring.checkup import Terminal, look_over_machine

TABLE = "[shops.garage]\n"


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        (f'{TABLE}closes = 21:30"\n', 2, "a quote is missing in 'closes = 21:30\"'"),
        (f'{TABLE}closes = "21:30\n\n', 2, "a quote is missing in 'closes = \"21:30'"),
        (f"{TABLE}kerf = 3/32 in\n", 2, 'in quotes, as in kerf = "3/32 in"'),
        (f'{TABLE}days = ["mon", "tue"\n', 2, "a bracket is not closed"),
        ("[shops.garage\nclamps = 6\n", 1, "the bracket is not closed; write [shops.garage]"),
        (f"{TABLE}clamps 6\n", 2, "'clamps 6' is no setting; write NAME = VALUE"),
        (f"{TABLE}clamps =\n", 2, "'clamps =' has no value"),
        (f"{TABLE}clamps = 6\nclamps = 7\n", 3, "a second time"),
    ],
)
def test_the_line_and_the_usual_cause_are_told(text: str, line: int, said: str) -> None:
    with pytest.raises(tomllib.TOMLDecodeError) as caught:
        tomllib.loads(text)
    trouble = toml_trouble("settings.toml", text, str(caught.value))
    assert said in trouble.text
    assert trouble.where.line == line
    assert "TOML" not in trouble.text


def test_check_and_doctor_name_the_line(capsys: pytest.CaptureFixture[str]) -> None:
    file = settings_file()
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(f'{TABLE}closes = 21:30"\n', encoding="utf-8")
    assert run(["check", "screened-floor"]) != 0
    err = " ".join(capsys.readouterr().err.split())
    assert "line 2" in err
    assert "a quote is missing" in err
    assert "a quote is missing" in told_by_doctor()


def test_a_folder_in_the_place_of_the_settings_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    Path(settings_file()).mkdir(parents=True)
    assert run(["check", "screened-floor"]) != 0
    assert "is a folder" in " ".join(capsys.readouterr().err.split())
    assert "is a folder" in told_by_doctor()


def told_by_doctor() -> str:
    """What doctor says about the settings."""
    return next(
        c.found for c in look_over_machine(Terminal(120, 40, "utf-8", True)) if c.name == "settings"
    )
