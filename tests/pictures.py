"""Pictures of the real screen: ``python -m tests.pictures FOLDER [CHROMIUM]``.

Plays a session of two floors to a few telling cards and writes each in both views, at several
sizes and in three themes as SVG; where a Chromium is named, also one PNG sheet for each size, view
and theme with all of its cards. Nothing is fetched: the web font of the export is taken out, and
block characters are drawn as rectangles, so that no font leaves gaps between them.
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

SIZES = ((40, 15), (59, 16), (80, 24), (120, 40))
LOOKS = ("dark", "light", "contrast")
CARDS: dict[str, Callable[[StepCard], bool]] = {
    "caution": lambda card: card.mode is CardMode.CAUTION,
    "rip": lambda card: card.step_id == "all/rip/side_rail" and card.mode is CardMode.STEP,
    "groove": lambda card: card.step_id == "all/groove/side_rail" and card.mode is CardMode.STEP,
    "close": lambda card: card.step_id == "u2/glue/close_right",
    "square": lambda card: card.step_id == "u1/glue/square_frame",
    "tack": lambda card: card.step_id == "u1/glue/tack_frame" and card.mode is CardMode.CAUTION,
    "nail": lambda card: card.step_id == "u1/glue/tack_frame" and card.mode is CardMode.STEP,
    "screws": lambda card: card.step_id == "u1/screw/frame" and card.mode is CardMode.STEP,
    "waiting": lambda card: card.mode is CardMode.WAITING,
    "complete": lambda card: card.mode is CardMode.COMPLETE,
}
OPEN_GLUE = "close"
"""The card at which its time is also drawn at half, at four fifths and after its end."""
PAGES_OF = "rip"
"""The card over which the pages are opened."""

CELL, ROW, ASCENT = 12.2, 24.4, 20.0
"""Width and height of a cell, and the baseline in it, as the export draws them."""
_BLOCKS = {
    "█": (0.0, 0.0, 1.0, 1.0), "▀": (0.0, 0.0, 1.0, 0.5), "▄": (0.0, 0.5, 1.0, 0.5),
    "▌": (0.0, 0.0, 0.5, 1.0), "▐": (0.5, 0.0, 0.5, 1.0), "░": (0.0, 0.0, 1.0, 1.0),
    "▒": (0.0, 0.0, 1.0, 1.0),
}  # fmt: skip
"""Left, top, width and height of what is filled, in parts of a cell."""
_TEXT = re.compile(
    r'<text class="(?P<role>[^"]+)" x="(?P<x>[\d.]+)" y="(?P<y>[\d.]+)" '
    r'textLength="[\d.]+"(?P<clip>[^>]*)>(?P<text>[^<]*)</text>'
)


async def draw_all(folder: Path) -> dict[str, list[Path]]:
    """All cards at all sizes as SVG files, by the name of their sheet."""
    sheets: dict[str, list[Path]] = {}
    for size in SIZES:
        for look in LOOKS:
            for is_far in (False, True):
                name = f"{size[0]}x{size[1]}-{look}-{'far' if is_far else 'near'}"
                sheets[name] = await _draw_sheet(folder, name, size, look, is_far)
    return sheets


async def _draw_sheet(
    folder: Path, name: str, size: tuple[int, int], look: str, is_far: bool
) -> list[Path]:
    with tempfile.TemporaryDirectory() as place:
        clock = FixedClock(BEGIN_S)
        bench = open_bench(Path(place) / "two.session", clock)
        async with sight_of(bench, size=size, theme=look, is_far=is_far) as sight:
            return await _play(sight, clock, _Album(folder, name, sight))


class _Album:
    """Takes pictures of one screen into one folder."""

    def __init__(self, folder: Path, name: str, sight: Sight) -> None:
        self._folder, self._name, self._sight = folder, name, sight
        self.made: list[Path] = []

    def take(self, card: str) -> None:
        """The screen as it is now."""
        file = self._folder / f"{card}-{self._name}.svg"
        file.write_text(plain_svg(self._sight), encoding="utf-8")
        self.made.append(file)


async def _play(sight: Sight, clock: FixedClock, album: _Album) -> list[Path]:
    left = dict(CARDS)
    while left:
        card: StepCard = sight.screen.card
        for name in [name for name, is_it in left.items() if is_it(card)]:
            del left[name]
            album.take(name)
            if name == PAGES_OF:
                await _take_pages(sight, album)
            if name == OPEN_GLUE:
                await _take_stages(sight, clock, album)
        if card.mode is CardMode.COMPLETE:
            break
        await go_on(sight, clock, "letters")
    return album.made


async def _take_pages(sight: Sight, album: _Album) -> None:
    """What opens over the bench."""
    for name, keys in (("more", "m"), ("help", "question_mark"), ("why", "w")):
        await sight.press(keys)
        album.take(name)
        await sight.press("escape")


async def _take_stages(sight: Sight, clock: FixedClock, album: _Album) -> None:
    """The time of open glue as it grows old, with its alarm and with the alarm answered."""
    before = clock.at_s
    timer = next(t for t in sight.screen.card.timers if t.is_most)
    whole = timer.due_s - timer.started_s
    for name, gone in (("half", 0.55), ("nearly", 0.85), ("late", 1.05)):
        clock.at_s = timer.started_s + int(whole * gone)
        sight.screen.tick()
        await sight.pilot.pause()
        if sight.screen.query_one("#alarm").display:
            album.take(f"{name}-alarm")
            await sight.press("x")
        album.take(name)
    clock.at_s = before
    sight.screen.tick()
    await sight.pilot.pause()


def plain_svg(sight: Sight) -> str:
    """The screen as SVG, without web fonts and without the buttons of a window."""
    drawn = sight.app.export_screenshot(title="shopstep")
    bare = re.sub(r"@font-face\s*\{[^}]*\}", "", drawn)
    bare = re.sub(r"<circle [^>]*/>", "", bare)
    return _TEXT.sub(_draw_blocks, bare)


def _draw_blocks(match: re.Match[str]) -> str:
    text = match["text"].replace("&#160;", " ")
    if not any(mark in _BLOCKS for mark in text):
        return match[0]
    x, top = float(match["x"]), float(match["y"]) - ASCENT + 1.5
    drawn = []
    for run in re.finditer(r"(\S)\1*", text):
        if run[1] in _BLOCKS:
            left, above, wide, high = _BLOCKS[run[1]]
            fill = {"░": ' fill-opacity="0.3"', "▒": ' fill-opacity="0.6"'}.get(run[1], "")
            at = [x + CELL * (run.start() + step + left) for step in range(len(run[0]))]
            for start in at if wide < 1 else at[:1]:
                width = CELL * wide * (len(run[0]) if wide == 1 else 1)
                drawn.append(
                    f'<rect class="{match["role"]}" x="{start:.1f}" y="{top + ROW * above:.1f}" '
                    f'width="{width:.1f}" height="{ROW * high:.1f}"{fill} '
                    f'shape-rendering="crispEdges"/>'
                )
    for run in re.finditer(r"[^█▀▄▌▐░▒ ](?:[^█▀▄▌▐░▒]*[^█▀▄▌▐░▒ ])?", text):
        words = run[0].replace(" ", "&#160;")
        drawn.append(
            f'<text class="{match["role"]}" x="{x + CELL * run.start():.1f}" y="{match["y"]}" '
            f'textLength="{CELL * len(run[0]):.1f}"{match["clip"]}>{words}</text>'
        )
    return "".join(drawn)


def to_png(sheet: Path, drawings: list[Path], chromium: str) -> None:
    """Several SVGs on one PNG, three in a row, by a headless browser."""
    box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawings[0].read_text(encoding="utf-8"))
    width, height = (float(n) for n in box.groups()) if box else (1200.0, 800.0)
    shown = 620
    rows = -(-len(drawings) // 3)
    page = sheet.with_suffix(".html")
    cells = "".join(
        f'<figure style="display:inline-block;margin:5px;width:{shown}px;font:14px sans-serif">'
        f'<img src="{d.name}" style="width:{shown}px">{d.stem}</figure>'
        for d in drawings
    )
    page.write_text(f"<body style='margin:0;width:1900px'>{cells}", encoding="utf-8")
    with tempfile.TemporaryDirectory() as profile:
        subprocess.run(
            [
                chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic",
                "--no-first-run", "--disable-background-networking",
                "--disable-component-update", "--disable-sync", "--hide-scrollbars",
                f"--user-data-dir={profile}",
                f"--window-size=1900,{round(rows * (shown * height / width + 36))}",
                f"--screenshot={sheet}", page.as_uri(),
            ],
            check=True, capture_output=True,
        )  # fmt: skip


if __name__ == "__main__":
    target = Path(sys.argv[1]).resolve()
    target.mkdir(parents=True, exist_ok=True)
    for sheet_name, files in asyncio.run(draw_all(target)).items():
        if len(sys.argv) > 2:
            to_png(target / f"{sheet_name}.png", files, sys.argv[2])
        print(sheet_name, len(files))
