"""A code on a unit finds its log again, in later years, and takes notes from service."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.session import commands as c
from shopstep.session.unit_codes import ALPHABET, PLACES, as_code, code_of
from shopstep.storage.folders import sessions_folder
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.printing import make_sheets, printout_of_session
from tests.floor import floor_plan
from tests.paper_batch import build_from_paper
from tests.session_bench import Play, new_id

LATER = ["--now", "2029-05-20T10:00:00+00:00"]
LOOK_ALIKE = ("0OQDU", "1IL7T", "2Z", "5S", "6G9", "8B", "UVY", "MW", "VW", "EF")
"""Signs that pencil, haste or looking upside down mix up (common practice, no source)."""


def test_no_two_signs_of_a_code_are_taken_for_one_another() -> None:
    assert len(set(ALPHABET)) == len(ALPHABET)
    for group in LOOK_ALIKE:
        if group != "1IL7T":  # a 7 with its bar and a T are told apart
            assert len(set(group) & set(ALPHABET)) <= 1, group
    assert not set(ALPHABET) & set("AEIOUY")


def test_a_code_is_always_the_same_and_units_have_their_own() -> None:
    codes = {code_of(session, unit) for session in ("a", "b", "c") for unit in range(1, 51)}
    assert len(codes) >= 149
    assert all(len(code) == PLACES and set(code) <= set(ALPHABET) for code in codes)
    assert code_of("a", 1) == code_of("a", 1)
    first = code_of("a", 1)
    assert as_code(f" {first[:2].lower()}-{first[2:]} ") == first


@pytest.fixture(name="code")
def code_of_a_floor() -> str:
    """The code of the second of two floors that were built on this machine."""
    sessions_folder().mkdir(parents=True, exist_ok=True)
    opened = build_from_paper(sessions_folder() / "floor.session", 2)
    opened.journal.close()
    return code_of(opened.journal.session, 2)


def test_a_unit_is_found_and_takes_notes_years_later(
    code: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["unit", *LATER]) == 0
    listed = capsys.readouterr().out.splitlines()
    assert len(listed) == 2
    assert listed[1].startswith(f"{code}  Thu 15 Jan 2026  unit 2")

    assert run(["unit", code.lower(), "note", "swelled in May", *LATER]) == 0
    said = capsys.readouterr().out
    assert "Screened hive floor, unit 2 of 2 (build screened-floor, revision 1)" in said
    assert "Sun 20 May 2029 (unit 2 in service): swelled in May" in said
    assert "Dry fit (unit 2)" in said
    assert "Dry fit (unit 1)" not in said
    assert "not finished" not in said

    assert run(["unit", code, "--json", *LATER]) == 0
    (unit,) = json.loads(capsys.readouterr().out)["units"]
    assert (unit["unit"], unit["build"]) == (2, "screened-floor")
    assert unit["notes"][0]["text"] == "swelled in May"
    sizes = [each["text"] for each in unit["sizes"]]
    assert sizes == ["22 1/8 in", "16 1/4 in", "3 25/32 in"]

    assert run(["lessons", "screened-floor"]) == 0
    assert "In service" in (told := capsys.readouterr().out)
    assert "swelled in May" in told
    assert run(["log", "floor", *LATER]) == 0
    assert "in service, unit 2: swelled in May" in capsys.readouterr().out


def test_a_code_that_nobody_has_and_a_copied_file_are_told(
    code: str, capsys: pytest.CaptureFixture[str]
) -> None:
    wrong = ("C" if code[0] != "C" else "D") + code[1:]
    assert run(["unit", wrong, *LATER]) == 2
    assert f"did you mean {code}?" in capsys.readouterr().err
    assert run(["unit", code, "paint", *LATER]) == 2
    assert run(["unit", code, "note", *LATER]) == 2
    assert run(["unit", code, "note", " ", *LATER]) == 1
    capsys.readouterr()
    (sessions_folder() / "broken.session").write_bytes(b"no session")
    shutil.copy(sessions_folder() / "floor.session", sessions_folder() / "copy.session")
    assert run(["unit", code, *LATER]) == 0
    assert capsys.readouterr().out.count(f"{code}: ") == 2
    assert run(["unit", code, "note", "chewed", *LATER]) == 3
    assert "two units share that code" in capsys.readouterr().err


def test_codes_stand_on_the_labels_and_in_the_summary(
    code: str, capsys: pytest.CaptureFixture[str]
) -> None:
    printout = printout_of_session("floor", make_clock(LATER[1]))
    (sheet,) = make_sheets(printout, ("labels",), "", "a4").values()
    cells = sheet["cells"]
    assert isinstance(cells, list)
    assert [cell["code"] for cell in cells if cell["whole"]][1] == code
    assert run(["log", "floor", "--summary", *LATER]) == 0
    assert code in capsys.readouterr().out


def test_a_note_from_service_is_about_a_unit_that_there_is() -> None:
    play = Play(floor_plan())
    note = c.TakeNote(id=new_id(), text="too tight", kind="service", unit=3)
    assert "no unit 3" in play.refused(note).text
    play.do(c.TakeNote(id=new_id(), text="too tight", kind="service", unit=2))
    assert play.state.notes[-1].unit == 2
