"""The planner behind both doors, imported with the first question."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from shopstep.model.codec import digest, to_text
from shopstep.storage.answers import AnswerFolder, program_state
from shopstep.words import manner

if TYPE_CHECKING:
    from shopstep.model.interface import FitReport
    from shopstep.model.measure import Questionnaire
    from shopstep.model.plan import BuildText, Finding, Plan, PlanRequest, Shop
    from shopstep.model.proof import Proof
    from shopstep.model.reason import Reason

_PACKAGE = Path(__file__).resolve().parent.parent


class LatePlanner:
    """The planner behind both doors; its rooms are imported with the first question."""

    def make_plan(self, request: PlanRequest) -> Plan:
        """See ``planner.make_plan``."""
        from shopstep import planner

        return planner.make_plan(request)

    def vary_plan(self, request: PlanRequest, plan: Plan) -> Plan:
        """See ``planner.vary_plan``."""
        from shopstep import planner

        return planner.vary_plan(request, plan)

    def check_build(self, request: PlanRequest) -> tuple[Finding, ...]:
        """See ``planner.check_build``."""
        from shopstep import planner

        return planner.check_build(request)

    def prove_build(self, request: PlanRequest) -> Proof:
        """See ``planner.prove_build``."""
        from shopstep import planner

        return planner.prove_build(request)

    def explain_chain(self, plan: Plan, shop: Shop, step_id: str) -> tuple[Reason, ...]:
        """See ``planner.explain_chain``."""
        from shopstep import planner

        return planner.explain_chain(plan, shop, step_id)

    def supplies(self, build: BuildText, parents: tuple[BuildText, ...]) -> tuple[str, ...]:
        """See ``planner.supplies``."""
        from shopstep import planner

        return planner.supplies(build, parents)

    def build_id(self, build: BuildText, parents: tuple[BuildText, ...]) -> str:
        """See ``planner.build_id``."""
        from shopstep import planner

        return planner.build_id(build, parents)

    def ask_measurements(
        self,
        build: BuildText,
        parents: tuple[BuildText, ...],
        given: tuple[tuple[str, str], ...],
        display: str,
        explain: bool = False,
    ) -> Questionnaire:
        """See ``planner.ask_measurements``."""
        from shopstep import planner

        return planner.ask_measurements(build, parents, given, display, explain)

    def fit_builds(self, requests: tuple[PlanRequest, ...]) -> FitReport:
        """See ``planner.fit_builds``."""
        from shopstep import planner

        return planner.fit_builds(requests)

    def plan_alike(self, old: PlanRequest, new: PlanRequest) -> tuple[Plan, Plan]:
        """See ``planner.plan_alike``."""
        from shopstep import planner

        return planner.plan_alike(old, new)

    def sort_settings(
        self,
        builds: tuple[tuple[BuildText, tuple[BuildText, ...]], ...],
        typed: tuple[tuple[str, str], ...],
        names: tuple[tuple[str, ...], ...] = (),
    ) -> tuple[tuple[tuple[str, str], ...], ...]:
        """See ``planner.sort_settings_by_build``."""
        from shopstep import planner

        return planner.sort_settings_by_build(builds, typed, names)

    def retime(
        self, plan: Plan, shop: Shop, finished: Mapping[str, tuple[int, int]], begin_s: int
    ) -> Plan:
        """See ``planner.retime``."""
        from shopstep import planner

        return planner.retime(plan, shop, finished, begin_s)

    def revise(
        self,
        request: PlanRequest,
        plan: Plan,
        finished: Mapping[str, tuple[int, int]],
        begin_s: int,
    ) -> Plan:
        """See ``planner.revise``."""
        from shopstep import planner

        return planner.revise(request, plan, finished, begin_s)


class RememberingPlanner(LatePlanner):
    """As the planner, but what was checked before is not worked out again."""

    def __init__(self, answers: AnswerFolder) -> None:
        self._answers = answers

    def check_build(self, request: PlanRequest) -> tuple[Finding, ...]:
        """See ``planner.check_build``."""
        key = digest(to_text(request) + program_state(_PACKAGE) + manner().mark)
        known = self._answers.get(key)
        if known is not None:
            return known
        found = super().check_build(request)
        self._answers.put(key, found)
        return found
