"""What makes the shop safe before it is left."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class MakeSafe:
    """One thing that makes the shop safe before it is left."""

    id: str
    tools: tuple[str, ...]
    """Tools after which it is due; ``brush:oil`` for oil on a brush; an empty one: always."""
    text: str
    source: str
