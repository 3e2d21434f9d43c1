"""Alarms that are heard: our own files, whatever player there is, never a wait, never an error."""

from __future__ import annotations

import subprocess
import sys
import wave
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from shopstep.model.plan import BuildFileError
from shopstep.present.machines import is_at_machine
from shopstep.present.moments import TimerStage
from shopstep.storage.screen_settings import ScreenSettings, read_screen_settings
from shopstep.storage.sound import FILES, PLAYERS, SoundAlarm
from shopstep.tui.app import BenchApp
from shopstep.tui.clocks import Alarm
from shopstep.tui.ringing import AGAIN_S, Ringing
from tests.fake_bench import GLUE, GLUE_TIMER, FakeBench, StillClock
from tests.floor import floor_plan
from tests.make_sounds import ASSETS, TONES, sound


class FakeAlarm:
    """Writes down what it is asked to sound."""

    def __init__(self, *, can_play: bool = True) -> None:
        self.heard: list[str] = []
        self.can_play = can_play

    def sound(self, name: str) -> bool:
        """Write the name down."""
        self.heard.append(name)
        return self.can_play


OPEN = (Alarm(GLUE_TIMER, TimerStage.NEARLY),)
LATE = (Alarm(GLUE_TIMER, TimerStage.LATE),)


@pytest.mark.parametrize("name", TONES)
def test_the_shipped_sounds_are_those_that_the_script_makes(name: str) -> None:
    assert (ASSETS / FILES[name]).read_bytes() == sound(name)
    with wave.open(str(ASSETS / FILES[name])) as file:
        assert 0.1 < file.getnframes() / file.getframerate() < 2
    assert set(FILES) == set(TONES)


def test_the_first_player_that_is_found_gets_the_file(tmp_path: Path) -> None:
    started: list[Sequence[str]] = []

    def start(command: Sequence[str]) -> subprocess.Popen[bytes]:
        started.append(command)
        return subprocess.Popen([sys.executable, "-c", ""])

    (tmp_path / "due.wav").write_bytes(sound("due"))
    found = {"aplay": "/usr/bin/aplay", "afplay": "/usr/bin/afplay"}
    alarm = SoundAlarm(tmp_path, found.get, start, "linux")
    assert alarm.sound("due")
    assert started == [["/usr/bin/aplay", "-q", str(tmp_path / "due.wav")]]
    assert not alarm.sound("late")  # no such file
    assert alarm._playing is not None  # noqa: SLF001
    alarm._playing.wait()  # noqa: SLF001
    assert ("aplay", "-q") in PLAYERS


def test_a_machine_without_a_player_or_with_a_broken_one_says_so(tmp_path: Path) -> None:
    def broken(command: Sequence[str]) -> subprocess.Popen[bytes]:
        raise OSError(command[0])

    (tmp_path / "due.wav").write_bytes(sound("due"))
    assert not SoundAlarm(tmp_path, lambda _: None, platform="linux").sound("due")
    assert not SoundAlarm(tmp_path, lambda name: name, broken, "linux").sound("due")


def test_an_alarm_is_heard_again_until_it_is_answered() -> None:
    alarm, bells = FakeAlarm(), list[str]()
    ringing = Ringing(alarm, lambda: bells.append("bell"), at_machines=False)
    ringing.look(OPEN, 1000, is_news=True, at_machine=False)
    ringing.look(OPEN, 1001, is_news=False, at_machine=False)
    assert alarm.heard == ["due"]
    ringing.look(LATE, 1000 + AGAIN_S, is_news=False, at_machine=False)
    ringing.look((), 1000 + 2 * AGAIN_S, is_news=False, at_machine=False)
    assert alarm.heard == ["due", "late"]
    ringing.look((), 2000, is_news=True, at_machine=False)
    assert alarm.heard[-1] == "half"
    assert bells == []


def test_the_bell_rings_where_nothing_can_be_played() -> None:
    bells: list[str] = []
    ringing = Ringing(FakeAlarm(can_play=False), lambda: bells.append("bell"), at_machines=False)
    ringing.look(OPEN, 1000, is_news=True, at_machine=False)
    assert bells == ["bell"]


def test_at_a_machine_alarms_are_silent_unless_the_settings_say_otherwise() -> None:
    for at_machines, heard in ((False, []), (True, ["due"])):
        alarm = FakeAlarm()
        ringing = Ringing(alarm, lambda: None, at_machines=at_machines)
        ringing.look(OPEN, 1000, is_news=True, at_machine=True)
        assert alarm.heard == heard


def test_a_step_at_the_saw_is_one_at_a_machine_and_gluing_is_not() -> None:
    plan = floor_plan()
    assert is_at_machine(plan, "all/rip/side_rail")
    assert not is_at_machine(plan, "u1/glue/tack_frame")
    assert not is_at_machine(plan, "")


async def test_the_screen_sounds_its_alarm_and_shows_it_until_it_is_answered() -> None:
    bench, clock, alarm = FakeBench(GLUE), StillClock(), FakeAlarm()
    app = BenchApp(bench, monotonic=clock, alarm=alarm)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen_stack[0]
        bench.time_s = GLUE_TIMER.due_s + 1
        screen.tick()  # type: ignore[attr-defined]
        await pilot.pause()
        assert alarm.heard == ["late"]
        assert screen.query_one("#alarm").display
        await pilot.press("x")
        assert not screen.query_one("#alarm").display


async def test_a_restart_shows_an_alarm_of_glue_again() -> None:
    bench = FakeBench(replace(GLUE))
    bench.time_s = GLUE_TIMER.due_s + 30
    for _ in range(2):
        app = BenchApp(bench, monotonic=StillClock())
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            assert app.screen_stack[0].query_one("#alarm").display


def test_the_screens_settings_are_read_and_a_wrong_one_is_told(tmp_path: Path) -> None:
    file = tmp_path / "settings.toml"
    assert read_screen_settings(file) == ScreenSettings()
    file.write_text('[screen]\nview = "far"\ntheme = "light"\n[keys]\ndone = "x"\n')
    assert read_screen_settings(file) == ScreenSettings({"done": "x"}, "far", "light")
    for text, said, line in (
        ('[screen]\nveiw = "far"', "'veiw' is not known in [screen]; did you mean 'view'?", 2),
        ('[screen]\ntheme = "pink"', "'theme' is one of dark, light, contrast", 2),
        ('keys = "x"', "'keys' is a table: write [keys]", 1),
        ("[screen", "the bracket is not closed; write [screen]", 1),
    ):
        file.write_text(text)
        with pytest.raises(BuildFileError) as caught:
            read_screen_settings(file)
        assert said in str(caught.value)
        assert caught.value.where.line == line, text
