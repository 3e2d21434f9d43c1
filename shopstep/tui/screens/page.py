"""What all pages over the bench share: words above, big buttons below, a way back.

Imports the hand, the places and the widgets. A page never types and never scrolls.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.screen import Screen

from shopstep.tui.glove import Glove
from shopstep.tui.lines import Block, line
from shopstep.tui.places import Place
from shopstep.tui.theme import Role
from shopstep.tui.widgets.big_button import BigButton
from shopstep.tui.widgets.button_row import ButtonRow
from shopstep.tui.widgets.painting import Rows

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult

BACK = "back_to_step"
BACK_KEY = "2"
"""As on the bench."""
MOST_CHOICES = 18


class Page(Screen[str]):
    """A page that fills the screen until something on it is chosen; gives the choice's id."""

    CSS = "Page { overflow: hidden; layout: vertical; }"
    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        *[Binding(str(n), f"number('{n}')", id=f"page.number_{n}") for n in range(1, 10)],
        *[Binding(key, f"letter('{key}')", id=f"page.letter_{key}") for key in "kpns"],
        Binding("enter,space,pagedown", "choose_focused", id="page.choose"),
        Binding("pageup,right,down,tab", "move_focus(1)", id="page.focus_next"),
        Binding("left,up,shift+tab", "move_focus(-1)", id="page.focus_previous"),
        Binding("b,q,escape", "close", id="page.close"),
        Binding("question_mark,f1", "close_help", id="page.close_help"),
    ]

    def __init__(self, hand: Glove, most_choices: int = MOST_CHOICES) -> None:
        super().__init__()
        self.hand = hand
        self.first_focus = BACK
        """The choice that has the focus when the page opens: always a harmless one."""
        self.loss = ""
        """What would be lost if the page were closed now, in a sentence; empty for nothing."""
        self.is_help = False
        """Whether the key that opens help closes this page."""
        self.draw_clock: Callable[[int], Block] = lambda _: ()
        """Gives, for a width, the row with the time of open glue that stands above the words."""
        self._clock = Rows(id="clock")
        self._body = Rows(id="words")
        self._buttons = ButtonRow(most_choices)
        self._room = Size(0, 0)

    def compose(self) -> ComposeResult:
        """The countdown, words, then buttons."""
        yield self._clock
        yield self._body
        yield self._buttons

    def on_mount(self) -> None:
        """From now on something new is under the finger."""
        self.hand.mark_shown()

    def on_resize(self, event: events.Resize) -> None:
        """Arrange for the new size."""
        is_first = not self._room
        self._room = event.size
        self.show()
        if is_first:
            self._buttons.focus_on(self.first_focus)

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """Words and buttons (in screen rows) for a size."""
        raise AssertionError("every page arranges itself")

    def pick(self, choice: str) -> None:
        """Something was chosen."""
        self.dismiss(choice)

    def show(self) -> None:
        """Arrange and show all."""
        width, height = self._room
        if not width or not height:
            return
        clock = self.draw_clock(width)
        self._clock.set_height(len(clock))
        self._clock.show_rows(clock)
        height -= len(clock)
        rows, places = self.lay_out(width, height)
        top = min(place.y for place in places)
        self._body.set_height(top)
        self._body.show_rows(rows[:top])
        self._buttons.styles.height = max(1, height - top)
        self._buttons.put([place.below(-top) for place in places])

    def say_working(self, words: str) -> None:
        """That something takes a moment, in the row above the words; empty for no more."""
        self.draw_clock = lambda width: (line(words[:width], Role.STRONG),) if words else ()
        self.show()

    def show_clock(self) -> None:
        """Once a second: the countdown alone, or all where it comes or goes."""
        clock = self.draw_clock(self._room.width)
        if len(clock) != len(self._clock.rows):
            self.show()
        else:
            self._clock.show_rows(clock)

    def choose(self, choice: str) -> None:
        """Take a choice, unless the page has only just come up under a bouncing glove."""
        if self.hand.is_bounce():
            self._buttons.blink(choice)
        else:
            self.pick(choice)

    def on_big_button_chosen(self, message: BigButton.Chosen) -> None:
        """A button was tapped."""
        message.stop()
        self.choose(message.choice)

    def action_number(self, key: str) -> None:
        """A number key."""
        self._choose_by_key(key)

    def action_letter(self, key: str) -> None:
        """A letter key of a button."""
        self._choose_by_key(key)

    def _choose_by_key(self, key: str) -> None:
        for button in self._buttons.shown():
            if button.place.key == key:
                self.choose(button.place.action)
                return

    def action_move_focus(self, by: int) -> None:
        """Arrows, Tab, PageUp."""
        self._buttons.move_focus(by)

    def action_choose_focused(self) -> None:
        """Enter, Space, PageDown."""
        focused = self._buttons.focused_choice()
        if focused:
            self.choose(focused)

    def action_close_help(self) -> None:
        """The key that opened the help page."""
        if self.is_help:
            self.action_close()

    def action_close(self) -> None:
        """Back to the bench, nothing chosen."""
        self.dismiss(BACK)
