"""The log for a spreadsheet, read back by the csv module."""

from __future__ import annotations

import csv
import io

import pytest

from shopstep.cli.main import run
from shopstep.present.log_csv import HEADER, log_csv
from shopstep.session import events as e
from tests.sample_plan import BEGIN_S, make_plan
from tests.test_present_log import ALL_EVENTS, envelopes


def rows(*events: e.Event) -> list[dict[str, str]]:
    """The table read back."""
    return list(csv.DictReader(io.StringIO(log_csv(envelopes(*events), make_plan()))))


def test_every_kind_of_event_is_a_row_with_its_words() -> None:
    found = rows(*(event for event, _ in ALL_EVENTS))
    assert [row["kind"] for row in found] == [event.kind for event, _ in ALL_EVENTS]
    assert all(row["what"] and row["utc"].endswith("Z") for row in found)
    assert tuple(found[0]) == HEADER


def test_a_measure_and_a_time_stand_in_columns_of_their_own() -> None:
    step = "u1/glue/square"
    measured, done = rows(
        e.MeasureTaken(step, "diagonals_differ", 1_587_500, within=True), e.StepFinished(step, 95)
    )
    assert (measured["value"], measured["unit"], done["spent_s"]) == ("1/16 in", "1", "95")
    assert measured["local"] == "2025-11-25 18:01"


def test_lines_end_as_the_standard_says_and_commas_and_quotes_survive() -> None:
    """RFC 4180, section 2: CRLF, quotes doubled."""
    text = log_csv(envelopes(e.NoteTaken("", 'cut 3", then 4"\nand more')), make_plan())
    assert text.endswith("\r\n")
    assert '""' in text
    assert rows(e.NoteTaken("", 'a "b", c'))[0]["what"] == 'note: a "b", c'


@pytest.mark.parametrize("sign", ["=1+1", "+1", "-1", "@x"])
def test_no_cell_is_taken_for_a_formula(sign: str) -> None:
    found = rows(e.BatchHeld("x"), e.StepBegun(sign))
    assert found[1]["step"] == f"'{sign}"


def test_the_command_prints_it_and_refuses_two_forms(capsys: pytest.CaptureFixture[str]) -> None:
    assert BEGIN_S > 0
    assert run(["start", "bird-box", "--plain", "--now", "2026-01-15T18:00:00+00:00"]) == 0
    capsys.readouterr()
    assert run(["log", "LAST", "--csv"]) == 0
    assert capsys.readouterr().out.startswith(",".join(HEADER))
    assert run(["log", "LAST", "--csv", "--json"]) == 2
