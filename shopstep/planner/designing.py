"""The design of a request: at the keeper's sizes, and with what the rack has where a width is free.

Imports the rooms design, milling, solids and stock.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shopstep.design.merging import Share, merge_designs, own_values, tag_of
from shopstep.design.nearest import did_you_mean
from shopstep.design.resolve import NO_WIDTHS, Design, resolve_design
from shopstep.milling import as_cut
from shopstep.model.part import Part
from shopstep.model.plan import BuildFileError, Finding, Level, OtherBuild, PlanRequest, Where
from shopstep.planner.cutting import NO_CUT, Cut, pin_parts
from shopstep.planner.racking import offer_rack
from shopstep.solids import find_overlaps
from shopstep.stock import Find, find_widths
from shopstep.units import Length
from shopstep.words import say

_NOTHING = Find({}, ())


def design_request(
    request: PlanRequest, fixed: Mapping[str, Length] = NO_WIDTHS, cut: Cut = NO_CUT
) -> tuple[Design, Find]:
    """The design, and what is cut from the rack as wide as it is.

    Where a width off the rack would break a rule, the usual one is cut instead. ``fixed``: sizes
    by name that are cut or were read off the work; ``cut``: parts as they were cut.
    """
    usual = resolve_at_bench(request, NO_WIDTHS, fixed, cut)
    if not request.rack or _stops(usual.findings):
        return usual, _NOTHING
    made = tuple(as_cut(part) for part in usual.parts if _is_made(part, request))
    rack = offer_rack(request.rack, usual.materials, usual.display).pieces  # none to be planed
    found = find_widths(made, usual.materials, rack, request.all_units, request.shop.kerf)
    if not found.widths:
        return usual, _NOTHING
    chosen = resolve_at_bench(request, found.widths, fixed, cut)
    overlaps = overlaps_of(chosen)
    if _stops((*chosen.findings, *overlaps)):
        return usual, _NOTHING
    return replace(chosen, parts=tuple(_named(part, found) for part in chosen.parts)), found


def _is_made(part: Part, request: PlanRequest) -> bool:
    return not request.only or part.name in request.only


def _named(part: Part, found: Find) -> Part:
    """The part with the rack pieces that its width is taken from."""
    if part.free is None or part.name not in found.widths:
        return part
    ids = [p.id for p in found.pieces if any(cut.part == part.name for cut in p.cuts)]
    return replace(part, free=replace(part.free, piece=", ".join(ids)))


def _stops(findings: tuple[Finding, ...]) -> bool:
    return any(finding.level is Level.STOP for finding in findings)


def resolve_at_bench(
    request: PlanRequest, widths: Mapping[str, Length], fixed: Mapping[str, Length], cut: Cut
) -> Design:
    """The design with sizes that were read, and with what is cut as it was cut."""
    if request.others:
        design = merge_designs(share_designs(request, widths, fixed))
    else:
        design = resolve_design(
            request.build,
            request.parents,
            request.settings,
            request.display,
            request.limits,
            widths,
            fixed,
        )
    return replace(
        design,
        parts=pin_parts(design.parts, cut),
        findings=_with_places_kept(design.findings, request),
    )


def share_designs(
    request: PlanRequest, widths: Mapping[str, Length], fixed: Mapping[str, Length]
) -> tuple[Share, ...]:
    """Each build at its own sizes, with its units; of several the first has no tag."""
    own = OtherBuild("", request.build, request.parents, request.settings, request.units)
    limits = tuple(replace(limit, typed=False) for limit in request.limits)
    shares: list[Share] = []
    first = 1
    for each in (own, *request.others):
        design = resolve_design(
            each.build,
            each.parents,
            each.settings,
            request.display,
            limits,
            own_values(widths, each.tag),
            own_values(fixed, each.tag),
        )
        units = tuple(range(first, first + each.units))
        shares.append(Share(each.tag, design, units))
        first += each.units
    _refuse_unknown_limits(request, {fit.name for s in shares for fit in s.design.fits})
    return tuple(shares)


def _refuse_unknown_limits(request: PlanRequest, fits: set[str]) -> None:
    """A limit that was typed is for one of the builds, or is misspelled."""
    for limit in request.limits:
        name = limit.fit.rpartition(".")[2]
        if limit.typed and name not in fits:
            raise BuildFileError(
                say(
                    "'{name}' is no fit of any of these builds{did_you_mean}",
                    name=name,
                    did_you_mean=did_you_mean(name, sorted(fits)),
                ),
                Where("--limit", 0, name),
            )


def overlaps_of(design: Design) -> tuple[Finding, ...]:
    """Parts that would share a place, build by build: each stands at its own origin."""
    tags = dict.fromkeys(tag_of(part.name) for part in design.parts)
    return tuple(
        finding
        for tag in tags
        for finding in find_overlaps(
            tuple(part for part in design.parts if tag_of(part.name) == tag),
            tuple(joint for joint in design.joints if tag_of(joint.name) == tag),
            design.display,
        )
    )


def with_places(findings: tuple[Finding, ...], design: Design) -> tuple[Finding, ...]:
    """What is said about a part, a joint or a step, with the file and line where it stands."""
    places = dict(design.places)
    return tuple(
        _placed(finding, places[finding.where.name])
        if finding.where.name in places and not finding.where.file
        else finding
        for finding in findings
    )


def _placed(finding: Finding, place: Where) -> Finding:
    """A line that is known already is nearer than that of the whole step."""
    return replace(finding, where=replace(place, line=finding.where.line or place.line))


def _with_places_kept(findings: tuple[Finding, ...], request: PlanRequest) -> tuple[Finding, ...]:
    """A finding about a kept measurement says that it is kept, and how it is changed."""
    kept = dict(request.origins)
    told = say(
        " It is what shop '{shop_name}' has kept; shopstep measure replaces it.",
        shop_name=request.shop.name,
    )
    return tuple(
        replace(finding, remedy=finding.remedy + told)
        if finding.rule == "measurement_range" and finding.where.name in kept
        else finding
        for finding in findings
    )
