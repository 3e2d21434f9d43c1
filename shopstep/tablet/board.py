"""The board as the page shows it: the whole batch at a look, in the words and signs of every face.

Imports the board of ``present``.
"""

from __future__ import annotations

from typing import Any

from shopstep.model.plan import PlanRefused
from shopstep.present.board import Board, board_of
from shopstep.present.board_grid import grids_of, legend
from shopstep.present.board_text import batch_words, progress_rows, section_rows
from shopstep.tablet.ports import Bench

COLUMNS = 110
"""Letters that a row of the grid may have on a page of 1280 px; a narrower one turns it."""
Values = dict[str, Any]


def board_values(bench: Bench) -> Values:
    """All that the page needs of the board as of now, as JSON values."""
    try:
        ahead = bench.ahead()
    except PlanRefused:
        ahead = None
    board = board_of(bench.state, bench.plan, bench.now_s(), ahead)
    return {
        "progress": progress_rows(board),
        "batch": [[batch_words(cell, name), cell.status.value] for name, cell in board.batch],
        "grids": _grids(board),
        "signs": ", ".join(f"{sign} {meaning}" for sign, meaning in legend(board)),
        "sections": [[title, rows] for title, rows in section_rows(board)],
    }


def _grids(board: Board) -> list[Values]:
    return [
        {
            "span": grid.span,
            "heads": [head.strip() for head in grid.heads],
            "rows": [
                [row.head, [[text.strip(), status or ""] for text, status in row.cells]]
                for row in grid.rows
            ],
        }
        for grid in grids_of(board, COLUMNS)
    ]
