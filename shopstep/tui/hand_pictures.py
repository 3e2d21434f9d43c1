"""Where the other hand goes, as a small picture of our own: tool, work and hand from the side.

Imports ``glyphs`` only for turning pixels into cells. ``#`` is ink, as in the letters.
"""

from __future__ import annotations

from shopstep.tui.glyphs import enlarge, to_blocks

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


def hand_picture(caution_id: str, scale: int = 1) -> list[str]:
    """The rows of the picture for a caution, all ``WIDTH`` times ``scale`` cells wide, or none."""
    words = caution_id.split("_")
    names = ["_".join(words[:count]) for count in range(len(words), 0, -1)]
    drawn = next((PICTURES[name] for name in names if name in PICTURES), AWAY)
    return to_blocks(enlarge(drawn, scale)) if drawn else []
