"""One request through the rooms of the middle floor: PlanRequest → Plan, and revise.

design → blanks → stock → operations → solids → conditions → fits → safety → sequence.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shopstep.conditions.outdoors import movement_outdoors
from shopstep.design.merging import tag_of
from shopstep.design.only import keep_only
from shopstep.design.resolve import Design
from shopstep.fitting import Fitting, analyse_fits, watch_cuts
from shopstep.milling import (
    Milling,
    derive_steps,
    divide_long,
    plan_milling,
    spare_blanks,
    with_planing,
)
from shopstep.model.material import Form
from shopstep.model.operation import Blank
from shopstep.model.plan import (
    BuildFileError,
    Finding,
    Level,
    Measured,
    Plan,
    PlanRefused,
    PlanRequest,
)
from shopstep.model.step import Outline, Step, StepKind
from shopstep.planner.air import read_air
from shopstep.planner.cautions import make_safe_of, with_cautions
from shopstep.planner.designing import overlaps_of, with_places
from shopstep.planner.done_otherwise import (
    tell_cut_parts,
    tell_done_steps,
    tell_lots,
    tell_rough_lengths,
)
from shopstep.planner.following import Following, follow_bench, mark_apart, soften_overlaps
from shopstep.planner.fresh_wood import claim_wood
from shopstep.planner.handing import with_hands, with_turns
from shopstep.planner.helping import tell_help
from shopstep.planner.keeping import done_kinds, keep_asked, keep_done, with_unit_kinds
from shopstep.planner.placed_work import place_work
from shopstep.planner.planing import Planing, as_sold_here, without_planed
from shopstep.planner.pricing import with_prices
from shopstep.planner.putting_right import PutRight, need_put_right, put_right
from shopstep.planner.racking import named_on_rack, offer_rack
from shopstep.planner.refusing import check_units, refuse_taken_names
from shopstep.planner.remaking import (
    Alone,
    make_apart,
    need_remade,
    remade_pieces,
    remake_parts,
)
from shopstep.planner.settling import CutBoards, boards_cut, settle_setups
from shopstep.planner.timing import time_kinds, time_steps
from shopstep.planner.watching import with_watches
from shopstep.sequence.expand import expand_outline
from shopstep.sequence.hours import longest_machine_s
from shopstep.sequence.schedule import schedule_steps
from shopstep.solids import overall_size
from shopstep.stock import Find, StockPlan, plan_stock
from shopstep.stock.supplies import noted_lines, supply_lines

Moments = Mapping[str, tuple[int, int]]
"""Start and end (seconds since 1970 UTC) by step id."""


def make_plan(request: PlanRequest) -> Plan:
    """The plan for a request; the same request always gives the same plan.

    Raises BuildFileError for what cannot be read and PlanRefused where a finding says stop.
    """
    return _chain_rooms(request, {}, {}, None, search=True)


def make_plan_like(request: PlanRequest, like: Mapping[str, int]) -> Plan:
    """As ``make_plan``, with starts by step id (of a plan that is like it) to begin from."""
    return _chain_rooms(request, {}, {}, None, search=True, like=like)


def draft_plan(request: PlanRequest) -> Plan:
    """A plan in the first good order that is found: for all that its order does not matter to."""
    return _chain_rooms(request, {}, {}, None, search=False)


def _chain_rooms(
    request: PlanRequest,
    fixed: Moments,
    running: Mapping[str, int],
    before: Plan | None,
    *,
    search: bool,
    like: Mapping[str, int] | None = None,
) -> Plan:
    """``fixed``: moments of steps that are done; ``running``: seconds of waits that run;
    ``before``: the plan in progress; ``search``: look for a better order than the rules give;
    ``like``: starts by step id to begin from, where no plan is in progress."""
    check_units(request.all_units)
    done = frozenset(fixed)
    request = replace(request, rack=without_planed(request.rack, before, done))
    follow = follow_bench(request, before, done)
    whole, found = follow.whole, follow.found
    _refuse_on_stop(whole.findings)
    design = keep_only(replace(whole, parts=mark_apart(whole.parts, follow.apart)), request.only)
    design = replace(design, materials=with_prices(design.materials, request.prices))
    design = as_sold_here(design, request.shop.planer)
    kerf, display = request.shop.kerf, design.display
    milling = settle_setups(
        plan_milling(design.parts, design.materials, request.all_units, kerf, display),
        before,
        done,
    )
    shop = Alone(design.materials, kerf, display, design.joints)
    apart = make_apart(follow.apart, shop)
    stock = _plan_stock(
        request,
        (*milling.blanks, *apart.blanks),
        remake_parts(request.remakes, follow.parts_for, shop).blanks,
        design,
        found,
        boards_cut(before, done, found.ids) if before is not None else CutBoards(),
        spare_blanks(milling),
    )
    again = remake_parts(request.remakes, follow.parts_for, shop, stock.pieces, done)
    remade = again.plus(apart)
    milling = with_planing(milling, stock.pieces, design.materials, request.shop.planer)
    air = read_air(request, design.outline, dict(design.places))
    fitting = _check_fits(whole, request)
    findings = (
        *design.findings,
        *fitting.findings,
        *dict.fromkeys(with_places(milling.findings, whole)),
        *with_places(stock.findings, whole),
        *soften_overlaps(with_places(overlaps_of(whole), whole), follow.cut_names, whole.parts),
        *air.findings,
    )
    _refuse_on_stop(findings)
    sheets = frozenset(m.id for m in design.materials if m.form is Form.SHEET)
    kinds, steps = derive_steps(
        milling, design.parts, display, stock.pieces, design.joints, request.shop.planer, sheets
    )
    refuse_taken_names(request, kinds, design.outline)
    watches = watch_cuts(fitting.fits)
    kinds = with_watches(kinds, milling.setups, milling.operations, design.joints, watches)
    kinds, steps = divide_long(kinds, steps, longest_machine_s(request.shop.calendar))
    kinds = time_kinds((*kinds, *remade.kinds), design.build_id, request.times)
    cut_by = _cut_by(milling, steps)
    steps = time_steps((*steps, *remade.steps), kinds)
    outline = replace(
        place_work(design.outline, request),
        kinds=time_kinds(design.outline.kinds, design.build_id, request.times),
    )
    expanded = expand_outline(outline, request.all_units, air.times, _cut_before(outline, cut_by))
    authored = need_remade(expanded.steps, outline.kinds, remade, done)
    right, kept = PutRight(), dict[str, StepKind]()
    if before is not None:
        kept = done_kinds(before, done)
        right = put_right(
            follow,
            remade_pieces(request.remakes, design.parts, request.all_units),
            before,
            done,
            cut_by,
        )
        authored = need_put_right(authored, outline.kinds, right, done)
        findings = (
            *findings,
            *right.findings,
            *tell_rough_lengths(stock.pieces, done, display, sheets),
            *tell_lots(before, done, kinds),
            *tell_cut_parts(before, done, follow.wanted[None]),
            *(() if request.readings else tell_done_steps(before, done, outline.kinds)),
        )
        kinds = keep_asked(kinds, before)
        outline = replace(outline, kinds=keep_asked(outline.kinds, before))
    told, authored = with_unit_kinds(
        outline.kinds, authored, _unit_kinds(follow, request, before), kept
    )
    waits = tuple(
        replace(wait, seconds=running.get(wait.id, wait.seconds)) for wait in expanded.waits
    )
    schedule = schedule_steps(
        (*steps, *right.steps, *authored),
        waits,
        expanded.holds,
        request.shop,
        request.begin_s,
        fixed,
        {step.id: step.start_s for step in before.steps} if before is not None else like or {},
        request.seed if search else None,
        display,
    )
    help_told = tell_help((*kinds, *told), schedule.steps, request.shop, fixed)
    findings = (*findings, *schedule.findings, *help_told)
    _refuse_on_stop(findings)
    told = with_hands(told, design)
    kinds = with_turns(with_cautions((*kinds, *right.kinds, *told), design), design)
    if before is not None:
        kinds = keep_done(kinds, schedule.steps, before, done)
    return Plan(
        build_id=design.build_id,
        build_title=design.title,
        revision=design.revision,
        display=design.display,
        units=request.all_units,
        measured=_with_origins(design.measured, request),
        choices=design.choices,
        sizes=design.sizes,
        overall=overall_size(
            tuple(part for part in whole.parts if not tag_of(part.name)), whole.materials
        ),
        materials=design.materials,
        parts=design.parts,
        joints=design.joints,
        operations=milling.operations,
        setups=milling.setups,
        stock=stock.pieces,
        buy=(
            *stock.buy,
            *supply_lines(design.outline, request.all_units, design.sundries),
            *noted_lines(request.to_get),
        ),
        kinds=kinds,
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
        remakes=request.remakes,
        readings=request.readings,
        apart=follow.apart,
        least_evenings=schedule.least_evenings,
        prefer=request.shop.prefer,
        makes=design.makes,
        read_labels=request.read_labels,
        make_safe=make_safe_of(kinds, design),
        least_bought=stock.least,
        least_setups=milling.least_setups,
    )


def _unit_kinds(
    follow: Following, request: PlanRequest, before: Plan | None
) -> dict[int, tuple[StepKind, ...]]:
    """By unit with readings of its own, the authored kinds at its sizes."""
    kinds = {
        unit: time_kinds(
            keep_only(design, request.only).outline.kinds, design.build_id, request.times
        )
        for unit, design in follow.units.items()
    }
    if before is None:
        return kinds
    return {unit: keep_asked(own, before) for unit, own in kinds.items()}


def _plan_stock(
    request: PlanRequest,
    blanks: tuple[Blank, ...],
    again: tuple[Blank, ...],
    design: Design,
    found: Find,
    cut: CutBoards,
    spares: tuple[Blank, ...],
) -> StockPlan:
    """What is taken from the rack as wide as it is, and a layout for all the rest."""
    planing = Planing(request.shop.planer, cut.planed)
    offer = offer_rack(request.rack, design.materials, design.display, planing)
    laid = plan_stock(
        tuple(blank for blank in blanks if blank.part not in found.widths),
        design.materials,
        tuple(piece for piece in offer.pieces if piece.id not in found.ids),
        request.shop.kerf,
        design.display,
        again,
        cut.pieces,
        cut.ripped,
        tuple(blank for blank in spares if blank.part not in found.widths),
        cut.whole,
    )
    stock = claim_wood(laid, cut, request.remakes)
    return replace(
        stock,
        pieces=named_on_rack((*found.pieces, *stock.pieces), offer.pieces),
        findings=(*stock.findings, *offer.findings),
    )


def _with_origins(measured: tuple[Measured, ...], request: PlanRequest) -> tuple[Measured, ...]:
    """Each measurement with where its value comes from."""
    kept = dict(request.origins)
    return tuple(
        replace(item, origin="usual" if item.usual else kept.get(item.name, "given"))
        if not item.origin
        else item
        for item in measured
    )


def revise(request: PlanRequest, plan: Plan, finished: Moments, begin_s: int) -> Plan:
    """A plan for what is left, from ``begin_s`` on.

    ``finished``: the real moments of what is done. What waits already keeps its time: neither
    warmer nor colder air now changes a wait that was begun. The request may be of another build or
    revision than the plan: what is cut stays as it was cut.
    """
    running = {wait.id: wait.seconds for wait in plan.waits if wait.after in finished}
    try:
        return _chain_rooms(
            replace(request, begin_s=begin_s), finished, running, plan, search=False
        )
    except BuildFileError as problem:
        # a size that was read can take another below zero: then no plan follows it
        finding = Finding(Level.STOP, "no_design", problem.text, problem.where, "")
        raise PlanRefused((finding,)) from None


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


def _cut_by(milling: Milling, steps: tuple[Step, ...]) -> dict[str, tuple[str, ...]]:
    """By part, the milling steps that cut it."""
    part_of = {operation.id: operation.part for operation in milling.operations}
    known = {step.id for step in steps}
    cut: dict[str, list[str]] = {}
    for setup in milling.setups:
        for part in {part_of[operation] for operation in setup.operations}:
            if f"all/{setup.id}" in known:
                cut.setdefault(part, []).append(f"all/{setup.id}")
    return {part: tuple(ids) for part, ids in cut.items()}


def _cut_before(
    outline: Outline, cut_by: Mapping[str, tuple[str, ...]]
) -> dict[str, tuple[str, ...]]:
    """For each authored step, the milling steps that make the parts in hand."""
    return {
        kind.id: tuple(dict.fromkeys(s for part in kind.parts for s in cut_by.get(part, ())))
        for kind in outline.kinds
    }
