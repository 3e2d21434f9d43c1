"""Where the other hand goes, as a small picture of our own: tool, work and hand from the side.

``#`` is ink; the pixels are square. Every face draws them in its own way.
"""

from __future__ import annotations

import re

AWAY = (
    "..####............#.#.#...",
    "..####..........#.#.#.#...",
    "..####..........#.#.#.#...",
    "...##...........#.#.#.#.#.",
    "...##...##.##...#######.#.",
    "...##...........#########.",
    "...##............#######..",
    "...##.............#####...",
    "##########################",
    "##########################",
)
"""The tool at one end, a way left free, the hand on the work."""
OFF = (
    "..####..####......#.#.#...",
    "..####..#..#....#.#.#.#...",
    "..####..#..#....#.#.#.#...",
    "...##..######...#.#.#.#.#.",
    "...##....##.....#######.#.",
    "...##....##.....#########.",
    "...##...####.....#######..",
    "...##...####......#####...",
    "##############............",
    "##############............",
)
"""A clamp holds the work, the hand is off it."""
CLEAR = (
    "..####............#.#.#...",
    "..####..........#.#.#.#...",
    "..####..........#.#.#.#...",
    "...##...........#.#.#.#.#.",
    "...##...........#######.#.",
    "...##...........#########.",
    "...##............#######..",
    "...##.............#####...",
    "##############............",
    "##############............",
)
"""Nothing held: the hand is off the table altogether."""
PUSH = (
    "..................#.#.#...",
    "................#.#.#.#...",
    "....###.........#.#.#.#...",
    "..#######.......#.#.#.#.#.",
    ".##.###.##......#######.#.",
    ".#########.....##########.",
    "##.#####.##..##..#######..",
    "####.#.####.##....#####...",
    "##########################",
    "##########################",
)
"""The blade, and a push stick between it and the hand."""
BOTH = (
    "...#.#.#..........#.#.#...",
    "...#.#.#.#......#.#.#.#...",
    "...#.#.#.#......#.#.#.#...",
    ".#.#.#.#.#......#.#.#.#.#.",
    ".#.#######.####.#######.#.",
    ".#########.####.#########.",
    "..#######..####..#######..",
    "...#####....##....#####...",
    "##########################",
    "##########################",
)
"""Both hands on the tool."""
NONE: tuple[str, ...] = ()
"""For what no place of a hand can show."""
PICTURES: dict[str, tuple[str, ...]] = {
    "saw": PUSH,
    "saw_short": CLEAR,
    "saw_guard_off": CLEAR,
    "saw_notch": BOTH,
    "saw_gauge_channel": BOTH,
    "saw_crosscut": AWAY,
    "saw_crosscut_short": OFF,
    "saw_mitre": OFF,
    "saw_noise_dust": NONE,
    "router": BOTH,
    "hand_saw_board": BOTH,
    "hand_plane": BOTH,
    "chisel": BOTH,
    "drill_press": OFF,
    "brad_nailer_medium": OFF,
    "brad_nailer_short": OFF,
    "snips": AWAY,
}
"""By the id of a caution, or by the first words of it; a hand kept away where none fits."""
WIDTH = len(AWAY[0])
NAMES: dict[tuple[str, ...], str] = {
    AWAY: "away", OFF: "off", CLEAR: "clear", PUSH: "push", BOTH: "both",
}  # fmt: skip


def hand_pixels(caution_id: str) -> tuple[str, ...]:
    """The rows of the picture for a caution, all ``WIDTH`` pixels wide; none for what has none."""
    words = caution_id.split("_")
    names = ["_".join(words[:count]) for count in range(len(words), 0, -1)]
    return next((PICTURES[name] for name in names if name in PICTURES), AWAY)


def hand_name(caution_id: str) -> str:
    """The name of that picture, one of ``NAMES``; empty where there is none."""
    return NAMES.get(hand_pixels(caution_id), "")


def hand_svg(pixels: tuple[str, ...], ink: str) -> str:
    """The picture as an SVG file, one unit a pixel."""
    runs = "".join(
        f"M{found.start()} {y}h{len(found[0])}v1h-{len(found[0])}z"
        for y, row in enumerate(pixels)
        for found in re.finditer("#+", row)
    )
    wide, high = len(pixels[0]), len(pixels)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide * 12}" '
        f'height="{high * 12}" shape-rendering="crispEdges"><path d="{runs}" fill="{ink}"/></svg>'
    )
