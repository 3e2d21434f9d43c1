"""What the tests of a screen that hears look at."""

from __future__ import annotations

from shopstep.tui.widgets.bar import Bar
from tests.fake_bench import FakeBench
from tests.tui_pilot import Sight


def line(sight: Sight) -> str:
    """The first row of the ear."""
    return sight.screen.query_one("#ear", Bar).rows[0].text


def kinds(bench: FakeBench) -> list[str]:
    """Names of the commands that were sent."""
    return [type(command).__name__ for command in bench.commands]
