"""Sessions in a folder, newest first, to choose one to go on with.

Imports the session file of this room. One that cannot be read is left out.
"""

from __future__ import annotations

from pathlib import Path

from shopstep.model.plan import Plan
from shopstep.session.evolve import evolve
from shopstep.session.state import State
from shopstep.storage.file_problem import SessionFileError
from shopstep.storage.session_file import SessionFile


def kept_sessions(folder: Path, suffix: str, most: int) -> tuple[tuple[Path, State, Plan], ...]:
    """File, state and plan of the newest sessions; nothing is written."""
    if not folder.is_dir():
        return ()
    files = sorted(folder.glob(f"*{suffix}"), key=lambda path: path.stat().st_mtime, reverse=True)
    found: list[tuple[Path, State, Plan]] = []
    for path in files:
        if len(found) == most:
            break
        try:
            with SessionFile.open(path) as file:
                state = file.snapshot() or State()
                for envelope in file.events_after(state.version):
                    state = evolve(state, envelope)
                found.append((path, state, file.plan(max(1, state.plan_number))))
        except (SessionFileError, OSError):
            continue
    return tuple(found)
