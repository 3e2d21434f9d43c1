"""Answers that were worked out before, by everything that they depend on.

Safe to delete at any time, and never trusted blindly: an answer carries its key and a digest of
itself, and whatever is wrong with it only means that it is worked out again.
"""

from __future__ import annotations

import hashlib
import json
import os
from contextlib import suppress
from pathlib import Path

from shopstep.model.plan import Finding, Level, Where

_FORM = 1
_MOST = 200
"""Kept answers; the oldest go first."""
OFF = "SHOPSTEP_NO_CACHE"
"""An environment variable: anything but an empty text works every answer out anew."""


class AnswerFolder:
    """Findings by key, one small file for each."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def get(self, key: str) -> tuple[Finding, ...] | None:
        """The findings that were kept under a key; None where there are none to be trusted."""
        if os.environ.get(OFF):
            return None
        try:
            kept = json.loads((self._folder / f"{key}.json").read_bytes())
            if kept["form"] != _FORM or kept["key"] != key:
                return None
            rows = kept["findings"]
            if kept["digest"] != _digest(rows):
                return None
            return tuple(_finding(row) for row in rows)
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def put(self, key: str, findings: tuple[Finding, ...]) -> None:
        """Keep findings; silently not where the folder cannot be written."""
        if os.environ.get(OFF):
            return
        rows = [_row(finding) for finding in findings]
        kept = {"form": _FORM, "key": key, "findings": rows, "digest": _digest(rows)}
        draft = self._folder / f"{key}.{os.getpid()}.draft"
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            draft.write_text(json.dumps(kept), encoding="utf-8")
            draft.replace(self._folder / f"{key}.json")
            self._drop_oldest()
        except (OSError, ValueError):
            with suppress(OSError):
                draft.unlink(missing_ok=True)

    def _drop_oldest(self) -> None:
        files = sorted(self._folder.glob("*.json"), key=lambda file: file.stat().st_mtime)
        for file in files[:-_MOST]:
            file.unlink(missing_ok=True)


def _digest(rows: object) -> str:
    return hashlib.sha256(json.dumps(rows).encode()).hexdigest()


def _row(finding: Finding) -> list[object]:
    where = finding.where
    place = [where.file, where.line, where.name]
    return [finding.level.value, finding.rule, finding.text, place, finding.remedy]


def _finding(row: list[object]) -> Finding:
    level, rule, text, place, remedy = row
    if not isinstance(place, list):
        raise TypeError("a place is a list")
    file, line, name = place
    return Finding(Level(str(level)), str(rule), str(text), Where(file, line, name), str(remedy))


def program_state(package: Path) -> str:
    """A digest of the program's own files, by name, size and time of change."""
    found = hashlib.sha256()
    for folder, _, names in sorted(os.walk(package)):
        for name in sorted(names):
            if name.endswith(".py"):
                stat = os.stat(os.path.join(folder, name))
                found.update(f"{folder}/{name} {stat.st_size} {stat.st_mtime_ns}\n".encode())
    return found.hexdigest()
