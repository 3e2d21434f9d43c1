"""Which key asks for what: the table of actions, and what the settings' ``[keys]`` change of it.

Imports the actions. A typed key becomes the table's own key before any screen sees it, so help,
buttons and pedals all follow one table.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from string import ascii_lowercase, digits

from shopstep.tui.actions import ACTIONS
from shopstep.words import say

MOVES: dict[str, tuple[str, ...]] = {
    "choose": ("enter", "space", "pagedown"),
    "next_button": ("pageup", "right", "down", "tab"),
    "previous_button": ("left", "up", "shift+tab"),
    "help": ("question_mark", "f1"),
    "leave": ("q",),
}
"""What is no action on a card, by id: its keys."""
TABLE: dict[str, tuple[str, ...]] = {a.id: a.keys for a in ACTIONS} | MOVES
"""All ids that ``[keys]`` may name, with the keys that they have by themselves."""
KEYS = (
    *ascii_lowercase, *digits, "enter", "space", "pageup", "pagedown", "up", "down", "left",
    "right", "tab", "home", "end", "insert", "delete", "backspace", "comma", "full_stop",
    "question_mark", *[f"f{number}" for number in range(1, 13)],
)  # fmt: skip
"""Keys that can be given; foot pedals and page turners send some of them."""
NO_KEY = "no_key"
"""What a key becomes that was taken away from all it stood for."""
_SHOWN = {"pageup": "PageUp", "pagedown": "PageDown", "question_mark": "?", "full_stop": "."}


@dataclass(frozen=True, slots=True)
class KeyMap:
    """The keys as they are now."""

    typed: Mapping[str, str] = field(default_factory=dict)
    """Typed key → the table's key; NO_KEY for one that stands for nothing any more."""
    own: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Ids whose keys are the keeper's own."""

    def translate(self, key: str) -> str:
        """The table's key for a typed one."""
        return self.typed.get(key, key)

    def keys_of(self, name: str) -> tuple[str, ...]:
        """The keys of an id, as typed."""
        kept = (key for key in TABLE[name] if self.translate(key) == key)
        return self.own.get(name) or tuple(kept)

    def say(self, name: str) -> str:
        """The keys of an id in words: ``PageUp, right``."""
        return ", ".join(_SHOWN.get(key, key) for key in self.keys_of(name))


def read_keys(wanted: Mapping[str, object]) -> KeyMap:
    """The keys with the keeper's own in place: id → a key or a list of keys.

    Raises ValueError with one sentence for an id or a key that there is not, and for a key that is
    given twice.
    """
    own: dict[str, tuple[str, ...]] = {}
    typed: dict[str, str] = {}
    for name, given in wanted.items():
        if name not in TABLE:
            raise ValueError(
                say("[keys] '{name}' is no action{near}", name=name, near=_near(name, list(TABLE)))
            )
        own[name] = _keys(name, given)
        for key in own[name]:
            if key in typed:
                raise ValueError(
                    say("[keys] '{key}' is given to two actions; one of them keeps it", key=key)
                )
            typed[key] = TABLE[name][0]
    still_used = {key for name, keys in TABLE.items() if name not in own for key in keys}
    freed = {key for name in own for key in TABLE[name]} - set(typed) - still_used
    return KeyMap({**dict.fromkeys(freed, NO_KEY), **typed}, own)


def _keys(name: str, given: object) -> tuple[str, ...]:
    listed: Sequence[object] = given if isinstance(given, list) else [given]
    keys = [str(key).lower() for key in listed]
    if not keys:
        raise ValueError(
            say("[keys] '{name}' has no key; write for example {name} = \"x\"", name=name)
        )
    for key in keys:
        if key not in KEYS:
            raise ValueError(
                say(
                    "[keys] {name}: '{key}' is no key{near}",
                    name=name,
                    key=key,
                    near=_near(key, list(KEYS)),
                )
            )
    return tuple(keys)


def _near(word: str, known: list[str]) -> str:
    near = get_close_matches(word, known, n=1, cutoff=0.5)
    return (
        say("; did you mean '{near}'?", near=near[0])
        if near
        else say("; there are {known}", known=", ".join(known))
    )
