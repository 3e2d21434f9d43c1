"""Names of builds and sessions as their files have them; no file is opened."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from shopstep.storage.folders import own_builds_folder, sessions_folder, shipped_folder


def build_names() -> set[str]:
    """Builds of the shelf, the keeper's own too."""
    return _names((own_builds_folder(), shipped_folder("builds")), ".yaml")


def session_names() -> set[str]:
    """Kept sessions."""
    return _names((sessions_folder(),), ".session")


def _names(folders: Iterable[Path], suffix: str) -> set[str]:
    return {path.stem for folder in folders for path in folder.glob(f"*{suffix}")}
