"""What ``accept`` would keep on a card: a reading outside its tolerance, or a late closing.

Imports the card.
"""

from __future__ import annotations

from shopstep.present.card import CardCheck, StepCard


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
