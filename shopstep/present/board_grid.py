"""The grid of the board for a given width: units that stand alike share a row, heads are shortened.

A rule decides what fits: signs with words or clock times where a column is wide enough, else signs
alone, which differ by their shape. Names of stages that are wider than their column stand by turns
in two lines, each from its own column on over the next; what is wider still is cut. Where columns
would be too narrow even for that, the stages stand in several grids. Imports the board and the
clock of this room.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from shopstep.days import short_day, spoken_time, weekday
from shopstep.present.board import Board, Cell, UnitRow
from shopstep.present.moments import local_date
from shopstep.session.statuses import Status
from shopstep.session.timers import zone_of
from shopstep.words import say, to_say

SIGNS = {
    Status.DONE: "■",
    Status.AT_BENCH: "►",
    Status.HELD: "=",
    Status.READY: "□",
    Status.WAITING: "○",
    Status.SET_ASIDE: "▼",
    Status.AGAIN: "◄",
    Status.AHEAD: "·",
}
"""A shape of its own for every status: read without any colour."""
WORDS = {
    Status.DONE: to_say("done"),
    Status.AT_BENCH: to_say("bench"),
    Status.HELD: to_say("held"),
    Status.READY: to_say("ready"),
    Status.WAITING: to_say("waits"),
    Status.SET_ASIDE: to_say("aside"),
    Status.AGAIN: to_say("again"),
    Status.AHEAD: to_say("ahead"),
}
"""Five letters at most, as wide as a clock time."""
WIDE_CELL = 8
"""Columns from which a cell has its word or its time: sign, space, five letters, gap."""
LEAST_CELL = 4
"""Three letters of a head and a gap."""


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row: units in front, then the cells' texts with what they stand for."""

    head: str
    cells: tuple[tuple[str, Status | None], ...]
    """Texts are as wide as their column; None for no such stage."""


@dataclass(frozen=True, slots=True)
class Grid:
    """As many stages as fit side by side."""

    head_lines: tuple[str, ...]
    """The names of the stages over their columns, in one line or by turns in two."""
    cell: int
    """Characters of each column, its gap counted."""
    rows: tuple[GridRow, ...]
    first_width: int
    """Columns of the units, their gap counted."""
    span: str
    """Which stages: "stages 1–8 of 11"; empty where all are in one grid."""


def grids_of(board: Board, width: int) -> tuple[Grid, ...]:
    """The grids, the stages in order; each at most ``width`` columns wide. None without stages."""
    if not board.stages:
        return ()
    groups = _alike(board.rows)
    heads = [_units_words(rows) for rows in groups]
    first = max(len("unit"), *(len(head) for head in heads)) + 1
    count = len(board.stages)
    cell = min(14, (width - first) // count)
    if cell < LEAST_CELL:
        each = max(1, (width - first) // LEAST_CELL)
        grids = -(-count // each)
        count = -(-count // grids)  # spread evenly
        cell = min(14, (width - first) // count)
    starts = range(0, len(board.stages), count)
    is_whole = all(len(name) < cell for name in board.stages)
    names = board.stages if is_whole else _by_turns(board.stages, cell, starts)
    return tuple(
        _grid(board, groups, heads, names, (at, min(at + count, len(names))), (first, cell))
        for at in starts
    )


def _by_turns(stages: Sequence[str], cell: int, starts: range) -> tuple[str, ...]:
    """Names with the room of two columns, the last of each grid with that of its own."""
    last = {at - 1 for at in starts[1:]} | {len(stages) - 1}
    return short_names(
        stages, [cell - 1 if at in last else 2 * cell - 1 for at in range(len(stages))]
    )


def _head_lines(names: Sequence[str], cell: int) -> tuple[str, ...]:
    if all(len(name) < cell for name in names):
        return ("".join(name.ljust(cell) for name in names).rstrip(),)
    turns = [
        "".join((names[at] if at % 2 == turn else "").ljust(2 * cell) for at in columns)
        for turn, columns in ((0, range(0, len(names), 2)), (1, range(1, len(names), 2)))
    ]
    return (turns[0].rstrip(), " " * cell + turns[1].rstrip())


def _grid(
    board: Board,
    groups: list[list[UnitRow]],
    heads: list[str],
    names: Sequence[str],
    part: tuple[int, int],
    widths: tuple[int, int],
) -> Grid:
    start, end = part
    first, cell = widths
    rows = tuple(
        GridRow(head, tuple(_show(board, rows, at, cell) for at in range(start, end)))
        for head, rows in zip(heads, groups, strict=True)
    )
    whole = (start, end) == (0, len(names))
    span = (
        ""
        if whole
        else say("stages {start}–{end} of {names}", start=start + 1, end=end, names=len(names))
    )
    return Grid(_head_lines(names[start:end], cell), cell, rows, first, span)


def _show(board: Board, rows: list[UnitRow], at: int, width: int) -> tuple[str, Status | None]:
    """What a cell of units that stand alike says."""
    cells = [row.cells[at] for row in rows]
    cell = cells[0]
    if cell is None:
        return " " * width, None
    sign = SIGNS[cell.status]
    if width < WIDE_CELL or cell.status is Status.AHEAD:
        return sign.ljust(width), cell.status
    ends = [c.until_s for c in cells if c is not None and c.until_s is not None]
    word = short_clock(min(ends), board) if ends else say(WORDS[cell.status])
    return f"{sign} {word[: width - 3]}".ljust(width), cell.status


def short_clock(at_s: int, board: Board) -> str:
    """A moment in five letters: "22:20" today, "Thu" within a week, else "3 May"."""
    place = zone_of(board.zone)
    at = datetime.fromtimestamp(-(-at_s // 60) * 60, tz=place)
    days = (at.date() - local_date(board.now_s, board.zone)).days
    if days == 0:
        clock = spoken_time(at)
        return clock if len(clock) <= WIDE_CELL - 3 else f"{at.hour}:{at.minute:02d}"
    return weekday(at.date()) if days < 7 else short_day(at.date())


def _alike(rows: Sequence[UnitRow]) -> list[list[UnitRow]]:
    """Units in a row whose cells have the same statuses."""
    return [list(run) for _, run in groupby(rows, key=lambda row: _statuses(row.cells))]


def _statuses(cells: Sequence[Cell | None]) -> tuple[Status | None, ...]:
    return tuple(cell.status if cell is not None else None for cell in cells)


def _units_words(rows: list[UnitRow]) -> str:
    first, last = rows[0].unit, rows[-1].unit
    return str(first) if first == last else f"{first}–{last}"


def short_names(names: Sequence[str], widths: Sequence[int]) -> tuple[str, ...]:
    """Each name cut to its width in letters (3 or more), no two alike where they were not.

    Of two that would be alike the later one gets its last letters in place of those in the middle.
    """
    found: list[str] = []
    for at, (name, width) in enumerate(zip(names, widths, strict=True)):
        short = name[:width].strip()
        if short in found and name not in names[:at]:
            short = next((s for s in _others(name, width) if s not in found), short)
        found.append(short)
    return tuple(found)


def _others(name: str, width: int) -> list[str]:
    """Fewer letters of the beginning, more of the end."""
    return [name[: width - tail] + name[-tail:] for tail in range(1, width)]


def legend(board: Board) -> tuple[tuple[str, str], ...]:
    """Sign and word of every status that is on the board, in the order of the signs."""
    cells = [cell for row in board.rows for cell in row.cells if cell is not None]
    there = {cell.status for cell in (*cells, *(cell for _, cell in board.batch))}
    return tuple((sign, say(_MEANING[status])) for status, sign in SIGNS.items() if status in there)


_MEANING = to_say(
    {
        Status.AT_BENCH: "at the bench",
        Status.HELD: "on hold",
        Status.WAITING: "waits",
        Status.SET_ASIDE: "set aside",
        Status.AGAIN: "to be made again",
        Status.DONE: "done",
        Status.READY: "ready",
        Status.AHEAD: "ahead",
    }
)
