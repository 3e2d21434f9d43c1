"""A new build file made from the one that ships as a start. Writes where nothing is, or not at all.

Imports nothing of the project; the text is told where its id and title stand by their lines.
"""

from __future__ import annotations

import os
from pathlib import Path

TEMPLATE = "new-build.yaml"
_ID, _TITLE = "id: new-build\n", "title: New build\n"


def write_build(assets: Path, name: str, target: Path) -> None:
    """Write the shipped start under a new id; OSError, FileExistsError where the file is there."""
    text = (assets / TEMPLATE).read_text(encoding="utf-8")
    title = name.replace("-", " ").capitalize()
    text = text.replace(_ID, f"id: {name}\n", 1).replace(_TITLE, f"title: {title}\n", 1)
    with target.open("x", encoding="utf-8", newline="\n") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
