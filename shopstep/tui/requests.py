"""The command that each action of the table becomes.

Imports the session's commands and the card.
"""

from __future__ import annotations

from collections.abc import Callable

from shopstep.present.card import StepCard
from shopstep.present.deviations import deviation_name
from shopstep.session.commands import (
    AcceptDeviation,
    AcknowledgeCaution,
    Command,
    FinishStep,
    GoBack,
    HoldBatch,
    ResumeBatch,
    StartSpreading,
)

_SIMPLE: dict[str, Callable[..., Command]] = {
    "done": FinishStep,
    "start": StartSpreading,
    "ack": AcknowledgeCaution,
    "back": GoBack,
    "hold": HoldBatch,
    "resume": ResumeBatch,
}


def make_command(action: str, card: StepCard, command_id: str, now_s: int) -> Command | None:
    """The command of an action on this card; None for an action that sends none."""
    step = card.step_id or None
    if action in _SIMPLE:
        return _SIMPLE[action](id=command_id, step=step, seen=card.version)
    name = deviation_name(card, now_s)
    if action == "accept" and name:
        return AcceptDeviation(id=command_id, step=step, seen=card.version, name=name)
    return None
