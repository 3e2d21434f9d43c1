"""Pictures that were drawn before, by everything that they depend on. Safe to delete at any time.

Whatever is wrong with a kept picture only means that it is drawn again.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from pathlib import Path

from shopstep.model.codec import decode, encode
from shopstep.model.picture import Picture
from shopstep.storage.answers import OFF

_FORM = 1
_MOST = 1000
"""Kept pictures; the oldest go first."""


class PictureFolder:
    """Pictures by key, one small file for each; a step with nothing to show is kept as None."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def get(self, key: str) -> tuple[Picture | None] | None:
        """What was kept under a key, in a tuple of one; None where there is nothing."""
        if os.environ.get(OFF):
            return None
        try:
            kept = json.loads((self._folder / f"{key}.json").read_bytes())
            if kept["form"] != _FORM or kept["key"] != key:
                return None
            if kept["picture"] is None:
                return (None,)
            return (decode(Picture, kept["picture"]),)
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def put(self, key: str, picture: Picture | None) -> None:
        """Keep a picture; silently not where the folder cannot be written."""
        if os.environ.get(OFF):
            return
        draft = self._folder / f"{key}.{os.getpid()}.draft"
        shown = encode(picture) if picture is not None else None
        text = json.dumps({"form": _FORM, "key": key, "picture": shown})
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            draft.write_text(text, encoding="utf-8")
            draft.replace(self._folder / f"{key}.json")
            files = sorted(self._folder.glob("*.json"), key=lambda file: file.stat().st_mtime)
            for file in files[:-_MOST]:
                file.unlink(missing_ok=True)
        except OSError:
            with suppress(OSError):
                draft.unlink(missing_ok=True)
