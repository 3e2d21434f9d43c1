"""The planer in the settings file: there or not, what its manual says, and slips of the pen."""

from __future__ import annotations

import json

import pytest

from shopstep.cli.main import run
from shopstep.model.codec import decode, encode
from shopstep.model.plan import BuildFileError, PlanRequest, Shop
from shopstep.model.resources import Planer
from shopstep.storage.settings import FileProfiles
from shopstep.units import Length
from tests.planing_shop import PLANER, board, request, write_settings
from tests.sample_floor import inch
from tests.test_toml_trouble import told_by_doctor

TABLE = "[shops.bench]\n"


def shop(text: str) -> Shop:
    """The usual shop of a settings file."""
    return FileProfiles(write_settings(text), "UTC").profile(None).shop


@pytest.mark.parametrize(
    ("text", "planer"),
    [
        ("", None),
        ("planer = false\n", None),
        ("planer = true\n", PLANER),
        ("[shops.bench.planer]\n", PLANER),
        (
            'planer = {least_length = "14 in", widest = "330 mm"}\n',
            Planer(inch("14"), Length.mm(330), inch("1/16"), inch("3")),
        ),
        (
            '[shops.bench.planer]\ndeepest_pass = "1/8 in"\nsnipe = "0 in"\n',
            Planer(inch("12"), inch("12"), inch("1/8"), inch("0")),
        ),
    ],
)
def test_there_or_not_and_what_it_takes(text: str, planer: Planer | None) -> None:
    """Common practice, no source, where the settings say no more; the machine's manual governs."""
    assert shop(TABLE + text).planer == planer


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ('planer = "yes"\n', 2, "write planer = true, or what its manual says"),
        ("planer = 12\n", 2, "write planer = true, or what its manual says"),
        (
            '[shops.bench.planer]\nleast_length = "3 in"\n', 3,
            "'least_length': a planer has from 6 in to 48 in, not 3 in",
        ),
        ('[shops.bench.planer]\n\nsnipe = "2 ft"\n', 4, "'snipe': a planer has from 0 in to 12 in"),
        ('[shops.bench.planer]\ndeepest_pass = "1 in"\n', 3, "from 1/64 in to 1/4 in, not 1 in"),
        ("[shops.bench.planer]\nwidest = 12\n", 3, "'widest': 12 has no unit; write a length"),
        ('[shops.bench.planer]\nwidest = "a foot"\n', 3, "'a foot'"),
        ('[shops.bench.planer]\nwidth = "12 in"\n', 3, "'width' is not known in the settings"),
        ('planer = {least = "12 in"}\n', 2, "did you mean 'least_length'?"),
    ],
)  # fmt: skip
def test_a_slip_is_answered_with_its_line_and_what_would_be_right(
    text: str, line: int, said: str
) -> None:
    with pytest.raises(BuildFileError) as caught:
        shop(TABLE + text)
    assert said in caught.value.text
    assert caught.value.where.line == line
    assert said in told_by_doctor()


def test_the_settings_reach_the_plan(capsys: pytest.CaptureFixture[str]) -> None:
    write_settings()
    assert run(["rack", "add", "90 in", "7 1/4 in", "1 in"]) == 0
    capsys.readouterr()
    assert run(["plan", "screened-floor", "--json", "--now", "2026-01-15T18:00"]) == 0
    made = json.loads(capsys.readouterr().out)
    (piece,) = [piece for piece in made["stock"] if piece["planed"]]
    assert piece["id"] == "R1"
    assert made["setups"][0]["tool"] == "planer"


def test_a_request_that_knows_no_planer_is_still_read() -> None:
    """Sessions and settings from before: the field is missing in what they stored."""
    asked = request(board("R1", "90", "7 1/4", "1"))
    stored = encode(asked)
    assert isinstance(stored, dict)
    assert decode(PlanRequest, json.loads(json.dumps(stored))) == asked
    del stored["shop"]["planer"]
    for piece in stored["rack"]:
        del piece["planed"], piece["snipe"]
    old = decode(PlanRequest, stored)
    assert old.shop.planer is None
    assert old.rack == asked.rack
