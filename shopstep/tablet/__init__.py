"""The bench on a tablet's browser: the card as real text with large buttons, and the screen itself.

Imports nothing until it is run, so that other commands can ask for it at no cost.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopstep.tablet.ports import TabletPlan

NEEDED = ("aiohttp", "cryptography", "segno", "textual_serve")
"""Packages of the extra ``tablet``."""


def missing_packages() -> tuple[str, ...]:
    """Which packages of the extra are not installed."""
    from importlib.util import find_spec

    return tuple(name for name in NEEDED if find_spec(name) is None)


def run_tablet(plan: TabletPlan, say: Callable[[str], None], log: Callable[[str], None]) -> None:
    """Serve until Ctrl-C; ``say`` is for the person, ``log`` for what happens at the door."""
    from shopstep.tablet.running import run_server, typed_lines

    run_server(plan, say, log, typed_lines())
