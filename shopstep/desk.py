"""The door before a session: shelf, shop, check, plan, start.

Declares what it needs as protocols; ``wiring`` injects the real ones. Imports ``session`` for the
first event, and ``model``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from shopstep.model.codec import digest, to_text
from shopstep.model.plan import (
    BuildSummary,
    BuildText,
    Conditions,
    Finding,
    Plan,
    PlanRequest,
    Shop,
)
from shopstep.model.stock import RackPiece
from shopstep.session.decide import begin_batch
from shopstep.session.events import Event


class Shelf(Protocol):
    """Where builds are found."""

    def entries(self) -> tuple[BuildSummary, ...]:
        """All builds by name."""
        ...

    def find(self, build: str) -> tuple[BuildText, tuple[BuildText, ...]]:
        """A build (a file, or a name on the shelf) with its parents, nearest first."""
        ...


@dataclass(frozen=True, slots=True)
class Profile:
    """A shop as the settings describe it."""

    shop: Shop
    conditions: Conditions
    display: str


class Profiles(Protocol):
    """The keeper's shops."""

    def profile(self, name: str | None) -> Profile:
        """A shop by name, or the usual one."""
        ...


class Rack(Protocol):
    """What stock the keeper has."""

    def pieces(self) -> tuple[RackPiece, ...]:
        """All pieces that no session has been promised."""
        ...


class EmptyRack:
    """A rack with nothing on it: all stock is bought."""

    def pieces(self) -> tuple[RackPiece, ...]:
        """Nothing."""
        return ()


class Planner(Protocol):
    """Makes plans."""

    def make_plan(self, request: PlanRequest) -> Plan:
        """The plan; PlanRefused or BuildFileError."""
        ...

    def check_build(self, request: PlanRequest) -> tuple[Finding, ...]:
        """All findings; BuildFileError."""
        ...


@dataclass(frozen=True, slots=True)
class Wish:
    """What a person asks to have planned, as typed."""

    build: str
    settings: tuple[tuple[str, str], ...] = ()
    units: int = 1
    shop: str | None = None
    temperature_c: float | None = None
    humidity_percent: float | None = None
    display: str | None = None


@dataclass(frozen=True, slots=True)
class Start:
    """All that a new session file holds at its beginning."""

    request: PlanRequest
    plan: Plan
    events: tuple[Event, ...]


class Desk:
    """Answers for everything that comes before the bench."""

    def __init__(self, shelf: Shelf, profiles: Profiles, rack: Rack, planner: Planner) -> None:
        self._shelf = shelf
        self._profiles = profiles
        self._rack = rack
        self._planner = planner

    def builds(self) -> tuple[BuildSummary, ...]:
        """The builds on the shelf."""
        return self._shelf.entries()

    def request(self, wish: Wish, begin_s: int) -> PlanRequest:
        """The full request for a wish: texts, shop, air, rack."""
        build, parents = self._shelf.find(wish.build)
        profile = self._profiles.profile(wish.shop)
        air = profile.conditions
        return PlanRequest(
            build=build,
            parents=parents,
            settings=wish.settings,
            units=wish.units,
            display=wish.display if wish.display is not None else profile.display,
            shop=profile.shop,
            conditions=Conditions(
                air.temperature_c if wish.temperature_c is None else wish.temperature_c,
                air.humidity_percent if wish.humidity_percent is None else wish.humidity_percent,
            ),
            rack=self._rack.pieces(),
            begin_s=begin_s,
            seed=0,
        )

    def plan(self, wish: Wish, begin_s: int) -> Plan:
        """The plan for a wish, from a moment on."""
        return self._planner.make_plan(self.request(wish, begin_s))

    def check(self, wish: Wish, begin_s: int) -> tuple[Finding, ...]:
        """Every finding for a wish."""
        return self._planner.check_build(self.request(wish, begin_s))

    def start(self, wish: Wish, begin_s: int) -> Start:
        """Plan a wish and say what its session begins with."""
        request = self.request(wish, begin_s)
        plan = self._planner.make_plan(request)
        events = begin_batch(
            plan,
            title=f"{plan.build_title}, {plan.units} unit{'s' if plan.units != 1 else ''}",
            plan_hash=digest(to_text(plan)),
            build_digest=build_digest(request.build, request.parents),
            now_s=begin_s,
        )
        return Start(request, plan, events)


def build_digest(build: BuildText, parents: tuple[BuildText, ...]) -> str:
    """SHA-256 over a build's text and its parents', to notice a change later."""
    return digest("\0".join([build.text, *(parent.text for parent in parents)]))
