"""Names of builds and sessions as their files have them, and of files; none is opened."""

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


def short_place(file: str) -> str:
    """A file as a person would name it: from here, of the shelf that came along, or from home."""
    path = Path(file)
    if not path.is_absolute():
        return file
    if path.parent == shipped_folder("builds"):
        return path.name
    for start, lead in ((Path.cwd(), Path()), (Path.home(), Path("~"))):
        if path.is_relative_to(start):
            return str(lead / path.relative_to(start))
    return file


def _names(folders: Iterable[Path], suffix: str) -> set[str]:
    return {path.stem for folder in folders for path in folder.glob(f"*{suffix}")}
