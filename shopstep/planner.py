"""The only place that chains the rooms of the middle floor: PlanRequest → Plan, and revise.

design → blanks → stock → operations → solids → conditions → fits → safety → sequence.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from shopstep.conditions.glues import find_glue
from shopstep.conditions.limits import check_glue, check_paint
from shopstep.conditions.outdoors import movement_outdoors
from shopstep.conditions.paints import find_paint
from shopstep.conditions.timing import adjust_glue, adjust_paint
from shopstep.design import asking
from shopstep.design.build_file import read_build_file, read_parent_id
from shopstep.design.only import keep_only
from shopstep.design.published import is_build_id, publish_schema
from shopstep.design.resolve import Design, resolve_design
from shopstep.design.sharing import Pairs, share_settings, sort_settings
from shopstep.design.together import fit_together
from shopstep.fitting import Fitting, analyse_fits
from shopstep.milling import Milling, derive_steps, plan_milling
from shopstep.model.interface import FitReport
from shopstep.model.material import Form
from shopstep.model.measure import Questionnaire
from shopstep.model.part import Part
from shopstep.model.plan import (
    BuildFileError,
    BuildSummary,
    BuildText,
    Finding,
    Level,
    Measured,
    Plan,
    PlanRefused,
    PlanRequest,
    Question,
    Where,
)
from shopstep.model.step import Caution, Outline, Step, StepKind, Supply, WaitKind
from shopstep.safety import Work, cautions_for
from shopstep.sequence.expand import expand_outline
from shopstep.sequence.schedule import schedule_steps
from shopstep.solids import find_overlaps, overall_size
from shopstep.stock import plan_stock
from shopstep.stock.supplies import supply_lines
from shopstep.units import Length

MOST_UNITS = 200
Times = dict[tuple[str, WaitKind], tuple[int, str]]


@dataclass(frozen=True, slots=True)
class _Air:
    """Wait times of the build's own glues and paints in this air."""

    times: Times
    findings: tuple[Finding, ...]


Moments = Mapping[str, tuple[int, int]]
"""Start and end (seconds since 1970 UTC) by step id."""


def make_plan(request: PlanRequest) -> Plan:
    """The plan for a request; the same request always gives the same plan.

    Raises BuildFileError for what cannot be read and PlanRefused where a finding says stop.
    """
    return _chain_rooms(request, {}, {})


def _chain_rooms(request: PlanRequest, fixed: Moments, running: Mapping[str, int]) -> Plan:
    """``fixed``: moments of steps that are done; ``running``: seconds of waits that run."""
    _check_units(request.units)
    whole = _design(request)
    _refuse_on_stop(whole.findings)
    design = keep_only(whole, request.only)
    kerf, display = request.shop.kerf, design.display
    milling = plan_milling(design.parts, design.materials, request.units, kerf, display)
    stock = plan_stock(milling.blanks, design.materials, request.rack, kerf, display)
    air = _read_air(request, design.outline)
    fitting = _check_fits(whole, request)
    findings = (
        *design.findings,
        *fitting.findings,
        *_with_places(milling.findings, whole),
        *_with_places(stock.findings, whole),
        *_with_places(find_overlaps(whole.parts, whole.joints, display), whole),
        *air.findings,
    )
    _refuse_on_stop(findings)
    kinds, steps = derive_steps(milling, design.parts, display, stock.pieces)
    _refuse_taken_names(request, kinds, design.outline)
    expanded = expand_outline(
        design.outline, request.units, air.times, _cut_before(design.outline, milling, steps)
    )
    waits = tuple(
        replace(wait, seconds=running.get(wait.id, wait.seconds)) for wait in expanded.waits
    )
    schedule = schedule_steps(
        (*steps, *expanded.steps), waits, expanded.holds, request.shop, request.begin_s, fixed
    )
    findings = (*findings, *schedule.findings)
    _refuse_on_stop(findings)
    return Plan(
        build_id=design.build_id,
        build_title=design.title,
        revision=design.revision,
        display=design.display,
        units=request.units,
        measured=_with_origins(design.measured, request),
        choices=design.choices,
        sizes=design.sizes,
        overall=overall_size(whole.parts),
        materials=design.materials,
        parts=design.parts,
        joints=design.joints,
        operations=milling.operations,
        setups=milling.setups,
        stock=stock.pieces,
        buy=(*stock.buy, *supply_lines(design.outline, request.units, design.sundries)),
        kinds=_with_cautions((*kinds, *design.outline.kinds), design),
        steps=schedule.steps,
        waits=waits,
        holds=expanded.holds,
        fits=fitting.fits,
        findings=findings,
        begin_s=request.begin_s,
        zone=request.shop.calendar.zone,
        conditions=request.conditions,
        left_is=design.left_is,
        finest=request.shop.finest,
    )


def _with_origins(measured: tuple[Measured, ...], request: PlanRequest) -> tuple[Measured, ...]:
    """Each measurement with where its value comes from."""
    kept = dict(request.origins)
    return tuple(
        replace(item, origin="usual" if item.usual else kept.get(item.name, "given"))
        for item in measured
    )


def _with_places_kept(findings: tuple[Finding, ...], request: PlanRequest) -> tuple[Finding, ...]:
    """A finding about a kept measurement says that it is kept, and how it is changed."""
    kept = dict(request.origins)
    told = f" It is what shop '{request.shop.name}' has kept; shopstep measure replaces it."
    return tuple(
        replace(finding, remedy=finding.remedy + told)
        if finding.rule == "measurement_range" and finding.where.name in kept
        else finding
        for finding in findings
    )


def ask_measurements(
    build: BuildText,
    parents: tuple[BuildText, ...],
    given: tuple[tuple[str, str], ...],
    display: str,
) -> Questionnaire:
    """What a build asks to have measured; see ``design.asking``."""
    return asking.ask_measurements(build, parents, given, display)


def check_build(request: PlanRequest) -> tuple[Finding, ...]:
    """Every finding for a request, stops included; BuildFileError for what cannot be read."""
    try:
        return make_plan(request).findings
    except PlanRefused as refused:
        return refused.findings


def describe_build(build: BuildText, parents: tuple[BuildText, ...], place: str) -> BuildSummary:
    """What the shelf shows of a build; BuildFileError where it cannot be read."""
    entry = read_build_file(build, parents).entry
    measurements = [
        Question(name, m.prompt, m.usual, f"{m.least} to {m.most}")
        for name, m in entry.measurements.items()
    ]
    choices = [
        Question(name, c.prompt, c.usual, " or ".join(c.options))
        for name, c in entry.choices.items()
    ]
    asks = (*measurements, *choices)
    return BuildSummary(entry.id, entry.title, entry.summary, entry.revision, place, asks)


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
    builds: tuple[tuple[BuildText, tuple[BuildText, ...]], ...], typed: Pairs
) -> tuple[Pairs, ...]:
    """For each build the typed settings that it asks for; BuildFileError for what none asks."""
    return sort_settings([read_build_file(*build) for build in builds], typed)


def build_schema() -> dict[str, object]:
    """The JSON Schema of a build file."""
    return publish_schema()


def can_be_id(name: str) -> bool:
    """Whether a name can be the id of a build."""
    return is_build_id(name)


def parent_of(build: BuildText) -> str | None:
    """The id of the build that this one changes, or None."""
    return read_parent_id(build)


def revise(request: PlanRequest, plan: Plan, finished: Moments, begin_s: int) -> Plan:
    """A plan for what is left, from ``begin_s`` on.

    ``finished``: the real moments of what is done. What waits already keeps its time: neither
    warmer nor colder air now changes a wait that was begun.
    """
    running = {wait.id: wait.seconds for wait in plan.waits if wait.after in finished}
    return _chain_rooms(replace(request, begin_s=begin_s), finished, running)


def _refuse_taken_names(
    request: PlanRequest, derived: tuple[StepKind, ...], outline: Outline
) -> None:
    """An authored step must not bear the name of a machine step: it would hide its caution."""
    taken = {kind.id for kind in derived}
    for kind in outline.kinds:
        if kind.id in taken:
            raise BuildFileError(
                f"step '{kind.id}' bears the name of a step that the program makes itself;"
                " name it otherwise",
                Where(request.build.name, kind.line, kind.id),
            )


def _check_units(units: int) -> None:
    if not 1 <= units <= MOST_UNITS:
        raise BuildFileError(
            f"a batch of {units:,} units cannot be planned; 1 to {MOST_UNITS} is possible",
            Where("--units", 0, "units"),
        )


def _design(request: PlanRequest) -> Design:
    design = resolve_design(request.build, request.parents, request.settings, request.display)
    return replace(design, findings=_with_places_kept(design.findings, request))


def _with_places(findings: tuple[Finding, ...], design: Design) -> tuple[Finding, ...]:
    """What is said about a part, with the file and line where the part stands."""
    places = dict(design.places)
    return tuple(
        replace(finding, where=places[finding.where.name])
        if finding.where.name in places and not finding.where.file
        else finding
        for finding in findings
    )


def _refuse_on_stop(findings: tuple[Finding, ...]) -> None:
    if any(finding.level is Level.STOP for finding in findings):
        raise PlanRefused(findings)


def _check_fits(design: Design, request: PlanRequest) -> Fitting:
    """The fits over cutting tolerances and over what the boards do outdoors."""
    movements = {
        material.id: movement_outdoors(material.title, request.conditions)
        for material in design.materials
        if material.form is Form.BOARD
    }
    readings = {item.name: item.readings for item in design.measured if item.readings}
    return analyse_fits(design.fits, movements, readings, design.display)


def _read_air(request: PlanRequest, outline: Outline) -> _Air:
    times: Times = {}
    findings: list[Finding] = []
    for supply in outline.glues:
        findings += _glue_times(supply, request, times)
    for supply in outline.paints:
        findings += _paint_times(supply, request, times)
    return _Air(times, tuple(dict.fromkeys(findings)))


def _glue_times(supply: Supply, request: PlanRequest, times: Times) -> tuple[Finding, ...]:
    try:
        glue = find_glue(supply.row)
    except ValueError as problem:
        raise BuildFileError(str(problem), Where(request.build.name, 0, supply.id)) from None
    found = adjust_glue(glue, request.conditions)
    times[(supply.id, WaitKind.OPEN)] = (found.open_s, found.source)
    times[(supply.id, WaitKind.CLAMP)] = (found.clamp_s, found.source)
    times[(supply.id, WaitKind.CURE)] = (found.handle_s, found.source)
    return check_glue(glue, request.conditions)


def _paint_times(supply: Supply, request: PlanRequest, times: Times) -> tuple[Finding, ...]:
    try:
        paint = find_paint(supply.row)
    except ValueError as problem:
        raise BuildFileError(str(problem), Where(request.build.name, 0, supply.id)) from None
    found = adjust_paint(paint, request.conditions)
    times[(supply.id, WaitKind.TOUCH)] = (found.touch_s, found.source)
    times[(supply.id, WaitKind.RECOAT)] = (found.recoat_s, found.source)
    times[(supply.id, WaitKind.DRY_THROUGH)] = (found.through_s, found.source)
    return check_paint(paint, request.conditions)


def _cut_before(
    outline: Outline, milling: Milling, steps: tuple[Step, ...]
) -> dict[str, tuple[str, ...]]:
    """For each authored step, the milling steps that make the parts in hand."""
    part_of = {operation.id: operation.part for operation in milling.operations}
    known = {step.id for step in steps}
    cut: dict[str, list[str]] = {}
    for setup in milling.setups:
        for part in {part_of[operation] for operation in setup.operations}:
            cut.setdefault(part, []).append(f"all/{setup.id}")
    return {
        kind.id: tuple(
            dict.fromkeys(s for part in kind.parts for s in cut.get(part, []) if s in known)
        )
        for kind in outline.kinds
    }


def _with_cautions(kinds: tuple[StepKind, ...], design: Design) -> tuple[StepKind, ...]:
    """The step kinds with the safety cards for their tools and for the parts in hand."""
    oily = _oily_kinds(design.outline)
    return tuple(
        replace(kind, cautions=_cautions(kind, "oil" if kind.id in oily else kind.stage, design))
        for kind in kinds
    )


def _oily_kinds(outline: Outline) -> frozenset[str]:
    """Steps whose rags can set fire to themselves."""
    rows = {supply.id: supply.row for supply in outline.paints}
    return frozenset(kind for kind, paint in outline.painted if find_paint(rows[paint]).oily)


def _cautions(kind: StepKind, work: str, design: Design) -> tuple[Caution, ...]:
    try:
        return cautions_for(kind.tool, work, _work(kind, design.parts))
    except ValueError as problem:
        raise BuildFileError(
            f"step '{kind.id}': {problem}", Where("", kind.line, kind.id)
        ) from None


def _work(kind: StepKind, parts: tuple[Part, ...]) -> Work:
    held = [part for part in parts if part.name in kind.parts]
    fences = [n.value for n in kind.numbers if n.label == "fence" and isinstance(n.value, Length)]
    return Work(
        shortest=min((part.length for part in held), default=None),
        narrowest=min((*(part.width for part in held), *fences), default=None),
        thinnest=min((part.thickness for part in held), default=None),
    )
