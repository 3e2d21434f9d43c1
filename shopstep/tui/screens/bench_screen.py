"""The bench: one card, its timers and its buttons. Keys, taps and pedals end here as choices.

Imports the hand, the frame and the widgets; opens the pages.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, cast

from textual.geometry import Size
from textual.screen import Screen

from shopstep.present.card import CardMode, StepCard
from shopstep.present.machines import is_at_machine
from shopstep.tui.actions import (
    AGAIN,
    KEEP_KEYS,
    ON_SCREEN,
    READY,
    TALK,
    VIEW,
    action_for_key,
    needs_two_answers,
)
from shopstep.tui.bars import REST
from shopstep.tui.clocks import AlarmWatch, glue_lines
from shopstep.tui.coming_back import ComingBack
from shopstep.tui.frame import Frame, View, arrange_frame, head_rows, timer_rows
from shopstep.tui.hand import Hand
from shopstep.tui.lines import Block
from shopstep.tui.pages_seen import PagesSeen
from shopstep.tui.refused_keys import say_refused, say_unlit, say_ways
from shopstep.tui.ringing import Deaf, Ringing
from shopstep.tui.screens.bench_bindings import BENCH_BINDINGS
from shopstep.tui.screens.page import Page
from shopstep.tui.step_picture import StepPicture
from shopstep.tui.widgets.bar import Bar
from shopstep.tui.widgets.big_button import BigButton
from shopstep.tui.widgets.button_row import ButtonRow
from shopstep.tui.widgets.painting import Rows
from shopstep.words import say

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult

    from shopstep.session.commands import Command
    from shopstep.tui.hearing import Hearing
    from shopstep.tui.screens.openings import Openings
    from shopstep.tui.themed_app import ThemedApp

TICK_S = 1.0
POLL_S = 0.4
EAR_FROM_HEIGHT = 24
"""Lower screens have no row for the ear on pages that ask for none."""
MOST_BUTTONS = 7


class BenchScreen(Screen[None]):
    """Shows the hand's card and turns what is pressed into choices."""

    CSS = "BenchScreen { overflow: hidden; layout: vertical; }"
    AUTO_FOCUS = ""
    BINDINGS = BENCH_BINDINGS

    def __init__(
        self,
        hand: Hand,
        ringing: Ringing,
        picture: StepPicture,
        *,
        is_resumed: bool = False,
        is_far: bool = False,
    ) -> None:
        super().__init__()
        self._ringing = ringing
        self.hand = hand
        self.picture = picture
        self.is_far = is_far
        """Whether the distance view is shown."""
        self.coming_back = ComingBack(hand, is_owed=is_resumed)
        self.watch_alarms = AlarmWatch()
        self.frame: Frame | None = None
        """What is on the screen; None before the first size is known."""
        self._top, self._band = Rows(id="top"), Rows(id="band")
        self._alarm, self._body, self._notice = Bar(id="alarm"), Bar(id="body"), Bar(id="notice")
        self._ear, self._buttons = Bar(id="ear"), ButtonRow(MOST_BUTTONS)
        self._seen = PagesSeen()
        self._room, self._minute = Size(0, 0), 0

    def compose(self) -> ComposeResult:
        """From top to bottom."""
        yield from (self._top, self._alarm, self._body)
        yield from (self._band, self._notice, self._ear, self._buttons)

    def on_mount(self) -> None:
        """Start the two clocks: one for the countdowns, one for other faces."""
        self._look_at_timers()
        self.set_interval(TICK_S, self.tick)
        self.set_interval(POLL_S, self.poll)
        self.hearing.begin(self)
        self.call_after_refresh(self._tell_where_we_are)

    def on_resize(self, event: events.Resize) -> None:
        """Arrange everything for the new size."""
        self._room = event.size
        self.show()

    @property
    def card(self) -> StepCard:
        """What stands at the bench."""
        return self.hand.card

    @property
    def hearing(self) -> Hearing | Deaf:
        """What hears the person, or nobody."""
        return self._ringing.hearing

    @property
    def zone(self) -> str:
        """IANA name of the shop's time zone."""
        return self.hand.bench.plan.zone

    @cached_property
    def openings(self) -> Openings:
        """What opens over the bench; its pages are imported when the first one opens."""
        from shopstep.tui.screens.openings import Openings

        return Openings(self)

    # Showing

    def show(self) -> None:
        """Arrange and show all parts for the card and the size of now."""
        if not self._room.width or not self._room.height:
            return
        self._ringing.speaking.look(self.hand, self.watch_alarms.open)
        self._seen.begin(self.card)
        view = self._view()
        frame = self.frame = self.picture.add_to(arrange_frame(view), view)
        self._seen.see(frame.page, frame.pages)
        parts = (
            (self._top, frame.top, len(frame.top)),
            (self._alarm, frame.alarm, len(frame.alarm)),
            (self._body, frame.body, frame.body_height),
            (self._band, frame.band, frame.sheet.band_rows),
            (self._notice, frame.notice, len(frame.notice)),
            (self._ear, frame.ear, len(frame.ear)),
        )
        for widget, rows, height in parts:
            widget.set_height(height)
            widget.show_rows(rows)
        self._buttons.styles.height = frame.foot
        self._buttons.put(frame.places, frame.order)
        if self._seen.moves_focus(frame.first_focus):
            self._buttons.focus_on(frame.first_focus)
        if self.picture.is_owed:
            self.call_after_refresh(self.look_for_picture)

    def look_for_picture(self) -> None:
        """The picture follows the words as soon as it is there."""
        if self.picture.look():
            self.show()

    def _view(self) -> View:
        return View(
            card=self.card,
            notice=self.hand.notice,
            alarms=self.watch_alarms.open,
            now_s=self._now(),
            zone=self.zone,
            width=self._room.width,
            height=self._room.height,
            page=self._seen.page,
            is_read=self._seen.is_read,
            is_far=self.is_far,
            is_ready=self._seen.is_ready,
            ear=self.hearing.rows(*self._room),
        )

    def _show_clocks(self) -> None:
        """The parts that change with time alone; only cells that differ are painted."""
        if self.frame is not None:
            view = self._view()
            self._top.show_rows(head_rows(view))
            self._band.show_rows(timer_rows(view, self.frame.sheet))

    def show_ear(self) -> None:
        """The line of the ear alone, or all where it comes or goes."""
        rows = self.hearing.rows(*self._room)
        if self.frame is None or len(rows) != len(self.frame.ear):
            self.show()
        else:
            self._ear.show_rows(rows)

    def show_countdown(self, width: int, *, is_asked: bool = False) -> Block:
        """For the pages over the bench: a row with the time of open glue, and one of the ear where
        there is room, or ``is_asked`` for an answer."""
        has_room = is_asked or self._room.height >= EAR_FROM_HEIGHT
        ear = self.hearing.rows(width, 1) if has_room else ()
        return (*glue_lines(self.card.timers, self._now(), self.zone, width), *ear)

    def _now(self) -> int:
        return self.hand.bench.now_s()

    # Time

    def tick(self) -> None:
        """Once a second: repaint the countdowns; a limit that was passed changes the card."""
        is_told = self._ringing.speaking.look(self.hand, self.watch_alarms.open)
        has_news = self._look_at_timers() or is_told
        minute = self._now() // 60
        if has_news or minute != self._minute or self.card.mode is CardMode.WAITING:
            has_news = self.hand.refresh() or has_news
        self._minute = minute
        if has_news or self.watch_alarms.open:
            self.show()
        else:
            self._show_clocks()
        if isinstance(self.app.screen, Page):
            self.app.screen.show_clock()

    def poll(self) -> None:
        """Show what another face did meanwhile."""
        if self.hand.look_for_changes():
            self._look_at_timers()
            self.close_pages()
            self.show()
        elif self.app.screen is self:
            if self.hand.look_for_better():
                self._seen.stay_put(self.card)
                self.show()
            self.look_for_picture()

    def _look_at_timers(self) -> bool:
        """Whether a limit was passed since the last look; rings and closes pages if so."""
        had = self.watch_alarms.open
        is_heard = self.watch_alarms.look(self.card.timers, self._now())
        has_changed = self.watch_alarms.open != had
        at_machine = is_at_machine(self.hand.bench.plan, self.card.step_id)
        self._ringing.look(
            self.watch_alarms.open, self._now(), is_news=is_heard, at_machine=at_machine
        )
        if self.watch_alarms.open and has_changed:
            self.close_pages()
        return is_heard or has_changed

    def close_pages(self) -> None:
        """Back to the bench, so that an alarm or another face's change is seen."""
        while isinstance(page := self.app.screen, Page):
            self.hand.refused = page.loss or self.hand.refused
            self.app.pop_screen()
            self.hand.mark_closed()

    # Choosing

    def on_big_button_chosen(self, message: BigButton.Chosen) -> None:
        """A button was tapped."""
        message.stop()
        self.choose(message.choice)

    def on_bar_tapped(self, message: Bar.Tapped) -> None:
        """The alarm is answered, the notice read, or the card seen in the other view."""
        message.stop()
        if message.bar is self._body:
            if not self.answer_alarm() and self.card.mode is CardMode.STEP:
                self.choose(VIEW)
            return
        if message.bar is self._alarm:
            self.answer_alarm()
        elif message.bar is self._ear:
            self.choose(TALK)
        elif any(row.text.endswith(say(REST)) for row in message.bar.rows):
            self.openings.open("notice")
        else:
            self.hand.let_go()
            self.show()

    def on_key(self, event: events.Key) -> None:
        """Any key answers the alarm, and does nothing else."""
        if self.answer_alarm():
            event.stop()

    def answer_alarm(self) -> bool:
        """The alarm in sight was seen; True when there was one."""
        if not self.watch_alarms.open:
            return False
        self.watch_alarms.answer()
        self.show()
        return True

    def action_key(self, key: str) -> None:
        """A number or a letter: the action it stands for, or a word why not."""
        if self.frame is None:
            return
        wanted = action_for_key(key, self.frame.offers)
        is_step = self.card.mode is CardMode.STEP
        if wanted is None and is_step and key in KEEP_KEYS and self.hand.deviation:
            wanted = "accept"
        if wanted is not None:
            self.choose(wanted)
        elif not self.hand.is_bounce():
            self._refuse_key(key)

    def _refuse_key(self, key: str) -> None:
        self.hand.refused = say_refused(key, self.card, self._ways())
        self.show()

    def action_move_focus(self, by: int) -> None:
        """Arrows, Tab, PageUp; on a caution that was read this is the first of the two answers."""
        if needs_two_answers(self.card) and self._buttons.find(READY):
            self.choose(READY)
        self._buttons.move_focus(by)

    def action_choose_focused(self) -> None:
        """Enter, Space, PageDown."""
        focused = self._buttons.focused_choice()
        if focused:
            self.choose(focused)
        elif not self.hand.is_bounce():
            self.hand.refused = say_unlit(self.card, self._ways())
            self.show()

    def _ways(self) -> str:
        """The keys that go on from a caution."""
        keys = cast("ThemedApp", self.app).key_map
        return say_ways(self.card, keys, is_read=self._seen.is_read, is_ready=self._seen.is_ready)

    def choose(self, action: str) -> None:
        """Do what a button says: open a page, turn one, or send a command."""
        self.answer_alarm()
        if self.hand.is_bounce():
            self._buttons.blink(action)
            return
        if self.hand.is_meant_for_page(action):
            self.hand.refuse_back()
            self.show()
            return
        if action == READY and not needs_two_answers(self.card):
            action = "ack"
        if action in ON_SCREEN:
            self.turn(action)
        elif not self.hand.opens_page(action):
            self.send(action)
            return
        if action != "more":  # More can show the whole notice
            self.hand.refused = ""
        self.show()
        if self.hand.opens_page(action):
            self.openings.open(action)

    def turn(self, action: str) -> None:
        """Change what is seen of the card."""
        if action == VIEW:
            self.is_far, self._seen.page = not self.is_far, 0
        elif action == READY:
            self._seen.is_ready = True
        elif action == AGAIN:
            self.hand.told = self._ringing.speaking.again(self.card) or self.hand.told
        elif action == TALK:
            self.hand.told = self.hearing.push() or self.hand.told
        else:
            self._seen.page = (self._seen.page + 1) % (self.frame.pages if self.frame else 1)
        self.hand.mark_shown()

    def send(self, action: str, command: Command | None = None) -> bool:
        """Send an action's command, or one made elsewhere, show what came; True where taken."""
        self.coming_back.look(action)
        is_taken = self.hand.carry_out(command) if command else self.hand.choose(action)
        self.coming_back.conclude(is_taken=is_taken)
        if not (self.hand.refused and self.openings.ask_after(self.hand.rule)):
            self.settle()
        return is_taken

    def settle(self) -> None:
        """Show the card after a command, accepted or refused."""
        self._look_at_timers()
        self.show()
        self._tell_where_we_are()

    def _tell_where_we_are(self) -> None:
        """To somebody who has come back; never in the way of open glue."""
        if self.coming_back.is_due():
            self.openings.open("summary")
        else:
            self.ask_for_air()

    def ask_for_air(self) -> None:
        """Once an evening, of somebody who has come back; after the summary was read."""
        if self.coming_back.is_air_due():
            self.openings.open("air")

    def action_open_help(self) -> None:
        """The help page."""
        self.openings.open("help")

    def action_leave(self) -> None:
        """Leave; all is on disk, the same card comes next time."""
        self.app.exit(0)
