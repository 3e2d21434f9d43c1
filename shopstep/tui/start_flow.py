"""The way from the start screen to the bench: what was chosen, and which page comes next.

Imports the door, the pages and their words. Each page lies over the one before it; Back takes it
away. What takes a moment is said before it is begun.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from shopstep.desk import Wish
from shopstep.model.plan import Plan
from shopstep.present.moments import day_words, local_date, local_time
from shopstep.present.plan_text import list_lines
from shopstep.present.shelf_words import KeptSession, ShelfBuild
from shopstep.tui import start_words as words
from shopstep.tui.door import Door, first_open
from shopstep.tui.glove import Glove
from shopstep.tui.lines import fold
from shopstep.tui.screens.air_page import AirPage
from shopstep.tui.screens.list_page import ListPage
from shopstep.tui.screens.measure_page import MeasurePage
from shopstep.tui.screens.number_page import NumberPage
from shopstep.tui.screens.page import BACK, Page
from shopstep.tui.screens.picture_page import PicturePage
from shopstep.tui.screens.text_page import TextPage
from shopstep.tui.screens.told_page import Told, ToldPage
from shopstep.words import say, to_say

if TYPE_CHECKING:
    from textual.app import App

MOST_UNITS = 200
"""As the planner says."""
WORKING = to_say("Working it out…")


class StandingList(ListPage):
    """A list that stays where it is while what was chosen on it lies over it."""

    def __init__(
        self,
        glove: Glove,
        title: str,
        items: list[tuple[str, str, str]],
        chosen: Callable[[str], None],
    ) -> None:
        super().__init__(glove, title, items, back=say("Back"))
        self._chosen = chosen

    def pick(self, choice: str) -> None:
        """Back closes it, the next rows are its own, all else is the caller's."""
        if choice == BACK or choice not in {item[0] for item in self._items}:
            super().pick(choice)
        else:
            self._chosen(choice)


class StartFlow:
    """What was chosen so far, and the pages that ask for the rest."""

    def __init__(
        self,
        app: App[int],
        door: Door,
        glove: Glove,
        new_round: Callable[[], str],
        notice: str = "",
    ) -> None:
        self._app = app
        self._door = door
        self._glove = glove
        self._new_round = new_round
        self._notice = notice
        self._wish = Wish("")
        self._sessions: tuple[KeptSession, ...] = ()
        self._builds: tuple[ShelfBuild, ...] = ()
        self._home: ToldPage | None = None

    # Home

    def home(self) -> ToldPage:
        """The first page; under it there is nothing."""
        self._sessions = self._door.sessions()
        self._home = Home(self._glove, self._tell_home, self._choose_home, self._clock)
        return self._home

    def _tell_home(self, width: int, margin: int) -> Told:
        return words.home(self._sessions, day_words(self._today()), self._notice, width, margin)

    def _choose_home(self, choice: str) -> None:
        last = first_open(self._sessions)
        if choice == words.GO_ON and last is not None:
            self._open(last.name)
        elif choice == words.NEW:
            self._after_a_word(self._choose_shop)
        elif choice == words.OTHERS:
            self._push(StandingList(self._glove, say("Which batch?"), self._others(), self._open))

    def _others(self) -> list[tuple[str, str, str]]:
        last = first_open(self._sessions)
        return [
            (kept.name, f"{kept.look.title}: {kept.look.when}", "")
            for kept in self._sessions
            if last is None or kept.name != last.name
        ]

    def _open(self, name: str, follow: str = "") -> None:
        problem = self._door.open(name, follow)
        if problem is None:
            self._app.exit(0)
        elif problem.is_changed:
            told = problem.text
            self._push(
                ToldPage(
                    self._glove,
                    lambda width, margin: words.changed(told, width, margin),
                    lambda choice: self._open(name, choice),
                    self._clock,
                )
            )
        else:
            self._say(say("This batch cannot be opened"), problem.text)

    # A new batch

    def _choose_shop(self) -> None:
        shops = self._door.shops()
        if len(shops) < 2:
            self._choose_build(None)
            return
        items = [(shop, shop.capitalize(), "") for shop in shops]
        self._push(StandingList(self._glove, say("Which shop?"), items, self._choose_build))

    def _choose_build(self, shop: str | None) -> None:
        found = self._door.shelf(shop)
        if isinstance(found, str):
            self._say(say("The shelf cannot be read"), found)
            return
        self._builds = found
        self._wish = Wish("", shop=shop)
        items = [(each.id, _shelf_label(each), "") for each in found]
        self._push(StandingList(self._glove, say("Which build?"), items, self._show_build))

    def _show_build(self, build: str) -> None:
        found = next(each for each in self._builds if each.id == build)
        if found.problem:
            self._say(found.id, found.problem)
            return
        self._wish = replace(self._wish, build=build)
        self._push(
            ToldPage(
                self._glove, self._tell_build, self._choose_at_build, self._clock, self._draw_build
            )
        )

    def _tell_build(self, width: int, margin: int) -> Told:
        found = next(each for each in self._builds if each.id == self._wish.build)
        return words.build(found, width, margin)

    def _draw_build(self, columns: int, rows: int) -> tuple[str, ...] | None:
        return self._door.picture(self._wish.build, self._wish.shop, columns, rows)

    def _choose_at_build(self, choice: str) -> None:
        if choice == words.MEASURE:
            self._measure()
        elif choice == words.PICTURE:
            title = next(each.title for each in self._builds if each.id == self._wish.build)
            self._push(PicturePage(self._glove, title, self._draw_build, say("Back")))
        else:
            self._ask_units()

    def _measure(self) -> None:
        cards = self._door.cards(self._wish.build, self._wish.shop)
        if isinstance(cards, str):
            self._say(say("The build cannot be read"), cards)
            return
        build, shop = self._wish.build, self._wish.shop

        def end() -> None:
            self._app.pop_screen()
            found = self._door.shelf(shop)
            self._builds = self._builds if isinstance(found, str) else found
            if isinstance(page := self._app.screen, ToldPage):
                page.renew()

        page = MeasurePage(
            self._glove,
            cards,
            lambda name, value, round_: self._door.keep(build, shop, name, value, round_),
            self._new_round,
            end,
            say("Back"),
        )
        self._push(page)

    def _ask_units(self) -> None:
        self._push(
            NumberPage(
                self._glove,
                say("How many"),
                say("How many units are made in this batch?"),
                MOST_UNITS,
                self._take_units,
                self._clock,
            )
        )

    def _take_units(self, units: int) -> None:
        self._wish = replace(self._wish, units=units)
        self._ask_air()

    def _ask_air(self) -> None:
        last = self._door.last_air(self._wish.shop)
        self._push(AirPage(self._glove, last, self._take_air, self._clock))

    def _take_air(self, temperature_c: float, humidity_percent: float) -> None:
        self._wish = replace(
            self._wish, temperature_c=temperature_c, humidity_percent=humidity_percent
        )
        self._after_a_word(self._show_plan)

    def _show_plan(self) -> None:
        plan = self._door.plan(self._wish)
        page = (
            ToldPage(
                self._glove,
                lambda width, margin: words.outline(plan, width, margin),
                lambda choice: self._choose_at_plan(choice, plan),
                self._clock,
            )
            if isinstance(plan, Plan)
            else ToldPage(
                self._glove,
                lambda width, margin: words.refused(plan, width, margin),
                self._choose_anew,
                self._clock,
            )
        )
        self._push(page)

    def _choose_at_plan(self, choice: str, plan: Plan) -> None:
        if choice == words.LISTS:
            page = TextPage(
                self._glove,
                say("Parts and what to buy"),
                lambda w: list_lines(plan, w),
                back=say("Back"),
            )
            self._push(page)
        else:
            self._after_a_word(self._begin)

    def _choose_anew(self, choice: str) -> None:
        """Back to the page that asks for the air, or for the number."""
        wanted = AirPage if choice == words.AIR else NumberPage
        while not isinstance(self._app.screen, wanted):
            self._app.pop_screen()
        self._glove.mark_shown()

    def _begin(self) -> None:
        problem = self._door.begin(self._wish)
        if problem is None:
            self._app.exit(0)
        else:
            self._say(say("The batch was not begun"), problem)

    # Pages

    def _push(self, page: Page) -> None:
        self._app.push_screen(page, lambda _: self._glove.mark_shown())

    def _say(self, title: str, text: str) -> None:
        self._push(TextPage(self._glove, title, lambda width: fold(text, width), back=say("Back")))

    def _after_a_word(self, work: Callable[[], None]) -> None:
        """What takes a moment is done once the page says so."""
        page = self._app.screen
        if isinstance(page, Page):
            page.say_working(say(WORKING))
        self._app.call_after_refresh(self._do, work)

    def _do(self, work: Callable[[], None]) -> None:
        before = self._app.screen
        work()
        if isinstance(before, Page):
            before.say_working("")

    def _clock(self) -> str:
        return local_time(self._door.now_s(), self._door.zone())

    def _today(self) -> date:
        return local_date(self._door.now_s(), self._door.zone())


class Home(ToldPage):
    """The first page: Back, ``q`` and Escape leave."""

    def action_close(self) -> None:
        """Leave; nothing was begun."""
        self.app.exit(0)


def _shelf_label(build: ShelfBuild) -> str:
    if build.problem:
        return say("{build_id}: cannot be read", build_id=build.id)
    return f"{build.title}: {build.measures.words}"
