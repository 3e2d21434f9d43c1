"""What ``accept`` would keep on a card: a reading outside its tolerance, or a late closing.

Imports the card and ``model``.
"""

from __future__ import annotations

from shopstep.model.plan import Fit, Plan
from shopstep.present.card import CardCheck, StepCard
from shopstep.words import say, to_say

KEEP_TITLE = to_say("Keep it as it is?")
KEEP_WORDS = to_say("Keep it")


def is_outside(check: CardCheck) -> bool:
    """Whether a value was read, lies outside its tolerance and was not accepted."""
    return bool(check.measured) and not check.within and not check.accepted


def deviation_name(card: StepCard, now_s: int) -> str:
    """What ``accept`` would keep: a reading outside its tolerance, or a late closing."""
    for check in card.checks:
        if is_outside(check):
            return check.name
    return "open_time" if is_closing_late(card, now_s) else ""


def is_closing_late(card: StepCard, now_s: int) -> bool:
    """Whether the step at the bench closes a joint whose glue was open too long."""
    return any(t.is_most and t.step == card.step_id and now_s > t.due_s for t in card.timers)


def keep_words(card: StepCard, plan: Plan, now_s: int) -> tuple[str, ...]:
    """What is asked before a deviation is kept: what was read, what was planned, what hangs on it.

    What hangs on it is told by the fits that the size decides; else by the check's own words.
    """
    name = deviation_name(card, now_s)
    check = next((c for c in card.checks if c.name == name), None)
    if check is None:
        return (say("It was closed later than the glue allows."),) if name else ()
    where = say(" at the {where}", where=check.where) if check.where in ("toe", "heel") else ""
    read = (
        say("Measured: {measured}{where}.", measured=check.measured, where=where)
        if check.expected_nm is not None
        else ""
    )
    planned = f"{check.expected} {check.tolerance}".strip()
    fits = _fits_on(card, plan, name)
    hangs = " ".join(f"{fit.text.removesuffix('.')}{_what_may(fit)}." for fit in fits)
    return tuple(
        said
        for said in (
            read or say("It was: {measured}.", measured=check.measured),
            say("Planned: {planned}.", planned=planned),
            say("What hangs on it: {hangs}", hangs=hangs)
            if hangs
            else say("What was checked: {check}.", check=check.text),
        )
        if said
    )


def _fits_on(card: StepCard, plan: Plan, name: str) -> tuple[Fit, ...]:
    """The fits that a check's number decides, where it becomes a size."""
    kind_id = next((step.kind for step in plan.steps if step.id == card.step_id), "")
    kind = next((kind for kind in plan.kinds if kind.id == kind_id), None)
    checks = kind.checks if kind is not None else ()
    size = next((check.becomes for check in checks if check.name == name), "")
    if not size:
        return ()
    return tuple(fit for fit in plan.fits if any(lever.name == size for lever in fit.levers))


def _what_may(fit: Fit) -> str:
    """What may happen on either side of the range, after the fit's own words."""
    said = [words for words in (fit.too_little, fit.too_much) if words]
    return say(" (else {said})", said=say(" or ").join(said)) if said else ""
