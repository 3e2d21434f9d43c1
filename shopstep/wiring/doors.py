"""The door of the start screen on this machine: its sessions, shelf, shops and planner."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from shopstep.model.measure import Reading
from shopstep.model.plan import Level, Plan
from shopstep.present.air import Air, known_air
from shopstep.present.readings import kept_words, measure_card
from shopstep.present.shelf_words import (
    KeptSession,
    NotOpened,
    ShelfBuild,
    look_at_measures,
    look_at_session,
)
from shopstep.storage.folders import sessions_folder
from shopstep.storage.kept_sessions import kept_sessions
from shopstep.wiring.benches import (
    SESSION_SUFFIX,
    OnChange,
    OpenSession,
    open_session,
    start_session,
)
from shopstep.wiring.desks import open_desk
from shopstep.wiring.picturing import ShelfPictures
from shopstep.wiring.problems import BuildChanged, Problem, plain_problems
from shopstep.words import say

if TYPE_CHECKING:
    from shopstep.desk import Desk, Wish
    from shopstep.model.measure import Questionnaire
    from shopstep.model.plan import BuildSummary
    from shopstep.present.readings import MeasureCard
    from shopstep.present.shelf_words import MeasureLook
    from shopstep.session.state import State
    from shopstep.units import Length
    from shopstep.workbench import Clock

MOST_SESSIONS = 12
T = TypeVar("T")
_FOLLOW = {"keep": OnChange.KEEP, "move": OnChange.MOVE}


class StartDesk:
    """What comes before the bench, and the session that came of it."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._desk: Desk = open_desk()
        self._newest: tuple[tuple[Path, State, Plan], ...] | None = None
        self._pictures = ShelfPictures()
        self.opened: OpenSession | None = None
        """The session that was begun or opened; None where there is none yet."""
        self.is_resumed = False
        """Whether it was there before."""

    def now_s(self) -> int:
        """Seconds since 1970 UTC."""
        return self._clock.now().at_s

    def zone(self) -> str:
        """IANA name of the local time zone."""
        return self._clock.now().zone

    def sessions(self) -> tuple[KeptSession, ...]:
        """The newest sessions, the newest first; each goes by its file."""
        return tuple(
            KeptSession(str(path), look_at_session(state, plan, self.now_s()))
            for path, state, plan in self._kept()
        )

    def _kept(self) -> tuple[tuple[Path, State, Plan], ...]:
        if self._newest is None:
            self._newest = kept_sessions(sessions_folder(), SESSION_SUFFIX, MOST_SESSIONS)
        return self._newest

    def shops(self) -> tuple[str, ...]:
        """Names of the keeper's shops; none where the settings cannot be read."""
        found = _or_words(self._desk.shops)
        return () if isinstance(found, str) else found

    def shelf(self, shop: str | None) -> tuple[ShelfBuild, ...] | str:
        """The builds with what the shop has measured; a sentence where that cannot be read."""

        def look() -> tuple[ShelfBuild, ...]:
            return tuple(
                ShelfBuild(e.id, e.title, e.summary, e.problem, self._measures(e, shop))
                for e in self._desk.builds()
            )

        return _or_words(look)

    def _measures(self, entry: BuildSummary, shop: str | None) -> MeasureLook:
        if entry.problem:
            return look_at_measures((), {}, "in", "UTC")
        asking = self._desk.asking(_wish(entry.id, shop))
        asks: Questionnaire = asking.asks
        return look_at_measures(asks.questions, asking.kept, asks.display, asking.zone)

    def picture(
        self, build: str, shop: str | None, columns: int, rows: int
    ) -> tuple[str, ...] | None:
        """What a build looks like in the shop's own sizes; drawn by a process beside the screen."""
        return self._pictures.cells(build, shop, columns, rows)

    def cards(self, build: str, shop: str | None) -> tuple[MeasureCard, ...] | str:
        """What a build asks to have measured, with what is kept."""

        def ask() -> tuple[MeasureCard, ...]:
            asking = self._desk.asking(_wish(build, shop))
            return tuple(
                measure_card(q, asking.kept.get(q.name, ()), asking.asks.display, asking.zone)
                for q in asking.asks.questions
            )

        return _or_words(ask)

    def keep(self, build: str, shop: str | None, name: str, value: Length, round_: str) -> str:
        """Keep a reading; on disk on return. The words for what is kept now."""
        asking = self._desk.asking(_wish(build, shop))
        self._desk.keep(asking.shop, (Reading(name, value, self.now_s(), round_),))
        self._pictures.forget()
        kept = self._desk.kept(asking.shop).kept[name]
        question = next(q for q in asking.asks.questions if q.name == name)
        return kept_words(kept, question.several, asking.asks.display, asking.zone)

    def last_air(self, shop: str | None) -> Air:
        """The air of the newest session, else of the shop's settings."""
        if self._kept():
            _, state, plan = self._kept()[0]
            air = known_air(state, plan)
            return Air(air.temperature_c, air.humidity_percent, say("as last time"))
        usual = self._desk.profile(shop).conditions
        return Air(usual.temperature_c, usual.humidity_percent, say("as in the settings"))

    def plan(self, wish: Wish) -> Plan | tuple[str, ...]:
        """The plan, or why there is none and what would be right."""
        try:
            with plain_problems():
                return self._desk.plan(wish, self.now_s())
        except Problem as problem:
            stops = [f.sentence for f in problem.findings if f.level is Level.STOP]
            return tuple(stops) or (_sentence(problem),)

    def begin(self, wish: Wish) -> str | None:
        """Make the session of a wish and keep it open; a sentence where that failed."""
        found = _or_words(lambda: start_session(wish, None, self._clock, "bench", betters=True))
        if isinstance(found, str):
            return found
        self.opened, self.is_resumed = found, False
        return None

    def open(self, name: str, follow: str = "") -> NotOpened | None:
        """Open a session and keep it open; else why not, and whether its build has changed."""
        on_change = _FOLLOW.get(follow, OnChange.ASK)
        try:
            self.opened = open_session(
                name, self._clock, "bench", on_change, must_write=True, betters=True
            )
        except BuildChanged as changed:
            return NotOpened(changed.short, is_changed=True)
        except Problem as problem:
            return NotOpened(_sentence(problem))
        self.is_resumed = True
        return None


def _wish(build: str, shop: str | None) -> Wish:
    from shopstep.desk import Wish

    return Wish(build, shop=shop)


def _or_words(work: Callable[[], T]) -> T | str:
    """What the work gives, or the sentence that says why it could not be done."""
    try:
        with plain_problems():
            return work()
    except Problem as problem:
        return _sentence(problem)


def _sentence(problem: Problem) -> str:
    where = f"{problem.where.file}: " if problem.where.file else ""
    text = f"{where}{problem.text}"
    return text if text.endswith(".") else f"{text}."
