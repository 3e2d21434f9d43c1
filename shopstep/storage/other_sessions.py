"""Other batches that are under way in the same shop, for what they hold of it.

Imports the session file of this room. One that cannot be read holds nothing.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

from shopstep.model.plan import Plan
from shopstep.session.evolve import fold
from shopstep.session.state import State
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.session_file import SessionFile

FRESH_S = 30 * 86400
"""A session that nobody wrote to for so long holds no clamps any more."""
MOST_FILES = 20
"""The newest so many are looked at."""


def running_beside(path: Path, shop: str) -> Iterator[tuple[State, Plan]]:
    """State and plan of each other session in the folder that is under way in this shop."""
    now = time.time()
    files = [
        (found.stat().st_mtime, found)
        for found in path.parent.glob(f"*{path.suffix}")
        if found.name != path.name and found.is_file()
    ]
    fresh = sorted((at, found) for at, found in files if now - at < FRESH_S)
    for _, found in fresh[-MOST_FILES:]:
        try:
            with SessionFile.open(found) as file:
                if file.request().shop.name != shop:
                    continue
                state = fold(file.events_after(0))
                if state.completed_s is None and state.stopped_s is None:
                    yield state, file.plan(max(1, state.plan_number))
        except (SessionFileError, OSError):
            continue
