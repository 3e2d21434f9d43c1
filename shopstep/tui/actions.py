"""The table of actions: keys, words for the help page, and the command each one becomes.

Imports the session's commands and the card. What a button, a key, a pedal and the help page say
comes from this one table.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from shopstep.present.card import CardAction, CardMode, StepCard
from shopstep.present.phrases import is_outside
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


@dataclass(frozen=True, slots=True)
class Action:
    """One thing that can be asked for at the bench."""

    id: str
    keys: tuple[str, ...]
    """Letters that ask for it, whichever place its button has."""
    label: str
    """Used where the card gives none."""
    help: str
    is_always: bool = False
    """May be asked for by letter although the card does not offer it."""


NEXT_PAGE = "next_page"
"""Stands in the place of a caution's answer before the last page of its words."""
ANSWERS = frozenset({"ack", NEXT_PAGE})

ACTIONS: tuple[Action, ...] = (
    Action("done", ("d",), "Done", "The step is done; the next one comes."),
    Action("start", ("s",), "Start", "The first glue goes on: its open time counts from now."),
    Action(NEXT_PAGE, ("a",), "Read on", "The next page of a caution's words."),
    Action("ack", ("a", "u"), "Understood", "The caution is read; the step may begin."),
    Action("measure", ("e",), "Measure", "Enter what the rule says, by taps alone."),
    Action("accept", ("k",), "Keep as it is", "Keep a value that lies outside its tolerance."),
    Action("resume", ("r", "h"), "Resume", "Take up again after a hold."),
    Action("back", ("b",), "Back", "The last finished step is open again.", True),
    Action("hold", ("h",), "Hold", "Stop for now. Nothing is lost.", True),
    Action("why", ("w",), "Why", "Why this step is done this way.", True),
    Action("more", ("m",), "More", "Other steps, the whole text, help, leave.", True),
)
ACTION_BY_ID = {action.id: action for action in ACTIONS}

FORWARD = frozenset({"done", "start", "measure", "resume"})
"""Actions that lead on; only these stand at the left end and get the focus by themselves."""

LOCAL = frozenset({"measure", "why", "more"})
"""Actions that open a page and send nothing."""

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


def deviation_name(card: StepCard, now_s: int) -> str:
    """What ``accept`` would keep: a reading outside its tolerance, or a late closing."""
    for check in card.checks:
        if is_outside(check):
            return check.name
    return "open_time" if is_closing_late(card, now_s) else ""


def is_closing_late(card: StepCard, now_s: int) -> bool:
    """Whether the step at the bench closes a joint whose glue was open too long."""
    return any(t.is_most and t.step == card.step_id and now_s > t.due_s for t in card.timers)


def leads_on(card: StepCard) -> bool:
    """Whether the card's first action goes forward and may stand at the left end."""
    return bool(card.actions) and card.actions[0].id in FORWARD


def number_actions(card: StepCard) -> dict[int, CardAction]:
    """The number key of each action, in the card's order.

    Number 1 is kept for what leads on. A card without it has no number 1, and a caution's answer
    comes last, so that pressing the same key twice never answers a caution.
    """
    actions = list(card.actions)
    if card.mode is CardMode.CAUTION:
        actions.sort(key=lambda action: action.id in ANSWERS)
    first = 1 if leads_on(card) else 2
    return dict(enumerate(actions, start=first))


def turn_pages(card: StepCard, page: int, pages: int) -> StepCard:
    """The card as it can be acted on: a caution is answered on the last page of its words."""
    if page >= pages - 1:
        return card
    turn = CardAction(NEXT_PAGE, f"Read on {page + 1}/{pages}")
    return replace(card, actions=tuple(turn if a.id == "ack" else a for a in card.actions))


def action_for_letter(letter: str, card: StepCard) -> str | None:
    """The action a letter asks for on this card; an offered one before an always allowed one."""
    offered = {action.id for action in card.actions}
    named = [action for action in ACTIONS if letter in action.keys]
    for action in named:
        if action.id in offered:
            return action.id
    if card.mode is CardMode.HELD:
        named = [action for action in named if action.id in ("why", "more")]
    return next((action.id for action in named if action.is_always), None)
