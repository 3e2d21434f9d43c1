"""A batch under way, to try the bench with: a real session, made by real commands.

Invented: the shop, its hours, the air, and how long each step took. The build is one that ships.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from uuid import uuid4

from shopstep.desk import Desk, EmptyRack, Profile, Start, Wish
from shopstep.model.plan import (
    BuildSummary,
    BuildText,
    Calendar,
    Conditions,
    Plan,
    PlanRequest,
    Shop,
)
from shopstep.present.card import CardMode, StepCard
from shopstep.session import commands as c
from shopstep.session.events import Envelope, Event, Moment
from shopstep.session.flow import index_plan, ready_steps
from shopstep.session.state import State
from shopstep.session.timers import zone_of
from shopstep.storage.clock import FixedClock
from shopstep.storage.folders import shipped_folder
from shopstep.storage.session_file import SessionFile
from shopstep.units import Length, parse_length
from shopstep.wiring.benches import OpenSession, open_session
from shopstep.wiring.late_planner import LatePlanner
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import say
from shopstep.workbench import Clock, Workbench

BUILD = "screened-floor"
UNITS = 3
SHOP = "demo shop"
AIR = Conditions(18.0, 55.0)
PACES = (0.8, 1.1, 0.95, 1.3, 0.9)
"""How the time that a step took compares with its guess, round and round."""
PAUSE_BEFORE, BREAK_S = "u1/fit/clean_grooves", 46 * 3600
LANDS_ON = "u3/fit/dry_fit"
MOST_COMMANDS = 1000
MOST_PLAYS = 4
LONGEST_IDLE_S = 300
FILE, FACE = "demo.session", "demo"


class _OneBuild:
    """A shelf with one shipped build on it."""

    def entries(self) -> tuple[BuildSummary, ...]:
        """Nobody looks it over."""
        return ()

    def find(self, build: str) -> tuple[BuildText, tuple[BuildText, ...]]:
        """The shipped build."""
        path = shipped_folder("builds") / f"{build}.yaml"
        return BuildText(str(path), path.read_text(encoding="utf-8")), ()


class _OneShop:
    """A shop that is open day and night, so that the demo looks alike at any hour."""

    def __init__(self, zone: str) -> None:
        self._zone = zone

    def names(self) -> tuple[str, ...]:
        """Only this one."""
        return (SHOP,)

    def profile(self, name: str | None) -> Profile:
        """The same whatever the name."""
        del name
        calendar = Calendar(self._zone, 0, 24 * 60, tuple(range(7)))
        shop = Shop(SHOP, calendar, clamps=8, drying_places=6, kerf=parse_length("1/8 in"))
        return Profile(shop, AIR, "in")


class _Pages:
    """A journal without a disk; what is played on it is written in one go."""

    def __init__(self, start: Start, moment: Moment) -> None:
        self._start = start
        self.stored: list[Envelope] = []
        self.append(0, start.events, moment, FACE, "begin")

    def request(self) -> PlanRequest:
        """What the plan was made from."""
        return self._start.request

    def plan(self, number: int) -> Plan:
        """There is one plan only."""
        del number
        return self._start.plan

    def events_after(self, version: int) -> tuple[Envelope, ...]:
        """All events with a higher version."""
        return tuple(self.stored[version:])

    def events_of(self, command_id: str) -> tuple[Envelope, ...]:
        """What was stored for a command."""
        return tuple(each for each in self.stored if each.command_id == command_id)

    def snapshot(self) -> None:
        """No shortcut is kept."""

    def keep_snapshot(self, state: State) -> None:
        """Not kept."""
        del state

    def append(
        self,
        expected_version: int,
        events: tuple[Event, ...],
        moment: Moment,
        face: str,
        command_id: str,
        plan: Plan | None = None,
    ) -> tuple[Envelope, ...]:
        """Nobody else writes here, and no plan is made anew."""
        del plan
        made = tuple(
            Envelope(number, event, moment, face, command_id)
            for number, event in enumerate(events, expected_version + 1)
        )
        self.stored += made
        return made


def make_demo(folder: Path, clock: Clock) -> OpenSession:
    """A session in a folder: small parts of one unit dry, the next is in clamps, a third at hand.

    Problem where it cannot be written, or where the shipped build has changed too much for it.
    """
    now = clock.now()
    with plain_problems():
        start, pages = _play_until(now.at_s, now.zone)
        history = tuple(pages[len(start.events) :])
        SessionFile.create(
            folder / FILE, start.request, start.plan, start.events, pages[0].moment, FACE, history
        ).close()
    return open_session(str(folder / FILE), clock, "bench")


def _play_until(end_s: int, zone: str) -> tuple[Start, list[Envelope]]:
    """A play that ends now, or a little before: the first try shows how long it takes."""
    begin_s = end_s
    for _ in range(MOST_PLAYS):
        start, pages, ended_s = _play(begin_s, zone)
        if 0 <= end_s - ended_s <= LONGEST_IDLE_S:
            return start, pages
        begin_s += end_s - ended_s
    raise Problem(say("the demo batch did not come to its place"), ExitCode.REFUSED)


def _play(begin_s: int, zone: str) -> tuple[Start, list[Envelope], int]:
    """Work until the demo stands where it should; what was stored, and when it ended."""
    clock = FixedClock(begin_s, zone)
    desk = Desk(_OneBuild(), _OneShop(zone), EmptyRack(), LatePlanner())
    start = desk.start(Wish(BUILD, units=UNITS), _midnight(begin_s, zone))
    pages = _Pages(start, clock.now())
    _Player(Workbench(pages, clock, FACE), clock).work()
    return start, pages.stored, clock.at_s


def _midnight(at_s: int, zone: str) -> int:
    """When that day began: planned from there, the steps have one order at any hour."""
    at = datetime.fromtimestamp(at_s, zone_of(zone))
    return int(at.replace(hour=0, minute=0, second=0, microsecond=0).timestamp())


class _Player:
    """Does what the card asks for, a unit at a time; after the machine work it takes a break."""

    def __init__(self, bench: Workbench, clock: FixedClock) -> None:
        self._bench = bench
        self._clock = clock
        self._steps = 0
        self._has_paused = False

    def work(self) -> None:
        """Until the last unit comes to the step that the demo opens on."""
        for _ in range(MOST_COMMANDS):
            card = self._bench.card()
            if card.step_id == LANDS_ON:
                return
            if not card.step_id:
                break
            if self._take_earlier(card):
                continue
            if card.step_id == PAUSE_BEFORE and not self._has_paused:
                self._pause()
            else:
                self._follow(card)
        raise Problem(say("the demo batch did not come to its place"), ExitCode.REFUSED)

    def _pause(self) -> None:
        """On hold till another evening."""
        self._has_paused = True
        self._bench.do(c.HoldBatch(id=_new_id(), reason="evening"))
        self._clock.at_s += BREAK_S
        self._bench.do(c.ResumeBatch(id=_new_id()))

    def _take_earlier(self, card: StepCard) -> bool:
        """Machine work before a unit's, the first unit before the next; not while glue is open."""
        bench = self._bench
        here = index_plan(bench.plan).steps[card.step_id]
        if any(timer.is_most for timer in card.timers):
            return False
        ready = ready_steps(bench.state, bench.plan, self._clock.at_s)
        first = min(ready, key=lambda step: step.unit or 0, default=here)
        if (first.unit or 0) >= (here.unit or 0):
            return False
        return not isinstance(bench.do(c.TakeStep(id=_new_id(), step=first.id)), c.Refusal)

    def _follow(self, card: StepCard) -> None:
        """What the card asks for; what is refused is answered."""
        step = index_plan(self._bench.plan).steps[card.step_id]
        asked = [k for k in card.checks if k.expected_nm is not None and not k.within]
        if card.mode is CardMode.CAUTION:
            self._clock.at_s += 10
            self._bench.do(c.AcknowledgeCaution(id=_new_id(), step=step.id))
        elif asked:
            value = Length(asked[0].expected_nm or 0)
            self._bench.do(
                c.TakeMeasure(id=_new_id(), step=step.id, name=asked[0].name, value=value)
            )
        elif card.actions[0].id == "start":
            self._bench.do(c.StartSpreading(id=_new_id(), step=step.id))
        else:
            self._steps += 1
            self._clock.at_s += round(step.duration_s * PACES[self._steps % len(PACES)])
            self._bench.do(c.FinishStep(id=_new_id(), step=step.id))


def _new_id() -> str:
    return uuid4().hex
