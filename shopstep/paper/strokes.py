"""Strokes of a drawing as SVG: outlines, dimension lines, words. All in millimetres of paper."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape

from shopstep.solids.lines import Stretch

At = Callable[[float, float], tuple[float, float]]
_HEAD = 1.8
_TEXT = 3.2
_LETTER = 0.56
"""Width of a letter over its height."""


def text(
    x: float,
    y: float,
    said: str,
    size: float,
    *,
    anchor: str = "middle",
    bold: bool = False,
    grey: bool = False,
    turned: bool = False,
) -> str:
    """Words at a point; ``turned``: read from the right."""
    weight = ' font-weight="bold"' if bold else ""
    fill = ' fill="#666"' if grey else ""
    turn = f' transform="rotate(-90 {x:.2f} {y:.2f})"' if turned else ""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size}" text-anchor="{anchor}"'
        f"{weight}{fill}{turn}>{escape(said)}</text>\n"
    )


def visible_and_hidden(stretches: Iterable[Stretch], at: At) -> str:
    """What is seen in whole lines, what is hidden dashed."""
    seen: set[str] = set()
    hidden: set[str] = set()
    for stretch in stretches:
        ends = sorted((at(*stretch.start), at(*stretch.end)))
        (x1, y1), (x2, y2) = ends
        path = f"M{x1:.2f} {y1:.2f}L{x2:.2f} {y2:.2f}"
        if abs(x2 - x1) + abs(y2 - y1) > 0.05:
            (seen if stretch.is_seen else hidden).add(path)
    return (
        f'<path d="{"".join(sorted(hidden - seen))}" fill="none" stroke="#000" '
        f'stroke-width="0.25" stroke-dasharray="1.6 1"/>\n'
        f'<path d="{"".join(sorted(seen))}" fill="none" stroke="#000" stroke-width="0.6" '
        f'stroke-linecap="round"/>\n'
    )


def dimension_line(
    ends: list[tuple[float, float]],
    away: tuple[float, float],
    said: str,
    *,
    is_below: bool = False,
) -> str:
    """A measure between two points, drawn ``away`` from them, with lines that lead there.

    The words stand in the middle, or beyond the end where the measure is too short for them: of an
    upright one above it, or ``is_below`` it.
    """
    (x1, y1), (x2, y2) = sorted(ends)
    ax, ay = away
    lines = [
        f"M{x1 + ax * 0.12:.2f} {y1 + ay * 0.12:.2f}L{x1 + ax * 1.08:.2f} {y1 + ay * 1.08:.2f}",
        f"M{x2 + ax * 0.12:.2f} {y2 + ay * 0.12:.2f}L{x2 + ax * 1.08:.2f} {y2 + ay * 1.08:.2f}",
    ]
    x1, y1, x2, y2 = x1 + ax, y1 + ay, x2 + ax, y2 + ay
    length = abs(x2 - x1) + abs(y2 - y1)
    flat = ax == 0.0
    is_short = length < 2.5 * _HEAD
    wide = len(said) * _TEXT * _LETTER
    fits = length > wide + 2 * _HEAD + 1 if flat else length > wide + 2 * _HEAD
    lines.append(f"M{x1:.2f} {y1:.2f}L{x2:.2f} {y2:.2f}")
    out = [_head(x1, y1, flat, outward=is_short, first=True),
           _head(x2, y2, flat, outward=is_short, first=False)]  # fmt: skip
    if fits:
        middle = (x1 + x2) / 2, (y1 + y2) / 2
        at = (middle[0], middle[1] - 0.8) if flat else (middle[0] - 0.8, middle[1])
        words = text(*at, said, _TEXT, turned=not flat)
    elif flat:
        reach = 2 * _HEAD if is_short else 1.0
        lines.append(f"M{x2:.2f} {y2:.2f}h{reach:.2f}")
        words = text(x2 + reach + 0.6, y2 + 1.1, said, _TEXT, anchor="start")
    else:
        reach = 2 * _HEAD if is_short else 1.0
        edge, sign = (max(y1, y2), 1) if is_below else (min(y1, y2), -1)
        lines.append(f"M{x1:.2f} {edge:.2f}v{sign * reach:.2f}")
        drop = _TEXT * 0.8 if is_below else 0.0
        words = text(x1, edge + sign * (reach + 0.8) + drop, said, _TEXT)
    path = f'<path d="{"".join(lines)}" fill="none" stroke="#00429d" stroke-width="0.2"/>\n'
    return path + "".join(out) + words


def _head(x: float, y: float, flat: bool, *, outward: bool, first: bool) -> str:
    """An arrow head that points at an end, from inside or from outside."""
    way = (1 if first else -1) * (-1 if outward else 1) * _HEAD
    along, aside = (way, 0.0), (0.0, 0.5)
    if not flat:
        along, aside = along[::-1], aside[::-1]
    tail = x + along[0], y + along[1]
    points = [
        (x, y),
        (tail[0] - aside[0], tail[1] - aside[1]),
        (tail[0] + aside[0], tail[1] + aside[1]),
    ]
    said = " ".join(f"{px:.2f},{py:.2f}" for px, py in points)
    return f'<polygon points="{said}" fill="#00429d"/>\n'
