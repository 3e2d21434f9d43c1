"""Small files that only their owner may read. Imports the standard library only."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

PRIVATE_FILE, PRIVATE_FOLDER = 0o600, 0o700


def write_private(path: Path, text: str) -> None:
    """A whole file under its name or none, for its owner alone."""
    draft = path.with_name(f".{secrets.token_hex(8)}.new")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE_FILE)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        draft.replace(path)
    finally:
        draft.unlink(missing_ok=True)
