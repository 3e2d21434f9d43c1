"""Names of several builds in one batch. Imports nothing."""

from __future__ import annotations

BUILD_MARK = "@"
"""Stands in a name of the second and later builds of a batch, before the build's tag."""


def plain_name(name: str) -> str:
    """The name as it is in its build: ``side_wall.width`` of ``side_wall@hive-body.width``."""
    words, _, rest = name.partition(BUILD_MARK)
    _, dot, size = rest.partition(".")
    return f"{words}{dot}{size}"
