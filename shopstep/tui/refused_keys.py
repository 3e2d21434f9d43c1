"""What is said to a key that does nothing on a card, and which keys would.

Imports the actions, the key map and the card.
"""

from __future__ import annotations

from shopstep.present.card import CardMode, StepCard
from shopstep.tui.actions import ACTIONS, READY, needs_two_answers
from shopstep.tui.key_map import KeyMap
from shopstep.words import say


def say_refused(key: str, card: StepCard, ways: str) -> str:
    """To a key (as the table names it) whose action is not on the card."""
    labels = [say(a.label) for a in ACTIONS if key in a.keys or (key == a.number and key != "1")]
    said = (
        say("“{labels}” is not on this card.", labels=labels[0])
        if labels
        else say("Nothing leads on here.")
    )
    return (
        say("{said} First the caution: {ways}.", said=said, ways=ways)
        if card.mode is CardMode.CAUTION
        else said
    )


def say_unlit(card: StepCard, ways: str) -> str:
    """Why Enter does nothing on this card, and what does."""
    if card.mode is not CardMode.CAUTION:
        return say("PageUp, Tab or an arrow key moves to a button first.")
    return say(
        "No button is lit on a caution, so that a double press cannot pass it: "
        "{ways}, or move to the button first.",
        ways=ways,
    )


def say_ways(card: StepCard, keys: KeyMap, *, is_read: bool, is_ready: bool) -> str:
    """The keys that go on from a caution, by how far it was read and answered."""
    if not is_read:
        return say("1 or {ready} reads on", ready=keys.say(READY))
    first, then = (
        say("{n} or {name}", n=n, name=keys.say(name)) for n, name in (("6", READY), ("9", "ack"))
    )
    if is_ready:
        return say("{then} answers it", then=then)
    return (
        say("{first}, then {then} answers it", first=first, then=then)
        if needs_two_answers(card)
        else say("{first} answers it", first=first)
    )
