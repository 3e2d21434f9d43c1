"""The board as plain lines and as JSON. Imports the board and the words of this room."""

from __future__ import annotations

from dataclasses import asdict

from shopstep.present.board import Board, BoardWait, Cell
from shopstep.present.board_grid import SIGNS, Grid, grids_of, legend
from shopstep.present.columns import fold_item
from shopstep.present.moments import WITHIN, local_time, ready_words, utc_text
from shopstep.present.rest import rest_words
from shopstep.session.timers import local_clock
from shopstep.units import format_span
from shopstep.words import say, to_say

STATUSES = to_say(
    (
        *("running", "held", "complete", "stopped", "ahead", "waiting", "ready"),
        *("at the bench", "set aside", "done", "to be made again", "stop", "warn", "note"),
        *("must", "should"),
    )
)
"""Standings, levels of findings and weights of fits, for those who translate."""
NOTHING_TONIGHT = to_say("Nothing is left to do today.")


def standing_words(board: Board) -> str:
    """ "Screened hive floor, 2 units: running, 31 of 112 steps done."."""
    return say(
        "{board_title}: {status}, {done} of {total} steps done.",
        board_title=board.title,
        status=say(board.status.value),
        done=board.done,
        total=board.total,
    )


def wait_words(board: Board, wait: BoardWait) -> tuple[str, str]:
    """When it is over, and what: "22:20 to 22:45", "paint, units 1–4: dry enough for…"."""
    first = local_clock(wait.first_s, board.now_s, board.zone)
    last = local_clock(wait.last_s, board.now_s, board.zone)
    who = ", ".join(text for text in (wait.name, wait.units) if text)
    span = first if first == last else say("{first} to {last}", first=first, last=last)
    return span, f"{who}: {_what_then(board, wait)}"


def _what_then(board: Board, wait: BoardWait) -> str:
    """What the moment brings, or what has to have begun by it."""
    if wait.kind != WITHIN:
        return ready_words(wait.kind)
    is_ahead = wait.first_s > board.now_s
    return say("has to begin by then") if is_ahead else say("was to begin by then")


def batch_words(cell: Cell, name: str) -> str:
    """A stage of the whole batch: "■ rip", "□ glue 2/5" where it is under way."""
    count = f" {cell.done}/{cell.total}" if 0 < cell.done < cell.total else ""
    return f"{SIGNS[cell.status]} {name}{count}"


def section_rows(board: Board) -> list[tuple[str, list[str]]]:
    """The lists beside the grid: their titles and their entries; empty ones are left out."""
    found = [
        (say("To make again"), list(board.again)),
        (say("Waiting"), [": ".join(wait_words(board, wait)) for wait in board.waits]),
        (say("Ready"), [work.words for work in board.ready]),
        (say("Set aside"), list(board.aside)),
        (say("Today"), tonight_rows(board)),
    ]
    return [(title, rows) for title, rows in found if rows]


def tonight_rows(board: Board) -> list[str]:
    """What is planned for the rest of the day, with the clock time that each begins."""
    tonight = board.tonight
    if tonight is None:
        return []
    if not tonight.works:
        return [say(NOTHING_TONIGHT)]
    rows = [f"{local_time(w.start_s, board.zone)} {w.words}" for w in tonight.works]
    return [*rows, say("{hands_on} of work today", hands_on=format_span(tonight.hands_on_s))]


def progress_rows(board: Board) -> list[str]:
    """How far it is, what is left and how well that is known, and when it ends."""
    rows = [standing_words(board), rest_words(board.rest)]
    return [*rows, board.tonight.ahead] if board.tonight is not None else rows


def board_lines(board: Board, width: int = 78) -> list[str]:
    """The whole board in lines of at most ``width`` characters."""
    lines = [line for row in progress_rows(board) for line in fold_item(row, width, "")]
    if board.batch:
        stages = "  ".join(
            batch_words(cell, name).replace(" ", "\xa0") for name, cell in board.batch
        )
        lines += ["", say("Whole batch")]
        lines += [line.replace("\xa0", " ") for line in fold_item(stages, width)]
    for grid in grids_of(board, width - 2):
        lines += ["", *_grid_lines(grid)]
    signs = ", ".join(f"{sign} {meaning}" for sign, meaning in legend(board))
    lines += ["", *fold_item(say("Signs: {signs}", signs=signs), width, "")]
    for title, rows in section_rows(board):
        lines += ["", title, *(line for row in rows for line in fold_item(row, width))]
    return lines


def _grid_lines(grid: Grid) -> list[str]:
    units = ["unit", *[""] * (len(grid.head_lines) - 1)]
    heads = list(zip(units, grid.head_lines, strict=True))
    rows = [(row.head, "".join(text for text, _ in row.cells)) for row in grid.rows]
    aligned = [f"  {head.ljust(grid.first_width)}{cells}" for head, cells in (*heads, *rows)]
    return [*([grid.span.capitalize()] if grid.span else []), *(row.rstrip() for row in aligned)]


def board_document(board: Board) -> dict[str, object]:
    """The board as JSON values, version 1."""
    return {
        "version": 1,
        "title": board.title,
        "status": board.status.value,
        "now": utc_text(board.now_s),
        "steps": {"done": board.done, "total": board.total},
        "left": asdict(board.rest),
        "batch": [{"stage": name, **_cell_entry(cell)} for name, cell in board.batch],
        "stages": list(board.stages),
        "units": [
            {"unit": row.unit, "stages": [_cell_entry(c) if c else None for c in row.cells]}
            for row in board.rows
        ],
        "waiting": [
            {
                "name": wait.name, "kind": wait.kind, "units": wait.units,
                "first": utc_text(wait.first_s), "last": utc_text(wait.last_s),
            }
            for wait in board.waits
        ],
        "ready": [work.words for work in board.ready],
        "again": list(board.again),
        "aside": list(board.aside),
        "today": None if board.tonight is None else {
            "steps": [
                {"start": utc_text(work.start_s), "step": work.words, "count": work.count}
                for work in board.tonight.works
            ],
            "hands_on_s": board.tonight.hands_on_s,
            "ahead": board.tonight.ahead,
        },
    }  # fmt: skip


def _cell_entry(cell: Cell) -> dict[str, object]:
    return {
        "status": cell.status.value,
        "until": utc_text(cell.until_s) if cell.until_s is not None else None,
        "done": cell.done,
        "total": cell.total,
    }
