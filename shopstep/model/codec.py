"""Frozen dataclasses of this room to plain JSON values and back, by their type hints.

Used for the plan and the request inside a session file: plain ``json``, no import paths, so a
resumed session needs no validation library. Unions of dataclasses are told apart by ``kind``.
"""

from __future__ import annotations

import hashlib
import json
import types
from collections.abc import Callable, Hashable
from dataclasses import MISSING, Field, fields, is_dataclass
from enum import Enum
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from shopstep.units import Angle, Duration, Length
from shopstep.words import say

if TYPE_CHECKING:
    from shopstep.model.plan import BuildText

T = TypeVar("T")
_EXACT: dict[type, str] = {Length: "nm", Angle: "microdeg", Duration: "s"}


def encode(value: Any) -> Any:
    """JSON values for a dataclass, enum, tuple or plain value."""
    if type(value) in _EXACT:
        name = _EXACT[type(value)]
        return {name: getattr(value, name)}
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value):
        return {f.name: encode(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, (tuple, list)):
        return [encode(item) for item in value]
    return value


def decode(kind: type[T], value: Any) -> T:
    """The dataclass of type ``kind`` from what ``encode`` gave; ValueError on a misfit."""
    try:
        decoded: T = _decoder(cast("Hashable", kind))(value)
        return decoded
    except (KeyError, TypeError, ValueError, AttributeError, IndexError) as problem:
        raise ValueError(
            say("stored {getattr} is damaged", getattr=getattr(kind, "__name__", kind))
        ) from problem


@cache
def _decoder(kind: Any) -> Callable[[Any], Any]:
    origin, args = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        return _union_decoder(args)
    if origin is tuple:
        return _tuple_decoder(args)
    if kind in _EXACT:
        name = _EXACT[kind]
        return lambda value: kind(value[name])
    if isinstance(kind, type) and issubclass(kind, Enum):
        return kind
    if is_dataclass(kind):
        hints = get_type_hints(kind)
        parts = [(f.name, _decoder(hints[f.name]), _has_default(f)) for f in fields(kind)]
        make = cast("Callable[..., Any]", kind)
        # a field with a default may have been added after the value was stored
        return lambda value: make(
            **{name: part(value[name]) for name, part, free in parts if not free or name in value}
        )
    return _plain_decoder(kind)


def _has_default(field: Field[Any]) -> bool:
    return field.default is not MISSING or field.default_factory is not MISSING


def _plain_decoder(kind: Any) -> Callable[[Any], Any]:
    def decode_plain(value: Any) -> Any:
        if kind is float and isinstance(value, int):
            return float(value)
        if not isinstance(value, kind):
            raise TypeError(
                say("{value} is no {kind_name}", value=repr(value), kind_name=kind.__name__)
            )
        return value

    return decode_plain


def _tuple_decoder(args: tuple[Any, ...]) -> Callable[[Any], Any]:
    if len(args) == 2 and args[1] is Ellipsis:
        item = _decoder(args[0])
        return lambda value: tuple([item(entry) for entry in value])
    items = [_decoder(arg) for arg in args]
    return lambda value: tuple([item(entry) for item, entry in zip(items, value, strict=True)])


def _union_decoder(args: tuple[Any, ...]) -> Callable[[Any], Any]:
    members = [arg for arg in args if arg is not type(None)]
    if len(members) == 1:
        only = _decoder(members[0])
        return lambda value: None if value is None else only(value)
    by_key = {_EXACT[m]: _decoder(m) for m in members if m in _EXACT}
    by_kind = {
        _kind_of(m): _decoder(cast("Hashable", m))
        for m in members
        if is_dataclass(m) and m not in _EXACT
    }

    def decode_union(value: Any) -> Any:
        if not isinstance(value, dict):
            return value
        if "kind" in value:
            return by_kind[value["kind"]](value)
        return by_key[next(iter(value))](value)

    return decode_union


def _kind_of(member: Any) -> Any:
    return next((f.default for f in fields(member) if f.name == "kind"), None)


def to_text(value: Any) -> str:
    """Canonical JSON text: sorted keys, no spaces; the same value always gives the same text."""
    return json.dumps(encode(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def build_digest(build: BuildText, parents: tuple[BuildText, ...]) -> str:
    """SHA-256 over a build's text and its parents', to notice a change later."""
    return digest("\0".join([build.text, *(parent.text for parent in parents)]))


def digest(text: str) -> str:
    """SHA-256 of a text, in hex."""
    return hashlib.sha256(text.encode()).hexdigest()
