"""The page of keys: what each does. Imports the actions and the key map of this face."""

from __future__ import annotations

from shopstep.tui.actions import ACTIONS, LEAD_NUMBER, NUMBERED_ONE, Action
from shopstep.tui.key_map import KeyMap
from shopstep.words import say, to_say

NUMBERS = to_say(("0 to 9", "The action with that number; 1 is what leads on."))
MOVES = (
    ("choose", to_say("The button with the arrowheads.")),
    ("next_button", to_say("Move the arrowheads on.")),
    ("previous_button", to_say("Move them back.")),
    ("help", to_say("This page.")),
    ("leave", to_say("Leave. All is on disk; the same card comes next time.")),
)
"""What is no action on a card: its id in the key map, and what it does."""


def help_texts(key_map: KeyMap) -> list[str]:
    """One text for each key or group of keys."""
    pairs = [(_keys_of(a, key_map), f"{say(a.label)}. {say(a.help)}") for a in ACTIONS]
    moves = [(key_map.say(name) or name, say(words)) for name, words in MOVES]
    numbers, meant = NUMBERS
    texts = [*pairs, (say(numbers), say(meant)), *moves]
    return [f"{keys}: {words}" for keys, words in texts]


def _keys_of(action: Action, key_map: KeyMap) -> str:
    """All keys of an action as the help page names them."""
    lead = LEAD_NUMBER if action.id in NUMBERED_ONE else ""
    numbers = say(" or ").join(dict.fromkeys(n for n in (lead, action.number) if n))
    return ", ".join(key for key in (numbers, key_map.say(action.id)) if key)
