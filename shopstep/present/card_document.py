"""The StepCard as JSON values, with moments in ISO 8601 as well as in seconds."""

from __future__ import annotations

from dataclasses import asdict
from datetime import UTC, datetime

from shopstep.present.card import StepCard

VERSION = 1


def card_document(card: StepCard, now_s: int, state_title: str) -> dict[str, object]:
    """``version``, ``session`` (its title), ``now`` and ``card`` with all fields of StepCard.

    Each timer also carries ``due`` (ISO 8601, UTC) and ``left_s`` (negative once it is over).
    """
    shown = asdict(card)
    for timer in shown["timers"]:
        timer["due"] = _iso(timer["due_s"])
        timer["left_s"] = timer["due_s"] - now_s
    return {
        "version": VERSION,
        "session": state_title,
        "now": _iso(now_s),
        "card": shown,
    }


def _iso(at_s: int) -> str:
    return datetime.fromtimestamp(at_s, UTC).isoformat()
