"""The board as the page shows it: the whole batch at a look, in the words and signs of every face.

Imports the board of ``present``.
"""

from __future__ import annotations

from typing import Any

from shopstep.model.plan import PlanRefused
from shopstep.present.board import Board, board_of
from shopstep.present.board_grid import grids_of, legend
from shopstep.present.board_text import batch_words, progress_rows, section_rows
from shopstep.present.face import Bench

WIDE = 20
"""Letters for each stage, more than any cell has: the page divides the table as its width asks."""
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
        "stages": list(board.stages),
        "rows": _rows(board),
        "signs": ", ".join(f"{sign} {meaning}" for sign, meaning in legend(board)),
        "sections": [[title, rows] for title, rows in section_rows(board)],
    }


def _rows(board: Board) -> list[list[Any]]:
    """Units that stand alike in front, then text and status of each of their stages."""
    (grid,) = grids_of(board, WIDE * (len(board.stages) + 1)) or (None,)
    if grid is None:
        return []
    return [
        [row.head, [[text.strip(), status or ""] for text, status in row.cells]]
        for row in grid.rows
    ]
