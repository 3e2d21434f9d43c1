"""The folded state as text, kept so that a long session opens fast; never more than a shortcut.

It carries a fingerprint of the code that folds: another program folds from the first event again.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import fields
from functools import cache
from pathlib import Path
from typing import Any

from shopstep.model.resources import ClampSet
from shopstep.session import events, evolve, state
from shopstep.session.state import Note, Reading, State
from shopstep.units import Length
from shopstep.words import say


@cache
def fingerprint() -> str:
    """A digest of the sources that a state depends on."""
    found = hashlib.sha256()
    for module in (state, events, evolve):
        found.update(Path(str(module.__file__)).read_bytes())
    return found.hexdigest()[:16]


def write_state(value: State) -> str:
    """The state as JSON; keys of two names become lists."""
    return json.dumps({f.name: _plain(getattr(value, f.name)) for f in fields(State)})


def _plain(value: Any) -> Any:
    if isinstance(value, frozenset):
        return sorted(value)
    if isinstance(value, (Reading, Note)):
        return [getattr(value, f.name) for f in fields(value)]
    if isinstance(value, ClampSet):
        return [value.count, value.reach.nm]
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, dict):
        return [[list(k) if isinstance(k, tuple) else k, _plain(v)] for k, v in value.items()]
    return value


def read_state(text: str) -> State:
    """The state in a text; ValueError where it is none."""
    try:
        known = json.loads(text)
        return State(**{name: _READ.get(name, _as_it_is)(value) for name, value in known.items()})
    except (TypeError, ValueError, KeyError, AttributeError) as problem:
        raise ValueError(say("the kept state cannot be read")) from problem


def _as_it_is(value: Any) -> Any:
    return value


def _by_name(value: Any) -> dict[str, Any]:
    return {str(key): item for key, item in value}


def _by_two(value: Any) -> dict[tuple[str, str], Any]:
    return {(str(key[0]), str(key[1])): item for key, item in value}


_READ: dict[str, Any] = {
    "begun": _by_name,
    "finished": _by_name,
    "spent": _by_name,
    "spread": _by_name,
    "aside": _by_name,
    "labels": _by_name,
    "acknowledged": frozenset,
    "reopened": frozenset,
    "again": frozenset,
    "accepted": _by_two,
    "readings": lambda value: {key: Reading(*item) for key, item in _by_two(value).items()},
    "texts": lambda value: tuple(tuple(item) for item in value),
    "spoiled": lambda value: tuple(tuple(item) for item in value),
    "notes": lambda value: tuple(Note(*item) for item in value),
    "clamp_sets": lambda value: tuple(ClampSet(count, Length(nm)) for count, nm in value),
}
