"""Past sessions in a folder, for what they teach. One that cannot be read teaches nothing.

Imports the session file of this room.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from shopstep.model.plan import Plan
from shopstep.session.events import Envelope, PlanRevised
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.session_file import SessionFile

MOST_FILES = 200
"""The newest so many are read."""


def past_sessions(folder: Path) -> Iterator[tuple[Plan, tuple[Envelope, ...]]]:
    """Newest plan and all events of each session, the oldest file first."""
    if not folder.is_dir():
        return
    files = sorted(folder.glob("*.session"), key=lambda path: path.stat().st_mtime)
    for path in files[-MOST_FILES:]:
        try:
            with SessionFile.open(path) as file:
                envelopes = file.events_after(0)
                numbers = [e.event.number for e in envelopes if isinstance(e.event, PlanRevised)]
                plan = file.plan(max(numbers, default=1))
        except (SessionFileError, OSError):
            continue
        yield plan, envelopes
