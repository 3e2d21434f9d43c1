"""The real door of the start screen: this machine's sessions, shelf, shops and planner."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.desk import Wish
from shopstep.model.plan import Plan
from shopstep.present.shelf_words import outline_rows
from shopstep.session import commands as c
from shopstep.storage.folders import sessions_folder, settings_file
from shopstep.tui.start_app import StartApp
from shopstep.units import Length
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.doors import StartDesk
from tests.fake_bench import StillClock
from tests.floor import floor_text
from tests.session_bench import new_id

NOW = "2026-01-15T18:00:00+00:00"
FLOOR = Wish("screened-floor", units=2, temperature_c=18.0, humidity_percent=55.0)


def door_at(now: str = NOW) -> StartDesk:
    """The door at a moment."""
    return StartDesk(make_clock(now))


def write_settings(text: str) -> None:
    """The keeper's settings."""
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text(text, encoding="utf-8")


def own_build(tmp_path: Path) -> Path:
    """A build file of the keeper's own that can be changed."""
    file = tmp_path / "own-floor.yaml"
    file.write_text(floor_text(), encoding="utf-8")
    return file


def test_a_wish_becomes_a_session_that_is_found_again() -> None:
    door = door_at()
    assert door.sessions() == ()
    assert isinstance(door.plan(FLOOR), Plan)
    assert not sessions_folder().exists()  # a plan alone begins nothing
    assert door.begin(FLOOR) is None
    assert door.opened is not None
    assert not door.is_resumed
    again = door_at("2026-01-16T19:00:00+00:00")
    (kept,) = again.sessions()
    assert kept.look.title == "Screened hive floor, 2 units"
    assert kept.look.when == "Thu 15 Jan 2026, 18:00"
    assert kept.look.is_open
    assert "next: Rough lengths: board" in kept.look.where
    assert again.open(kept.name) is None
    assert again.is_resumed


def test_the_last_air_is_that_of_the_newest_session_else_of_the_settings() -> None:
    write_settings('[shops.home]\ntemperature = "14 C"\nhumidity = "65 %"\n')
    fresh = door_at().last_air("home")
    assert (fresh.temperature_c, fresh.humidity_percent) == (14.0, 65.0)
    assert fresh.source == "as in the settings"
    door = door_at()
    door.begin(FLOOR)
    assert door.opened is not None
    door.opened.bench.do(c.NoteConditions(id=new_id(), temperature_c=16.0, humidity_percent=60.0))
    last = door_at().last_air("home")
    assert (last.temperature_c, last.humidity_percent) == (16.0, 60.0)
    assert last.source == "as last time"


def test_a_cold_shop_has_no_plan_and_is_told_why_with_every_remedy() -> None:
    told = door_at().plan(Wish("screened-floor", temperature_c=9.0, humidity_percent=50.0))
    assert not isinstance(told, Plan)
    assert any("glue" in text and "will not bond" in text for text in told)
    assert any("finish" in text for text in told)
    assert all(text.endswith(".") for text in told)


def test_the_shelf_says_of_each_build_what_is_measured() -> None:
    door = door_at()
    shelf = door.shelf(None)
    assert not isinstance(shelf, str)
    before = {each.id: each.measures for each in shelf}
    assert len(before) == 8
    floor = before["screened-floor"]
    assert "box width" in floor.missing
    assert floor.words == f"0 of {floor.total} measured"
    cards = door.cards("screened-floor", None)
    assert not isinstance(cards, str)
    assert [card.question.name for card in cards][:1] == ["box_width"]
    said = door.keep("screened-floor", None, "box_width", Length.inches("33/2"), "r1")
    assert said == "16 1/2 in, Thu 15 Jan 2026"
    shelf = door.shelf(None)
    assert not isinstance(shelf, str)
    after = {each.id: each.measures for each in shelf}
    assert after["screened-floor"].missing == floor.missing[1:]
    assert len(after["hive-body"].missing) == len(before["hive-body"].missing) - 1


def test_several_shops_are_offered_the_usual_one_first() -> None:
    assert len(door_at().shops()) == 1
    write_settings('usual_shop = "shed"\n[shops.garage]\n[shops.shed]\n')
    assert door_at().shops() == ("shed", "garage")


def test_settings_that_cannot_be_read_are_told_in_a_sentence_with_the_place() -> None:
    write_settings("[shops.garage]\nopens = 12\n")
    door = door_at()
    shelf = door.shelf(None)
    assert isinstance(shelf, str)
    assert "settings.toml" in shelf
    assert door.shops() == ()


def test_a_changed_build_is_offered_both_ways(tmp_path: Path) -> None:
    file = own_build(tmp_path)
    assert run(["start", str(file), "--units", "1", "--plain", "--now", NOW]) == 0
    text = floor_text().replace("title: Screened hive floor", "title: Screened floor", 1)
    assert text != floor_text()
    file.write_text(text, encoding="utf-8")
    (kept,) = door_at().sessions()
    asked = door_at().open(kept.name)
    assert asked is not None
    assert asked.is_changed
    assert asked.text == f"{file} has changed since this session was planned."
    for follow in ("move", "keep"):
        door = door_at()
        assert door.open(kept.name, follow) is None
        assert door.opened is not None
        assert door.opened.bench.plan.build_title == "Screened floor"
        door.opened.journal.close()


def test_a_session_that_is_damaged_is_left_out_and_one_that_is_gone_is_told() -> None:
    door_at().begin(FLOOR)
    sessions_folder().joinpath("broken.session").write_text("no session", encoding="utf-8")
    door = door_at()
    (kept,) = door.sessions()
    Path(kept.name).unlink()
    gone = door.open(kept.name)
    assert gone is not None
    assert not gone.is_changed
    assert kept.name in gone.text


def test_the_outline_s_numbers_are_the_plan_s() -> None:
    plan = door_at().plan(FLOOR)
    assert isinstance(plan, Plan)
    rows = dict(outline_rows(plan))
    pieces = sum(part.count_unit * 2 for part in plan.parts)
    assert f"{pieces} parts of {len(plan.parts)} kinds" in rows["makes"]
    assert rows["buy"].startswith(plan.buy[0].text)
    wood = [line for line in plan.buy if line.unit in ("board", "sheet", "roll")]
    assert f"{len(plan.buy) - len(wood)} lines more" in rows["buy"]
    assert "box width" in rows["usual"]


async def test_a_whole_way_on_the_real_door() -> None:
    clock, door = StillClock(), door_at()
    app = StartApp(door, monotonic=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        for key in ("1", "n", "6", "3", "2", "enter", "9", "1"):
            clock.pass_by(1)
            app.simulate_key(key)
            for _ in range(4):
                await pilot.pause()
    assert door.opened is not None
    bench = door.opened.bench
    assert bench.plan.units == 2
    assert bench.state.title.endswith(", 2 units")
    assert bench.card().step_id == bench.plan.steps[0].id


@pytest.mark.parametrize("theme", ["dark", "light", "contrast", "contrast-light"])
def test_the_start_screen_wears_every_theme(theme: str) -> None:
    assert StartApp(door_at(), theme).theme == theme


def test_a_build_of_the_shelf_is_drawn_beside_and_anew_when_it_was_measured() -> None:
    door = door_at()

    def drawn() -> tuple[str, ...]:
        end = time.monotonic() + 60.0
        while (cells := door.picture("hive-stand", None, 60, 12)) is None:
            assert time.monotonic() < end
            time.sleep(0.05)
        return cells

    cells = drawn()
    assert 3 <= len(cells) <= 12
    assert all(len(row) <= 60 for row in cells)
    assert sum(mark not in " \u2800" for row in cells for mark in row) > 60
    first = door.cards("hive-stand", None)
    assert not isinstance(first, str)
    door.keep("hive-stand", None, first[0].question.name, Length.inches(20), "r1")
    assert door.picture("hive-stand", None, 60, 12) is None


def test_a_build_that_cannot_be_planned_has_no_picture(tmp_path: Path) -> None:
    broken = tmp_path / "broken.yaml"
    broken.write_text("titel: x", encoding="utf-8")
    door = door_at()
    end = time.monotonic() + 60.0
    while (cells := door.picture(str(broken), None, 60, 12)) is None:
        assert time.monotonic() < end
        time.sleep(0.05)
    assert cells == ()
