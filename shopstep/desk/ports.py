"""What the desk needs from the machine, as protocols, and the empty ones.

``wiring`` injects the real ones. Imports ``model``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from shopstep.model.estimate import TimeFactor
from shopstep.model.interface import FitReport
from shopstep.model.measure import Questionnaire, Reading
from shopstep.model.plan import (
    BuildSummary,
    BuildText,
    Conditions,
    Finding,
    Plan,
    PlanRequest,
    Shop,
)
from shopstep.model.proof import Proof
from shopstep.model.reason import Reason
from shopstep.model.stock import RackPiece
from shopstep.words import say


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
    limits: tuple[tuple[str, str], ...] = ()
    """Own ranges by fit that the shop keeps."""
    labels: tuple[tuple[str, str], ...] = ()
    """What labels say that the shop keeps: ``wood_glue.open`` → ``8 min``."""
    prices: tuple[tuple[str, str], ...] = ()
    """What stock costs where this keeper buys it, as written: ``1×6, 8 ft`` → ``4.80``."""


class Measurements(Protocol):
    """What the keeper has measured, by shop."""

    def shops(self) -> tuple[str, ...]:
        """Names of all shops that readings are kept for."""
        ...

    def kept(self, shop: str) -> Mapping[str, tuple[Reading, ...]]:
        """The newest round of each measurement of a shop, in the order of reading."""
        ...

    def keep(self, shop: str, readings: tuple[Reading, ...]) -> None:
        """Store readings, all or none; on disk on return."""
        ...

    def put_away(self, shop: str, name: str, at_s: int) -> int:
        """Let no reading of a measurement count any more; how many there were."""
        ...


class NothingMeasured:
    """Nobody has measured anything, and nothing can be kept."""

    def shops(self) -> tuple[str, ...]:
        """None."""
        return ()

    def kept(self, shop: str) -> Mapping[str, tuple[Reading, ...]]:
        """Nothing, whatever the shop."""
        del shop
        return {}

    def keep(self, shop: str, readings: tuple[Reading, ...]) -> None:
        """OSError: there is no place for it."""
        raise OSError(
            say(
                "there is no place to keep {readings} readings of '{shop}'",
                readings=len(readings),
                shop=shop,
            )
        )

    def put_away(self, shop: str, name: str, at_s: int) -> int:
        """None were there."""
        del shop, name, at_s
        return 0


class Profiles(Protocol):
    """The keeper's shops."""

    def names(self) -> tuple[str, ...]:
        """Names of all shops, the usual one first."""
        ...

    def profile(self, name: str | None) -> Profile:
        """A shop by name, or the usual one."""
        ...


class Rack(Protocol):
    """What stock the keeper has."""

    def pieces(self) -> tuple[RackPiece, ...]:
        """All pieces, with why where one is not to be cut: promised to a session, not looked at."""
        ...

    def identity(self) -> str:
        """Tells this rack from all others; empty where nobody keeps one."""
        ...


class EmptyRack:
    """A rack with nothing on it: all stock is bought."""

    def pieces(self) -> tuple[RackPiece, ...]:
        """Nothing."""
        return ()

    def identity(self) -> str:
        """Nobody keeps one."""
        return ""


class Past(Protocol):
    """What earlier sessions teach."""

    def times(self) -> tuple[TimeFactor, ...]:
        """What guessed times are to be multiplied by."""
        ...

    def to_get(self) -> tuple[str, ...]:
        """What was noted as to be bought."""
        ...


class NoPast:
    """Nothing was made yet."""

    def times(self) -> tuple[TimeFactor, ...]:
        """None."""
        return ()

    def to_get(self) -> tuple[str, ...]:
        """None."""
        return ()


class Planner(Protocol):
    """Makes plans."""

    def make_plan(self, request: PlanRequest) -> Plan:
        """The plan; PlanRefused or BuildFileError."""
        ...

    def vary_plan(self, request: PlanRequest, plan: Plan) -> Plan:
        """The plan for a request that has a little more than the plan's; PlanRefused as above."""
        ...

    def check_build(self, request: PlanRequest) -> tuple[Finding, ...]:
        """All findings; BuildFileError."""
        ...

    def prove_build(self, request: PlanRequest) -> Proof:
        """The proof from the solids; PlanRefused or BuildFileError."""
        ...

    def explain_chain(self, plan: Plan, shop: Shop, step_id: str) -> tuple[Reason, ...]:
        """Why a step does not start earlier, back to the beginning; KeyError for no step."""
        ...

    def fit_builds(self, requests: tuple[PlanRequest, ...]) -> FitReport:
        """Whether builds go together; BuildFileError."""
        ...

    def plan_alike(self, old: PlanRequest, new: PlanRequest) -> tuple[Plan, Plan]:
        """Both plans at the same measurements; PlanRefused or BuildFileError."""
        ...

    def sort_settings(
        self,
        builds: tuple[tuple[BuildText, tuple[BuildText, ...]], ...],
        typed: tuple[tuple[str, str], ...],
        names: tuple[tuple[str, ...], ...] = (),
    ) -> tuple[tuple[tuple[str, str], ...], ...]:
        """For each build the settings that it asks for; BuildFileError for what none asks.

        ``names``: what each can be called by in a setting for it alone, ``box_width@hive-body``.
        """
        ...

    def supplies(self, build: BuildText, parents: tuple[BuildText, ...]) -> tuple[str, ...]:
        """Ids of the glues and paints that a build uses; BuildFileError."""
        ...

    def build_id(self, build: BuildText, parents: tuple[BuildText, ...]) -> str:
        """The id that a build file gives itself; BuildFileError."""
        ...

    def ask_measurements(
        self,
        build: BuildText,
        parents: tuple[BuildText, ...],
        given: tuple[tuple[str, str], ...],
        display: str,
        explain: bool = False,
    ) -> Questionnaire:
        """What a build asks to have measured; BuildFileError."""
        ...
