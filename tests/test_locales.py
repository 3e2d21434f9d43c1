"""Numbers and dates as a place writes them, shown and typed; files keep the point.

The forms themselves are CLDR's, by Babel; what is checked is that they are asked for everywhere,
and that nothing that is read again has them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.days import day_text, long_weekday, minute_text, short_day, time_text
from shopstep.model.price import parse_price
from shopstep.model.resources import parse_clamps, set_words
from shopstep.present.moments import day_clock
from shopstep.present.phrases import parse_command
from shopstep.present.spoken import say_mm
from shopstep.session.commands import NoteConditions, TakeMeasure
from shopstep.tui.measure_keys import Entry
from shopstep.units import (
    Angle,
    Length,
    UnitError,
    format_angle,
    format_inches,
    format_mm,
    parse_length,
    read_typed,
    write_exact,
)
from shopstep.wiring.languages import speak_as_chosen
from shopstep.words import PLAIN, figure, manner, speak
from tests.every_card import BEGIN_S, shelf_plan


@pytest.fixture
def _german() -> Iterator[None]:
    speak_as_chosen({"LANG": "de_DE.UTF-8"})
    yield
    speak(PLAIN)


@pytest.mark.usefixtures("_german")
def test_decimals_have_a_comma_where_the_place_writes_one() -> None:
    assert format_mm(Length.mm("412.8")) == "412,8 mm"
    assert format_angle(Angle.degrees("22.5")) == "22,5°"
    assert format_inches(Length.inches("14.375")) == "14 3/8 in"
    assert figure(9.5, "g") == "9,5"
    assert figure(12345, ",") == "12\N{NO-BREAK SPACE}345"
    assert parse_price("4.80").words == "4,80"
    assert Entry("mm", "412.8").text == "412,8 mm"


@pytest.mark.usefixtures("_german")
def test_what_is_read_again_keeps_the_point() -> None:
    assert write_exact(Length.mm("412.8")) == "412.8 mm"
    clamps = set_words(parse_clamps("4 x 600.5 mm, 2 x 900 mm")[1], "mm")
    assert parse_clamps(clamps) == parse_clamps("4 x 600.5 mm, 2 x 900 mm")
    assert say_mm(Length.mm("412.8")) == "four hundred twelve point eight millimetres"


@pytest.mark.usefixtures("_german")
@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("12,5 mm", "12.5 mm"),
        ("12.5 mm", "12.5 mm"),
        (",5 mm", ".5 mm"),
        ("0,375 in", "0.375 in"),
        ("1,2345 mm", "1.2345 mm"),
        ("14 3/8 in", "14 3/8 in"),
        ("4 x 24 in, 2 x 48 in", "4 x 24 in, 2 x 48 in"),
    ],
)
def test_a_comma_is_typed_as_a_point_is(typed: str, read: str) -> None:
    assert read_typed(typed) == read


@pytest.mark.usefixtures("_german")
@pytest.mark.parametrize("typed", ["1,234 mm", "1.234 mm", "1.234,5 mm", "12,500 in"])
def test_what_could_be_thousands_is_refused_in_one_sentence(typed: str) -> None:
    with pytest.raises(UnitError, match="could be thousands or decimals; write"):
        read_typed(typed)


def test_where_the_place_writes_a_point_a_comma_is_refused_as_ever() -> None:
    assert read_typed("1,234 mm") == "1,234 mm"
    with pytest.raises(UnitError, match="has a comma; write decimals with a point"):
        parse_length(read_typed("12,5 mm"))


@pytest.mark.usefixtures("_german")
def test_the_words_of_the_bench_take_commas_and_notes_keep_theirs() -> None:
    air = parse_command(["conditions", "9,5C", "60%"], None, None, "x")
    assert isinstance(air, NoteConditions)
    assert air.temperature_c == 9.5
    read = parse_command(["measure", "gap", "12,5", "mm"], None, "u1/fit/dry", "x")
    assert isinstance(read, TakeMeasure)
    assert read.value == Length.mm("12.5")
    assert parse_command(["measure", "gap", "1,234", "mm"], None, "u1/fit/dry", "x") == (
        "'1,234' could be thousands or decimals; write whole numbers without a mark (1234), and "
        "other than three decimals after the comma (1,2340)."
    )
    note = parse_command(["note", "take", "1,234"], None, None, "x")
    assert getattr(note, "text", "") == "take 1,234"


DAY = date(2026, 1, 8)


@pytest.mark.parametrize(
    ("place", "day", "near", "brief", "weekday", "clock"),
    [
        ("de_DE", "Do., 8. Jan. 2026", "Do., 8. Jan. 18:00", "8.1.", "Donnerstag", "18:00"),
        ("fi_FI", "to 8.1.2026", "to 8.1. 18.00", "8.1.", "torstaina", "18.00"),
        ("en_US", "Thu 8 Jan 2026", "Thu 8 Jan 18:00", "8 Jan", "Thursday", "18:00"),
        ("C", "Thu 8 Jan 2026", "Thu 8 Jan 18:00", "8 Jan", "Thursday", "18:00"),
    ],
)
def test_days_and_times_are_those_of_the_place(
    place: str, day: str, near: str, brief: str, weekday: str, clock: str
) -> None:
    speak_as_chosen({"LC_TIME": place})
    assert day_text(DAY) == day
    assert day_clock(BEGIN_S, "UTC") == near
    assert short_day(DAY) == brief
    assert long_weekday(DAY).removesuffix("na") == weekday.removesuffix("na")
    assert time_text(datetime.fromtimestamp(BEGIN_S, UTC)) == clock
    assert minute_text(18 * 60) == clock
    speak(PLAIN)


def test_numbers_and_times_may_be_of_two_places() -> None:
    speak_as_chosen({"LC_NUMERIC": "fr_FR", "LC_TIME": "en_GB", "LANG": "C"})
    assert (manner().point, manner().dates) == (",", "")
    speak_as_chosen({"LC_ALL": "C", "LC_NUMERIC": "fr_FR", "LC_TIME": "de_DE"})
    assert (manner().point, manner().dates) == (".", "")
    speak(PLAIN)


def test_a_locale_of_the_settings_comes_first_and_one_that_is_none_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    settings = tmp_path / "config" / "shopstep" / "settings.toml"
    settings.parent.mkdir(parents=True)
    settings.write_text('locale = "sv_SE"\n', encoding="utf-8")
    assert speak_as_chosen({"LC_ALL": "C"}) == ""
    assert manner().point == ","
    settings.write_text('locale = "nowhere"\n', encoding="utf-8")
    assert run(["builds"]) == 0
    assert "there is no locale 'nowhere'; write for example de_DE" in capsys.readouterr().err
    settings.write_text("locale = 3\n", encoding="utf-8")
    assert "'locale' is a text" in speak_as_chosen({})


def test_a_plan_by_commas_is_the_plan_by_points(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    moment = ["--now", "2026-01-15T18:00:00+00:00", "--show", "mm"]
    plain = ["plan", "screened-floor", "--set", "box_width=412.8 mm", *moment]
    assert run([*plain, "--json"]) == 0
    by_points = json.loads(capsys.readouterr().out)
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    typed = ["plan", "screened-floor", "--set", "box_width=412,8 mm", *moment]
    assert run([*typed, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == by_points
    assert run(typed) == 0
    shown = capsys.readouterr().out
    assert "412,8 mm" in shown
    assert "Do., 15. Jan. 2026, 18:" in shown


def test_a_session_of_one_place_goes_on_in_another(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    assert run(["start", "screened-floor", "--show", "mm", "--temperature", "18,5 C"]) == 0
    monkeypatch.setenv("LANG", "C")
    capsys.readouterr()
    assert run(["check-session", "LAST"]) == 0
    assert run(["log", "LAST", "--csv"]) == 0
    assert run(["do", "LAST", "ack"]) == 0


@pytest.mark.usefixtures("_german")
def test_plans_do_not_hang_on_how_numbers_are_written() -> None:
    german = shelf_plan.__wrapped__("screened-floor", "mm")
    speak(PLAIN)
    english = shelf_plan.__wrapped__("screened-floor", "mm")
    assert [s.id for s in german.steps] == [s.id for s in english.steps]
    assert [s.start_s for s in german.steps] == [s.start_s for s in english.steps]
    assert [c.id for k in german.kinds for c in k.cautions] == [
        c.id for k in english.kinds for c in k.cautions
    ]
