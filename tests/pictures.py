"""Pictures of the real screen: ``python -m tests.pictures FOLDER [CHROMIUM]``.

Plays a session of two floors to a few telling cards and writes each at several sizes as SVG, and as
PNG where a Chromium is named. Nothing is fetched: the web font of the export is taken out.
"""

from __future__ import annotations

import asyncio
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from shopstep.present.card import CardMode, StepCard
from shopstep.storage.clock import FixedClock
from tests.floor import BEGIN_S
from tests.test_tui_workbench import go_on
from tests.test_whole_way_screen import open_bench
from tests.tui_pilot import Sight, sight_of

SIZES = ((80, 24), (120, 40))
CARDS: dict[str, Callable[[StepCard], bool]] = {
    "caution": lambda card: card.mode is CardMode.CAUTION,
    "rip": lambda card: card.step_id == "all/rip/side_rail" and card.mode is CardMode.STEP,
    "groove": lambda card: card.step_id == "all/groove/side_rail" and card.mode is CardMode.STEP,
    "close": lambda card: card.step_id == "u2/glue/close_right",
    "square": lambda card: card.step_id == "u1/glue/square_frame",
    "tack": lambda card: card.step_id == "u1/glue/tack_frame" and card.mode is CardMode.CAUTION,
    "screws": lambda card: card.step_id == "u1/screw/frame" and card.mode is CardMode.STEP,
    "waiting": lambda card: card.mode is CardMode.WAITING,
    "complete": lambda card: card.mode is CardMode.COMPLETE,
}


async def draw_all(folder: Path) -> list[Path]:
    """All cards at all sizes as SVG files."""
    made: list[Path] = []
    for size in SIZES:
        with tempfile.TemporaryDirectory() as place:
            clock = FixedClock(BEGIN_S)
            bench = open_bench(Path(place) / "two.session", clock)
            async with sight_of(bench, size=size) as sight:
                made += await _play(sight, clock, folder, size)
    return made


async def _play(sight: Sight, clock: FixedClock, folder: Path, size: tuple[int, int]) -> list[Path]:
    made: list[Path] = []
    left = dict(CARDS)
    while left:
        card: StepCard = sight.screen.card
        for name in [name for name, is_it in left.items() if is_it(card)]:
            del left[name]
            file = folder / f"{name}-{size[0]}x{size[1]}.svg"
            file.write_text(_plain_svg(sight), encoding="utf-8")
            made.append(file)
        if card.mode is CardMode.COMPLETE:
            break
        await go_on(sight, clock, "letters")
    return made


def _plain_svg(sight: Sight) -> str:
    """The screen as SVG, without web fonts and without the buttons of a window."""
    drawn = sight.app.export_screenshot(title="shopstep")
    bare = re.sub(r"@font-face\s*\{[^}]*\}", "", drawn)
    return re.sub(r"<circle [^>]*/>", "", bare)


def to_png(svg: Path, chromium: str) -> None:
    """The SVG as a PNG beside it, by a headless browser."""
    box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg.read_text(encoding="utf-8"))
    width, height = (round(float(n)) for n in box.groups()) if box else (1200, 800)
    with tempfile.TemporaryDirectory() as profile:
        subprocess.run(
            [
                chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic",
                "--no-first-run", "--disable-background-networking",
                "--disable-component-update", "--disable-sync", "--hide-scrollbars",
                f"--user-data-dir={profile}", f"--window-size={width},{height}",
                f"--screenshot={svg.with_suffix('.png')}", svg.as_uri(),
            ],
            check=True, capture_output=True,
        )  # fmt: skip


if __name__ == "__main__":
    target = Path(sys.argv[1]).resolve()
    target.mkdir(parents=True, exist_ok=True)
    for drawing in asyncio.run(draw_all(target)):
        if len(sys.argv) > 2:
            to_png(drawing, sys.argv[2])
        print(drawing)
