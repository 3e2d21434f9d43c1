"""What Tab offers after a command: builds of the shelf, kept sessions; else the shell's own files.

Only names are looked up: a shell waits for this at each key.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import click
    from click.shell_completion import CompletionItem

LAST = "LAST"


def offer_builds(_: click.Context, __: click.Parameter, begun: str) -> list[CompletionItem]:
    """Builds by name."""
    from shopstep.wiring.shelf_names import build_names

    return _offer(build_names(), begun)


def offer_sessions(_: click.Context, __: click.Parameter, begun: str) -> list[CompletionItem]:
    """Sessions by name, and the word for the latest."""
    from shopstep.wiring.shelf_names import session_names

    return _offer({LAST, *session_names()}, begun)


def offer_both(_: click.Context, __: click.Parameter, begun: str) -> list[CompletionItem]:
    """Builds and sessions."""
    from shopstep.wiring.shelf_names import build_names, session_names

    return _offer({LAST, *build_names(), *session_names()}, begun)


def _offer(names: Iterable[str], begun: str) -> list[CompletionItem]:
    from click.shell_completion import CompletionItem

    found = sorted(name for name in names if name.startswith(begun))
    return [CompletionItem(name) for name in found] or [CompletionItem(begun, type="file")]
