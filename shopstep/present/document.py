"""The plan as a JSON document for other programs. Stable: a change of shape changes ``version``.

A *length* is ``{"nm": 365125000, "text": "14 3/8 in"}``: exact nanometres, and the words in the
plan's display unit. An *angle* is ``{"microdeg": 15000000, "text": "15°"}``. Moments are ISO 8601
in UTC, seconds are whole numbers. What is not there is null or an empty list, never left out.

``plan_document``, version 1::

    version       1
    build         {id, title, revision, left_is}    left_is: which side is left, in words
    units         how many copies
    display       "in" or "mm"
    conditions    {temperature_c, humidity_percent, night_c}    air of the times; night_c or null
    measurements  [{name, prompt, value: length, usual, origin}]    usual: nobody measured it
                  origin: "given", "usual", or "kept" with how many readings and their spread
    choices       {name: chosen}
    sizes         {name: length}
    overall       {length, width, height}   lengths: front to back, left to right, bottom to top
    parts         [{name, title, hand, count: {unit, batch}, material, length, width, thickness,
                    features, allowances: [{face, extra, why}], free_width, why}]
                  free_width: {least, most, piece}, or null where the width is fixed
                  hand: "left", "right" or null; both hands of a part share its name
      features    [{kind, name, face, …}]   all else by kind, lengths and angles as above:
                  groove  reference, offset, width, depth, stop_start, stop_end
                  bevel   edge, back, drop, angle
                  holes   reference, offset, diameter, count, pitch
                  notch   reference, width, height
    joints        [{name, kind, member, into, glue, glue_faces, depth, play, ease, clear, span,
                    ends}]
    operations    [{id, kind, tool, part, hand, count, settings, needs, note}]
    setups        [{id, kind, tool, settings, operations}]
      settings    [{name, value}]           value: length or angle
    setups_unit_by_unit    how many setups there were if each unit was milled by itself
    least_setups           no order of the machine work has fewer
    stock         [{id, material, from_rack, length, width, kerf, planed, cuts, rests}]
      planed      null, or {from, to, snipe}: lengths; the board is planed whole before it is cut,
                  and so much goes off each of its ends then, which is not in its length here
      cuts        [{part, hand, at_length, at_width, length, width, spare}]
                  spare: one more than is needed, for trial cuts and for what goes wrong
      rests       [{at_length, at_width, length, width}]    what remains and is worth keeping
    least_bought  [{material, title, measure, bought, least, proved, percent_over}]    no layout
                  within the rules has less than least; for what is laid out afresh
                  measure: "count" (whole pieces, or of a roll a length), "length" (several
                  lengths are sold: all together), "money" (each of them has a price)
    buy           [{item, quantity, unit, text}]; with each and cost where a price was given
      each, cost  {amount, currency, per}   amount: exact decimals as text; per: null, "ft", "m"
    steps         [{id, kind, stage, scope, unit, title, text, why, source, tool, needs,
                    duration_s, people, numbers, parts, limits, cautions, fasteners, hands, checks}]
                  scope: "unit" or "batch" (then unit is null); source: "authored", "derived"
      numbers     [{label, value, text}]    value: length, angle or a whole number
      limits      [{kind, bound, seconds, role, other, title, source}]
                  kind: open, clamp, cure, touch, recoat, dry_through, within
                  bound: "most" (open, within) or "least"
                  role "before": this step is limited, it comes after the step ``other``
                  role "after": this step starts the limit for the step ``other``
                  open: from the start of the first to the end of the second;
                  all others: from the end of the first to the start of the second
      cautions    [{id, signal, harm, avoid, hand, done, source, must_ack}]
      fasteners   [{kind, title, count, pilot, clearance}]    lengths or null; for one unit
      hands       [{how, part, end, nails, text}]    of a step that nails: where the free hand
                  goes; how: free, away, cleat or clamp; nails: how many it serves, one unit
      checks      [{name, text, value, tolerance, trial}]    value null: a yes-or-no check
                  trial: null, or {kind, setting}: what is read in scrap, and what it corrects
    schedule      [{step, start, end}]      in the order of starting
    evenings      [{date, start, end, hands_on_s, steps, make_safe}]    date: local day; steps: ids
                  make_safe: [text], what is due before the shop is left
    least_evenings                          no plan has fewer
    prefer        "evenings", "finish", "setups" or "first-unit": what counted first
    makes         [{title, units}]          units: numbers; empty where it is one build
    fits          [{name, level, value, range, ok, source, own_limit, text, worst, odds,
                    odds_measured, levers, advice}]
      range       {least, most}             lengths or null
      worst       {least, most}             over all tolerances and the wood's movement, or null
                  odds: probability of being broken, 0 to 1, or null; odds_measured: they come from
                  the keeper's own readings (else tolerances are assumed); advice: may be empty
      levers      [{name, title, kind, ratio, value, tolerance, origin, across_grain, material,
                    readings}]
                  ratio: change of the fit for each change of this size; tolerance: ± this length;
                  origin: "measured", "cut", "bought"; material: its id or null;
                  readings: how many of the keeper's own the tolerance comes from
    findings      as in findings_document

``findings_document``, version 1::

    version       1
    findings      [{level, rule, where, text, remedy}]      level: "stop", "warn", "note"
      where       {file, line, name}        name: of the part, step or measurement; null: none

Imports ``model`` and the words of this room.
"""

from __future__ import annotations

from collections.abc import Iterable

from shopstep.model.joint import GLUE_FACES
from shopstep.model.lever import Lever
from shopstep.model.operation import Operation, Setting, Setup
from shopstep.model.part import Part
from shopstep.model.plan import Finding, Fit, Plan
from shopstep.present.document_steps import step_entries
from shopstep.present.document_stock import buy_entry, least_entry, stock_entry
from shopstep.present.document_values import (
    feature_entry,
    length_entry,
    optional_length,
    value_entry,
)
from shopstep.present.evenings import plan_evenings
from shopstep.present.leaving import make_safe_after
from shopstep.present.moments import utc_text
from shopstep.present.setup_count import setups_unit_by_unit
from shopstep.present.setup_order import setups_by_work

VERSION = 1


def plan_document(plan: Plan) -> dict[str, object]:
    """The whole plan as JSON values, in the shape that the module's docstring gives."""
    return _head(plan) | _things(plan) | _work(plan)


def _head(plan: Plan) -> dict[str, object]:
    return {
        "version": VERSION,
        "build": {
            "id": plan.build_id,
            "title": plan.build_title,
            "revision": plan.revision,
            "left_is": plan.left_is,
        },
        "units": plan.units,
        "display": plan.display,
        "conditions": {
            "temperature_c": plan.conditions.temperature_c,
            "humidity_percent": plan.conditions.humidity_percent,
            "night_c": plan.conditions.night_c,
        },
        "measurements": [
            {
                "name": measured.name,
                "prompt": measured.prompt,
                "value": length_entry(measured.value, plan.display),
                "usual": measured.usual,
                "origin": measured.origin,
            }
            for measured in plan.measured
        ],
        "choices": dict(plan.choices),
        "sizes": {name: length_entry(size, plan.display) for name, size in plan.sizes},
        "overall": {
            name: length_entry(size, plan.display)
            for name, size in zip(("length", "width", "height"), plan.overall, strict=True)
        },
    }


def _things(plan: Plan) -> dict[str, object]:
    return {
        "parts": [_part_entry(part, plan) for part in plan.parts],
        "joints": [
            {
                "name": joint.name,
                "kind": joint.kind,
                "member": joint.member,
                "into": joint.into,
                "glue": joint.glue,
                "glue_faces": GLUE_FACES[joint.kind] if joint.glue else None,
                "depth": length_entry(joint.depth, plan.display),
                "play": length_entry(joint.play, plan.display),
                "ease": length_entry(joint.ease, plan.display),
                "clear": length_entry(joint.clear, plan.display),
                "span": length_entry(joint.span, plan.display),
                "ends": joint.ends,
            }
            for joint in plan.joints
        ],
        "operations": [_operation_entry(operation, plan) for operation in plan.operations],
        "setups": [_setup_entry(setup, plan) for setup in setups_by_work(plan)],
        "setups_unit_by_unit": setups_unit_by_unit(plan),
        "least_setups": plan.least_setups,
        "stock": [stock_entry(piece, plan) for piece in plan.stock],
        "least_bought": [least_entry(least, plan) for least in plan.least_bought],
        "buy": [buy_entry(line) for line in plan.buy],
    }


def _work(plan: Plan) -> dict[str, object]:
    return {
        "steps": step_entries(plan),
        "schedule": [
            {"step": step.id, "start": utc_text(step.start_s), "end": utc_text(step.end_s)}
            for step in sorted(plan.steps, key=lambda step: step.start_s)
            if step.start_s
        ],
        "evenings": [
            {
                "date": evening.day.isoformat(),
                "start": utc_text(evening.start_s),
                "end": utc_text(evening.end_s),
                "hands_on_s": evening.hands_on_s,
                "steps": [step.id for step in evening.steps],
                "make_safe": [
                    row.text for row in make_safe_after(plan, (s.id for s in evening.steps))
                ],
            }
            for evening in plan_evenings(plan)
        ],
        "least_evenings": plan.least_evenings,
        "prefer": plan.prefer.value,
        "makes": [{"title": made.title, "units": list(made.units)} for made in plan.makes],
        "fits": [_fit_entry(fit, plan.display) for fit in plan.fits],
        "findings": [_finding_entry(finding) for finding in plan.findings],
    }


def _part_entry(part: Part, plan: Plan) -> dict[str, object]:
    return {
        "name": part.name,
        "title": part.title,
        "hand": part.hand.value if part.hand else None,
        "count": {"unit": part.count_unit, "batch": part.count(plan.units)},
        "material": part.material,
        "length": length_entry(part.length, plan.display),
        "width": length_entry(part.width, plan.display),
        "thickness": length_entry(part.thickness, plan.display),
        "features": [feature_entry(feature, plan.display) for feature in part.features],
        "allowances": [
            {"face": a.face.value, "extra": length_entry(a.extra, plan.display), "why": a.why}
            for a in part.allowances
        ],
        "free_width": _free_entry(part, plan.display),
        "why": part.why,
    }


def _free_entry(part: Part, display: str) -> dict[str, object] | None:
    if part.free is None:
        return None
    return {
        "least": length_entry(part.free.least, display),
        "most": length_entry(part.free.most, display),
        "piece": part.free.piece or None,
    }


def _operation_entry(operation: Operation, plan: Plan) -> dict[str, object]:
    return {
        "id": operation.id,
        "kind": operation.kind,
        "tool": operation.tool,
        "part": operation.part,
        "hand": operation.hand.value if operation.hand else None,
        "count": operation.count,
        "settings": _setting_entries(operation.settings, plan.display),
        "needs": list(operation.needs),
        "note": operation.note,
    }


def _setup_entry(setup: Setup, plan: Plan) -> dict[str, object]:
    return {
        "id": setup.id,
        "kind": setup.kind,
        "tool": setup.tool,
        "settings": _setting_entries(setup.settings, plan.display),
        "operations": list(setup.operations),
    }


def _setting_entries(settings: tuple[Setting, ...], display: str) -> list[dict[str, object]]:
    return [{"name": each.name, "value": value_entry(each.value, display)} for each in settings]


def _fit_entry(fit: Fit, display: str) -> dict[str, object]:
    return {
        "name": fit.name,
        "level": fit.level,
        "value": length_entry(fit.value, display),
        "range": {
            "least": optional_length(fit.least, display),
            "most": optional_length(fit.most, display),
        },
        "ok": fit.ok,
        "source": fit.source,
        "own_limit": fit.own_limit,
        "text": fit.text,
        "worst": None
        if fit.worst is None
        else {
            name: length_entry(length, display)
            for name, length in zip(("least", "most"), fit.worst, strict=True)
        },
        "odds": None if fit.odds is None else round(fit.odds, 6),
        "odds_measured": fit.odds_measured,
        "levers": [_lever_entry(lever, display) for lever in fit.levers],
        "advice": fit.advice,
    }


def _lever_entry(lever: Lever, display: str) -> dict[str, object]:
    return {
        "name": lever.name,
        "title": lever.title,
        "kind": lever.kind.value,
        "ratio": lever.ratio,
        "value": length_entry(lever.value, display),
        "tolerance": length_entry(lever.tolerance, display),
        "origin": lever.origin.value,
        "across_grain": lever.across_grain,
        "material": lever.material or None,
        "readings": lever.readings,
    }


def findings_document(findings: Iterable[Finding]) -> dict[str, object]:
    """What is wrong or worth knowing as JSON values, also where there is no plan."""
    return {"version": VERSION, "findings": [_finding_entry(each) for each in findings]}


def _finding_entry(finding: Finding) -> dict[str, object]:
    where = finding.where
    return {
        "level": finding.level.value,
        "rule": finding.rule,
        "where": {
            "file": where.file or None,
            "line": where.line or None,
            "name": where.name or None,
        },
        "text": finding.text,
        "remedy": finding.remedy,
    }
