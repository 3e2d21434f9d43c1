"""What is asked of builds besides a plan."""

from __future__ import annotations

import re
from dataclasses import replace

from shopstep.design import asking
from shopstep.design.addressing import part_settings
from shopstep.design.build_file import read_build_file, read_parent_id
from shopstep.design.published import is_build_id, publish_schema
from shopstep.design.sharing import Pairs, share_settings, sort_settings
from shopstep.design.together import fit_together
from shopstep.model.interface import FitReport
from shopstep.model.measure import MeasureQuestion, Questionnaire
from shopstep.model.plan import (
    BuildSummary,
    BuildText,
    Finding,
    Plan,
    PlanRefused,
    PlanRequest,
    Question,
)
from shopstep.planner.chain import draft_plan, make_plan
from shopstep.units import format_length
from shopstep.words import say

_NAME = re.compile(r"[a-z_]{3,}", re.IGNORECASE)
"""A word in a size that is more than a unit: it hangs on something else."""


def ask_measurements(
    build: BuildText,
    parents: tuple[BuildText, ...],
    given: tuple[tuple[str, str], ...],
    display: str,
    explain: bool = False,
) -> Questionnaire:
    """What a build asks to have measured; see ``design.asking``."""
    return asking.ask_measurements(build, parents, given, display, explain)


def check_build(request: PlanRequest) -> tuple[Finding, ...]:
    """Every finding for a request, stops included; BuildFileError for what cannot be read."""
    try:
        return draft_plan(request).findings
    except PlanRefused as refused:
        return refused.findings


def describe_build(build: BuildText, parents: tuple[BuildText, ...], place: str) -> BuildSummary:
    """What the shelf shows of a build; BuildFileError where it cannot be read."""
    file = read_build_file(build, parents)
    entry, asked = file.entry, asking.ask_of_file(file)
    measurements = [
        Question(
            question.name,
            question.prompt,
            m.usual,
            say("{least} to {most}", least=m.least, most=m.most),
            _at_usual(question, asked.display)
            if _NAME.search(f"{m.usual} {m.least} {m.most}")
            else "",
        )
        for question, m in zip(asked.questions, entry.measurements.values(), strict=True)
    ]
    choices = [
        Question(name, c.prompt, c.usual, say(" or ").join(c.options))
        for name, c in entry.choices.items()
    ]
    asks = (*measurements, *choices)
    return BuildSummary(entry.id, entry.title, entry.summary, entry.revision, place, asks)


def _at_usual(question: MeasureQuestion, display: str) -> str:
    usual, least, most = (
        format_length(length, display) for length in (question.usual, question.least, question.most)
    )
    return say(
        "usually {usual}; {least} to {most}, with the others as usual",
        usual=usual,
        least=least,
        most=most,
    )


def fit_builds(requests: tuple[PlanRequest, ...]) -> FitReport:
    """Whether the requests' builds go together, made for the same measurements.

    BuildFileError for what cannot be read; what does not fit is among the report's findings.
    """
    files = [read_build_file(request.build, request.parents) for request in requests]
    shared = share_settings(files, [request.settings for request in requests])
    return fit_together(files, shared, requests[0].display)


def plan_alike(old: PlanRequest, new: PlanRequest) -> tuple[Plan, Plan]:
    """Both plans, the new one at the measurements and choices of the old where it asks for them."""
    files = [read_build_file(request.build, request.parents) for request in (old, new)]
    _, shared = share_settings(files, [old.settings, new.settings])
    return make_plan(old), make_plan(replace(new, settings=shared))


def sort_settings_by_build(
    builds: tuple[tuple[BuildText, tuple[BuildText, ...]], ...],
    typed: Pairs,
    names: tuple[tuple[str, ...], ...] = (),
) -> tuple[Pairs, ...]:
    """For each build the typed settings that it asks for; BuildFileError for what none asks.

    ``names``: what each build can be called by after ``@`` in a setting for it alone.
    """
    files = [read_build_file(*build) for build in builds]
    if not names:
        return sort_settings(files, typed)
    shared, own = part_settings(files, typed, names)
    return tuple(
        (*(pair for pair in pairs if pair[0] not in dict(mine)), *mine)
        for pairs, mine in zip(sort_settings(files, shared), own, strict=True)
    )


def build_schema() -> dict[str, object]:
    """The JSON Schema of a build file."""
    return publish_schema()


def build_id(build: BuildText, parents: tuple[BuildText, ...]) -> str:
    """The id that a build file gives itself; BuildFileError where it cannot be read."""
    return read_build_file(build, parents).entry.id


def supplies(build: BuildText, parents: tuple[BuildText, ...]) -> tuple[str, ...]:
    """Ids of the glues and paints that a build uses."""
    entry = read_build_file(build, parents).entry
    return (*entry.glues, *entry.paints)


def can_be_id(name: str) -> bool:
    """Whether a name can be the id of a build."""
    return is_build_id(name)


def parent_of(build: BuildText) -> str | None:
    """The id of the build that this one changes, or None."""
    return read_parent_id(build)
