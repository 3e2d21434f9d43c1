"""Session files looked over and salvaged."""

from __future__ import annotations

from pathlib import Path

from shopstep.storage.salvage import Salvaged, salvage
from shopstep.storage.session_check import SessionReport, check_session
from shopstep.wiring.benches import find_session
from shopstep.wiring.problems import plain_problems

__all__ = ["Salvaged", "SessionReport", "look_over", "salvage_session"]


def look_over(name: str | None) -> SessionReport:
    """What is found in a session file: a path, a name, or the latest one."""
    with plain_problems():
        return check_session(find_session(name))


def salvage_session(name: str, target: Path | None) -> Salvaged:
    """All whole events of a session in a new file beside it; Problem where there are none."""
    with plain_problems():
        path = find_session(name)
        return salvage(path, target or path.with_name(f"{path.stem}-salvaged{path.suffix}"))
