"""The bench: one card, its timers and its buttons. Keys, taps and pedals end here as choices.

Imports the hand, the arranging rooms and the widgets; opens the pages.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.screen import Screen

from shopstep.present.card import CardMode, StepCard
from shopstep.present.moments import local_time
from shopstep.tui.actions import (
    ACTIONS,
    ANSWERS,
    LOCAL,
    NEXT_PAGE,
    action_for_letter,
    leads_on,
    number_actions,
    turn_pages,
)
from shopstep.tui.caution_sheet import caution_pages
from shopstep.tui.clocks import AlarmWatch
from shopstep.tui.hand import Hand
from shopstep.tui.lines import Block
from shopstep.tui.places import place_actions, row_height, side_margin
from shopstep.tui.screens.openings import Openings
from shopstep.tui.screens.page import Page
from shopstep.tui.step_sheet import Sheet, arrange_step
from shopstep.tui.widgets.bars import Bar, alarm_rows, notice_rows
from shopstep.tui.widgets.big_button import BigButton
from shopstep.tui.widgets.button_row import ButtonRow
from shopstep.tui.widgets.painting import Rows
from shopstep.tui.widgets.timer_band import band_rows
from shopstep.tui.widgets.top_line import top_rows

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult

TICK_S = 1.0
POLL_S = 0.4
MOST_BUTTONS = 6

_LETTERS = sorted({key for action in ACTIONS for key in action.keys})


class BenchScreen(Screen[None]):
    """Shows the hand's card and turns what is pressed into choices."""

    CSS = "BenchScreen { overflow: hidden; layout: vertical; }"
    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        *[Binding(str(n), f"number({n})", id=f"bench.number_{n}") for n in range(1, 7)],
        *[Binding(key, f"letter('{key}')", id=f"bench.letter_{key}") for key in _LETTERS],
        Binding("enter,space,pagedown", "choose_focused", id="bench.choose"),
        Binding("pageup,right,down,tab", "move_focus(1)", id="bench.focus_next"),
        Binding("left,up,shift+tab", "move_focus(-1)", id="bench.focus_previous"),
        Binding("question_mark,f1", "open_help", id="bench.help"),
        Binding("q", "leave", id="bench.leave"),
    ]

    def __init__(self, hand: Hand) -> None:
        super().__init__()
        self.hand = hand
        self.watch_alarms = AlarmWatch()
        self.openings = Openings(self)
        self._top = Rows(id="top")
        self._alarm = Bar(id="alarm")
        self._body = Rows(id="body")
        self._band = Rows(id="band")
        self._notice = Bar(id="notice")
        self._buttons = ButtonRow(MOST_BUTTONS)
        self._sheet = Sheet((), 0, 0)
        self._page = 0
        self._pages = 1
        self._room = Size(0, 0)
        self._focused_for: tuple[object, ...] = ()
        self._minute = 0

    def compose(self) -> ComposeResult:
        """From top to bottom."""
        yield self._top
        yield self._alarm
        yield self._body
        yield self._band
        yield self._notice
        yield self._buttons

    def on_mount(self) -> None:
        """Start the two clocks: one for the countdowns, one for other faces."""
        self._look_at_timers()
        self.set_interval(TICK_S, self.tick)
        self.set_interval(POLL_S, self.poll)

    def on_resize(self, event: events.Resize) -> None:
        """Arrange everything for the new size."""
        self._room = event.size
        self.show()

    @property
    def card(self) -> StepCard:
        """What stands at the bench."""
        return self.hand.card

    @property
    def zone(self) -> str:
        """IANA name of the shop's time zone."""
        return self.hand.bench.plan.zone

    # Showing

    def show(self) -> None:
        """Arrange and show all parts for the card and the size of now."""
        width, height = self._room
        if not width or not height:
            return
        margin = side_margin(width)
        alarm = alarm_rows(self.watch_alarms.open, self._now(), self.zone, width, height, margin)
        notice = notice_rows(self.hand.notice, width, margin)
        top = self._top_rows(width, height, margin)
        taken = len(top) + len(alarm) + len(notice) + row_height(height) + (height >= 20)
        self._sheet = self._arrange(width, max(1, height - taken), margin)
        self._alarm.set_height(len(alarm))
        self._alarm.show_rows(alarm)
        self._notice.set_height(len(notice))
        self._notice.show_rows(notice)
        self._top.set_height(len(top))
        self._band.set_height(self._sheet.band_rows)
        self._body.set_height(max(1, height - taken - self._sheet.band_rows))
        self._body.show_rows(self._sheet.rows)
        self._buttons.styles.height = row_height(height) + (height >= 20)
        self._show_clocks()
        self._show_buttons(width, height)

    def _arrange(self, width: int, height: int, margin: int) -> Sheet:
        self._pages = 1
        if self.card.mode is not CardMode.CAUTION:
            self._page = 0
            return arrange_step(self.card, width, height, margin)
        band = min(1, len(self.card.timers)) if height > 8 else 0
        pages = caution_pages(self.card, width, height - band, margin)
        self._pages = len(pages)
        self._page = min(self._page, self._pages - 1)
        return Sheet(pages[self._page], band, 0)

    def _show_clocks(self) -> None:
        """The parts that change with time alone."""
        width, height = self._room
        self._top.show_rows(self._top_rows(width, height, side_margin(width)))
        self._band.show_rows(self._band_rows(self._now(), width))

    def _top_rows(self, width: int, height: int, margin: int) -> Block:
        clock = local_time(self._now(), self.zone)
        return top_rows(self.card, clock, width, height, margin)

    def _band_rows(self, now: int, width: int) -> Block:
        sheet = self._sheet
        return band_rows(self.card.timers, now, self.zone, width, sheet.band_rows, sheet.band_scale)

    def _show_buttons(self, width: int, height: int) -> None:
        card = self._card_with_pages()
        order = sorted((a.id for a in card.actions), key=lambda a: a not in ANSWERS)
        above = int(height >= 20)
        places = place_actions(card, width, height)
        self._buttons.put([p.below(above) for p in places], order)
        shown_for = (card.version, card.step_id, card.mode, card.actions, self._page)
        if shown_for != self._focused_for:
            self._focused_for = shown_for
            self._buttons.focus_on(card.actions[0].id if leads_on(card) else "")

    def _card_with_pages(self) -> StepCard:
        """The card; before the last page of a caution its answer is 'Next'."""
        return turn_pages(self.card, self._page, self._pages)

    def _now(self) -> int:
        return self.hand.bench.now_s()

    # Time

    def tick(self) -> None:
        """Once a second: repaint the countdowns; a limit that was passed changes the card."""
        has_news = self._look_at_timers()
        minute = self._now() // 60
        if has_news or minute != self._minute or self.card.mode is CardMode.WAITING:
            has_news = self.hand.refresh() or has_news
        self._minute = minute
        if has_news or self.watch_alarms.open:
            self.show()
        else:
            self._show_clocks()

    def poll(self) -> None:
        """Show what another face did meanwhile."""
        if self.hand.look_for_changes():
            self._look_at_timers()
            self._close_pages()
            self.show()

    def _look_at_timers(self) -> bool:
        """Whether a limit was passed since the last look; rings and closes pages if so."""
        had = self.watch_alarms.open
        news = self.watch_alarms.look(self.card.timers, self._now())
        if news:
            self.app.bell()
        if self.watch_alarms.open and self.watch_alarms.open != had:
            self._close_pages()
        return news or self.watch_alarms.open != had

    def _close_pages(self) -> None:
        """Back to the bench, so that an alarm or another face's change is seen."""
        while isinstance(self.app.screen, Page):
            self.app.pop_screen()

    # Choosing

    def on_big_button_chosen(self, message: BigButton.Chosen) -> None:
        """A button was tapped."""
        message.stop()
        self.choose(message.choice)

    def on_bar_tapped(self, message: Bar.Tapped) -> None:
        """A bar was touched: the alarm is answered, or the notice read."""
        message.stop()
        if message.bar is self._alarm:
            self.answer_alarm()
        else:
            self.hand.refused = ""
            self.show()

    def on_key(self) -> None:
        """Any key answers the alarm, and then does what it does."""
        self.answer_alarm()

    def answer_alarm(self) -> None:
        """The alarm in sight was seen."""
        if self.watch_alarms.open:
            self.watch_alarms.answer()
            self.show()

    def action_number(self, number: int) -> None:
        """A number key: the action with that number on the card."""
        action = number_actions(self._card_with_pages()).get(number)
        if action is not None:
            self.choose(action.id)

    def action_letter(self, letter: str) -> None:
        """A letter key: the action it stands for, or a word why not."""
        wanted = action_for_letter(letter, self.card)
        if wanted == "ack" and self._page < self._pages - 1:
            wanted = NEXT_PAGE
        if wanted is not None:
            self.choose(wanted)
        elif not self.hand.is_bounce():
            self._refuse_letter(letter)

    def _refuse_letter(self, letter: str) -> None:
        label = next(a.label for a in ACTIONS if letter in a.keys)
        way = " Answer the caution first." if self.card.mode is CardMode.CAUTION else ""
        self.hand.refused = f"“{label}” is not on this card.{way}"
        self.show()

    def action_move_focus(self, by: int) -> None:
        """Arrows, Tab, PageUp."""
        self._buttons.move_focus(by)

    def action_choose_focused(self) -> None:
        """Enter, Space, PageDown."""
        focused = self._buttons.focused_choice()
        if focused:
            self.choose(focused)
        elif not self.hand.is_bounce():
            self.hand.refused = "PageUp, Tab or an arrow key moves to a button first."
            self.show()

    def choose(self, action: str) -> None:
        """Do what a button says: open a page, turn one, or send a command."""
        self.answer_alarm()
        if self.hand.is_bounce():
            return
        if action in LOCAL or action == NEXT_PAGE:
            self.hand.refused = ""
        if action == NEXT_PAGE:
            self._page += 1
            self.hand.mark_shown()
            self.show()
        elif action in LOCAL:
            self.openings.open(action)
        else:
            self.send(action)

    def send(self, action: str) -> None:
        """Send an action's command and show what came of it."""
        self._page = 0 if self.hand.choose(action) else self._page
        self.settle()

    def settle(self) -> None:
        """Show the card after a command, accepted or refused."""
        self._look_at_timers()
        self.show()

    def action_open_help(self) -> None:
        """The help page."""
        self.openings.open("help")

    def action_leave(self) -> None:
        """Leave; all is on disk, the same card comes next time."""
        self.app.exit(0)
