"""The steps of a plan as JSON values; the shape stands in ``document``.

Imports ``model``, the session's look-ups and the words of this room.
"""

from __future__ import annotations

from shopstep.model.plan import Plan
from shopstep.model.step import Caution, Check, Fastener, Number, Step, StepKind, Wait
from shopstep.present.document_values import length_entry, optional_length, value_entry
from shopstep.present.facts import value_text
from shopstep.session.flow import index_plan


def step_entries(plan: Plan) -> list[dict[str, object]]:
    """All steps in plan order."""
    return [_step_entry(step, plan) for step in plan.steps]


def _step_entry(step: Step, plan: Plan) -> dict[str, object]:
    kind = index_plan(plan).kind_of(step)
    return {
        "id": step.id,
        "kind": kind.id,
        "stage": kind.stage,
        "scope": kind.scope.value,
        "unit": step.unit,
        "title": kind.title,
        "text": kind.text,
        "why": kind.why,
        "source": kind.source.value,
        "tool": kind.tool,
        "needs": list(step.needs),
        "duration_s": step.duration_s,
        "people": step.people,
        "limits": _limit_entries(step, plan),
    } | _kind_facts(kind, plan.display)


def _kind_facts(kind: StepKind, display: str) -> dict[str, object]:
    return {
        "numbers": [_number_entry(number, display) for number in kind.numbers],
        "parts": list(kind.parts),
        "cautions": [_caution_entry(caution) for caution in kind.cautions],
        "fasteners": [_fastener_entry(each, display) for each in kind.fasteners],
        "hands": [
            {
                "how": hold.how.value,
                "part": hold.part,
                "end": hold.end,
                "nails": hold.nails,
                "text": hold.words,
            }
            for hold in kind.hands
        ],
        "checks": [_check_entry(check, display) for check in kind.checks],
    }


def _limit_entries(step: Step, plan: Plan) -> list[dict[str, object]]:
    index = index_plan(plan)
    limited = [_limit_entry(w, "before", w.after) for w in index.waits_before.get(step.id, ())]
    started = [_limit_entry(w, "after", w.before) for w in index.waits_after.get(step.id, ())]
    return limited + started


def _limit_entry(wait: Wait, role: str, other: str) -> dict[str, object]:
    return {
        "kind": wait.kind.value,
        "bound": "least" if wait.is_least else "most",
        "seconds": wait.seconds,
        "role": role,
        "other": other,
        "title": wait.title,
        "source": wait.source,
    }


def _number_entry(number: Number, display: str) -> dict[str, object]:
    return {
        "label": number.label,
        "value": value_entry(number.value, display),
        "text": value_text(number.value, display),
    }


def _caution_entry(caution: Caution) -> dict[str, object]:
    return {
        "id": caution.id,
        "signal": caution.signal,
        "harm": caution.harm,
        "avoid": caution.avoid,
        "hand": caution.hand,
        "done": caution.done,
        "source": caution.source,
        "must_ack": caution.must_ack,
    }


def _fastener_entry(fastener: Fastener, display: str) -> dict[str, object]:
    return {
        "kind": fastener.kind,
        "title": fastener.title,
        "count": fastener.count,
        "pilot": optional_length(fastener.pilot, display),
        "clearance": optional_length(fastener.clearance, display),
    }


def _check_entry(check: Check, display: str) -> dict[str, object]:
    return {
        "name": check.name,
        "text": check.text,
        "value": optional_length(check.value, display),
        "tolerance": length_entry(check.tolerance, display),
        "trial": {"kind": check.trial.kind, "setting": check.trial.setting}
        if check.trial
        else None,
    }
