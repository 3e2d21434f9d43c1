"""When an alarm is heard: once as it comes up, again while nobody answers, never over a machine.

Imports the alarm's port and the clocks. What is heard is extra: the bar across the screen stays
until it is answered, heard or not.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from shopstep.present.moments import TimerStage
from shopstep.tui.clocks import Alarm as OpenAlarm
from shopstep.words import say, to_say
from shopstep.workbench.ports import Alarm

if TYPE_CHECKING:
    from shopstep.present.card import StepCard
    from shopstep.tui.hand import Hand
    from shopstep.tui.hearing import Hearing
    from shopstep.tui.lines import Block
    from shopstep.tui.screens.bench_screen import BenchScreen
    from shopstep.tui.speaking import Speaking

HEARING_IS_OFF = to_say(
    'Nobody is heard: open with --listen, or write listen = "push" under [voice].'
)
VOICE_IS_OFF = to_say("Voice is off: open with --speak, or write speak = true under [voice].")
AGAIN_S = 20
"""An alarm that nobody answered is heard again after so long."""
SOUNDS = {TimerStage.LATE: "late", TimerStage.NEARLY: "due", TimerStage.READY: "due"}


class Silent:
    """A machine that can make no sound; the terminal's bell rings instead."""

    def sound(self, name: str) -> bool:
        """Nothing."""
        del name
        return False


class Mute:
    """A screen that says nothing; in the place of ``tui.speaking.Speaking`` until voice is on."""

    def look(self, hand: Hand, open_alarms: tuple[OpenAlarm, ...]) -> bool:
        """Nothing."""
        del hand, open_alarms
        return False

    @property
    def is_talking(self) -> bool:
        """Never."""
        return False

    def hush(self) -> None:
        """Nothing."""

    def tell(self, text: str) -> None:
        """Nothing; the screen shows it."""
        del text

    def again(self, card: StepCard) -> str:
        """Nothing, and how it would speak."""
        del card
        return say(VOICE_IS_OFF)

    slower = again


class Deaf:
    """A screen that hears nobody; in the place of ``tui.hearing.Hearing`` until that is on."""

    is_on = False

    def begin(self, screen: BenchScreen) -> None:
        """Nothing."""
        del screen

    def rows(self, width: int, height: int) -> Block:
        """None."""
        del width, height
        return ()

    def push(self) -> str:
        """Nothing, and how it would hear."""
        return say(HEARING_IS_OFF)


class Ringing:
    """Sounds alarms, and rings the bell where that cannot be done."""

    def __init__(self, alarm: Alarm, bell: Callable[[], None], *, at_machines: bool) -> None:
        self._alarm, self._bell = alarm, bell
        self._at_machines = at_machines
        """Whether alarms are heard during a machine's step too."""
        self._last_s = 0
        self.speaking: Speaking | Mute = Mute()
        """What says the card and alarms."""
        self.hearing: Hearing | Deaf = Deaf()
        """What hears the person."""

    def look(
        self, open_alarms: tuple[OpenAlarm, ...], now_s: int, *, is_news: bool, at_machine: bool
    ) -> None:
        """Once a second: sound what is new, and what is still open after a while."""
        is_due = bool(open_alarms) and now_s - self._last_s >= AGAIN_S
        if not is_news and not is_due:
            return
        self._last_s = now_s
        if at_machine and not self._at_machines:
            return
        name = SOUNDS.get(open_alarms[0].stage, "due") if open_alarms else "half"
        if not self._alarm.sound(name):
            self._bell()
