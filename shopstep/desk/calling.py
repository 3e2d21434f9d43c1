"""What the builds of one batch are called. Imports nothing."""

from __future__ import annotations

from collections.abc import Sequence

CallNames = tuple[tuple[str, ...], ...]
"""For each build its tag, its id, and how it was typed."""


def build_tags(ids: Sequence[str]) -> list[str]:
    """An id for each build that no other has: ``roof``, ``roof-2``."""
    found: list[str] = []
    for build in ids:
        tag, number = build, 1
        while tag in found:
            number += 1
            tag = f"{build}-{number}"
        found.append(tag)
    return found


def call_names(typed: Sequence[str], ids: Sequence[str]) -> CallNames:
    """For each build its tag, its id, and how it was typed."""
    return tuple(zip(build_tags(ids), ids, typed, strict=True))
