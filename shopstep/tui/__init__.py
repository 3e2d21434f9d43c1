"""The bench screen in a terminal: one card in large type, few big buttons, running clocks.

Imports nothing until it is run, so that other faces can ask for it at no cost.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopstep.tui.bench import Bench

THEMES = ("dark", "light", "contrast", "contrast-light")
"""Names that ``run_bench`` takes."""


def run_bench(bench: Bench, *, theme: str = "dark") -> int:
    """Show the bench until the person leaves; gives the exit code.

    Raises ValueError with a sentence for a theme that there is not.
    """
    if theme not in THEMES:
        raise ValueError(f"There is no theme '{theme}'; there are {', '.join(THEMES)}.")
    from shopstep.tui.app import BenchApp

    app = BenchApp(bench, theme)
    app.run()
    return app.return_code or 0
