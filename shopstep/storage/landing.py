"""Putting a package's texts where the shelf finds them: whole, or not at all.

Imports the package of this room.
"""

from __future__ import annotations

import os
import shutil
import uuid
from pathlib import Path

from shopstep.storage.package_file import Package


def land(package: Package, folder: Path, name: str) -> Path:
    """Writes the texts into ``folder/name``, the build as ``name.yaml``; gives the build's file.

    FileExistsError where something else stands there; the same texts may land again. OSError.
    """
    place = folder / name
    texts = {(f"{name}.yaml" if t.name == package.build else t.name): t.text for t in package.texts}
    if place.exists():
        if _read(place) == texts:
            return place / f"{name}.yaml"
        raise FileExistsError(place)
    folder.mkdir(parents=True, exist_ok=True)
    draft = folder / f".{name}.{uuid.uuid4().hex}"
    draft.mkdir()
    try:
        for file, text in texts.items():
            with (draft / file).open("x", encoding="utf-8", newline="") as handle:
                handle.write(text)
                handle.flush()
                os.fsync(handle.fileno())
        draft.rename(place)
    except BaseException:
        shutil.rmtree(draft, ignore_errors=True)
        raise
    return place / f"{name}.yaml"


def _read(place: Path) -> dict[str, str] | None:
    """What stands there; None where it is no folder of texts."""
    if not place.is_dir():
        return None
    try:
        return {p.name: p.read_bytes().decode("utf-8") for p in sorted(place.iterdir())}
    except (OSError, UnicodeDecodeError):
        return None
