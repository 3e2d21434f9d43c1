"""What is said to a key that does nothing on a card, and which keys would.

Imports the actions, the key map and the card.
"""

from __future__ import annotations

from shopstep.present.card import CardMode, StepCard
from shopstep.tui.actions import ACTIONS, READY, needs_two_answers
from shopstep.tui.key_map import KeyMap


def say_refused(key: str, card: StepCard, ways: str) -> str:
    """To a key (as the table names it) whose action is not on the card."""
    labels = [a.label for a in ACTIONS if key in a.keys or (key == a.number and key != "1")]
    said = f"“{labels[0]}” is not on this card." if labels else "Nothing leads on here."
    return f"{said} First the caution: {ways}." if card.mode is CardMode.CAUTION else said


def say_unlit(card: StepCard, ways: str) -> str:
    """Why Enter does nothing on this card, and what does."""
    if card.mode is not CardMode.CAUTION:
        return "PageUp, Tab or an arrow key moves to a button first."
    return (
        "No button is lit on a caution, so that a double press cannot pass it: "
        f"{ways}, or move to the button first."
    )


def say_ways(card: StepCard, keys: KeyMap, *, is_read: bool, is_ready: bool) -> str:
    """The keys that go on from a caution, by how far it was read and answered."""
    if not is_read:
        return f"1 or {keys.say(READY)} reads on"
    first, then = (f"{n} or {keys.say(name)}" for n, name in (("6", READY), ("9", "ack")))
    if is_ready:
        return f"{then} answers it"
    return f"{first}, then {then} answers it" if needs_two_answers(card) else f"{first} answers it"
