"""Where work is done, and how long it may be put off: from the tables and the shop's habits.

Imports the room conditions and ``model``.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.conditions.longest import find_longest
from shopstep.model.plan import (
    BuildFileError,
    Conditions,
    Finding,
    Level,
    PlanRequest,
    Shop,
    Where,
)
from shopstep.model.step import Outline, WaitRule
from shopstep.words import say

OUTDOORS = "outdoors"


def place_work(outline: Outline, request: PlanRequest) -> Outline:
    """The outline with the spans of its longest waits, and with paint put on where the shop does.

    BuildFileError for a row that is not in the table.
    """
    told = dict(outline.places)
    if request.shop.painting == OUTDOORS:
        told = dict.fromkeys((step for step, _ in outline.painted), OUTDOORS) | told
    return replace(
        outline,
        waits=tuple(_with_row(rule, request) for rule in outline.waits),
        places=tuple(told.items()),
    )


def _with_row(rule: WaitRule, request: PlanRequest) -> WaitRule:
    if not rule.row:
        return rule
    try:
        row = find_longest(rule.row)
    except ValueError as problem:
        raise BuildFileError(str(problem), Where(request.build.name, 0, rule.before)) from None
    return replace(rule, seconds=row.most_s, source=row.source, late=rule.late or row.late)


def paints_outdoors(outline: Outline, shop: Shop) -> frozenset[str]:
    """Ids of the paints that some step puts on outdoors."""
    told = dict(outline.places)
    usual = shop.painting
    return frozenset(paint for step, paint in outline.painted if told.get(step, usual) == OUTDOORS)


def air_outdoors(shop: Shop, shop_air: Conditions) -> tuple[Conditions, tuple[Finding, ...]]:
    """The air for paint outdoors; the shop's own, and a question for it, where nobody said."""
    if shop.outdoor_air is not None:
        return shop.outdoor_air, ()
    text = say("Paint goes on outdoors, and the settings do not say how warm and damp it is there.")
    remedy = say(
        "Until then the shop's own air counts. Write outdoor_temperature and outdoor_humidity "
        "under [shops.{shop_name}].",
        shop_name=shop.name,
    )
    finding = Finding(Level.WARN, "outdoor_air_unknown", text, Where(name=shop.name), remedy)
    return shop_air, (finding,)


def say_outdoors(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """What speaks against a paint in the air outdoors: no heater helps there."""
    return tuple(
        replace(
            finding,
            text=_outdoors(finding),
            remedy=say("Wait for a milder, drier day, or paint in the warm shop."),
        )
        if finding.level is not Level.NOTE
        else replace(finding, text=_outdoors(finding))
        for finding in findings
    )


def _outdoors(finding: Finding) -> str:
    begun = finding.text[:1].lower() + finding.text[1:]
    return say("Outdoors: {finding}", finding=begun)
