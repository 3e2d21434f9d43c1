"""The board for a given size: the grid first, then the lists, on as many pages as they need.

Imports the board, its grid and ``stack``. No word of it goes: what does not fit is on another page.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopstep.present.board import Board
from shopstep.present.board_grid import SIGNS, Grid, GridRow, grids_of, legend
from shopstep.present.board_text import batch_words, progress_rows, section_rows
from shopstep.present.moments import local_time
from shopstep.session.statuses import Status
from shopstep.tui.big_type import large_text
from shopstep.tui.lines import EMPTY, WIDEST_TEXT, Block, Line, Span, block, fold, fold_block, line
from shopstep.tui.stack import fill_pages
from shopstep.tui.theme import Role
from shopstep.tui.top_line import title_line
from shopstep.words import say, to_say

TITLE = to_say("Board")
CELL_ROLES = {
    Status.DONE: Role.QUIET,
    Status.AT_BENCH: Role.FOCUS,
    Status.HELD: Role.FOCUS,
    Status.READY: Role.STRONG,
    Status.WAITING: Role.TEXT,
    Status.SET_ASIDE: Role.HALF,
    Status.AGAIN: Role.NOTICE,
    Status.AHEAD: Role.QUIET,
}
TITLE_GAP_FROM = 14
"""Rows from which an empty one stands under the title."""
BATCH_ROWS = 2
"""Rows that the names of all stages of the whole batch may take."""
AIRY_FROM = 30
"""On screens with so many rows an empty one stands between two units, where all fits so."""


def board_pages(board: Board, width: int, height: int, margin: int) -> list[Block]:
    """All pages, each at most ``height`` rows, their title on top."""
    gap = (EMPTY,) * (height >= TITLE_GAP_FROM)
    room = max(1, height - 1 - len(gap))
    drawn = _lay_out(board, width, room, margin, is_large=True)
    pages = drawn if len(drawn) == 1 else _lay_out(board, width, room, margin, is_large=False)
    count = len(pages)
    return [
        (_title(board, width, margin, number, count), *gap, *page)
        for number, page in enumerate(pages, 1)
    ]


def _lay_out(board: Board, width: int, room: int, margin: int, *, is_large: bool) -> list[Block]:
    """Blocks with an empty row between them, on pages; a list is divided between two entries."""
    is_large = is_large and room >= AIRY_FROM
    blocks: list[Block] = []
    for piece in _pieces(board, width, room, margin, is_large=is_large):
        blocks += piece
    pages = fill_pages(blocks, room, may_divide=False)
    return [_trim(tuple(row for rows in page for row in rows)) for page in pages]


def _trim(rows: Block) -> Block:
    """Without empty rows at its ends."""
    start = next((n for n, row in enumerate(rows) if row.text.strip()), 0)
    end = next((n for n, row in enumerate(reversed(rows)) if row.text.strip()), 0)
    return rows[start : len(rows) - end]


def _pieces(
    board: Board, width: int, room: int, margin: int, *, is_large: bool
) -> list[list[Block]]:
    """Each piece as blocks that are kept whole where they can be."""
    batch = [_batch(board, width, margin)] if board.batch else []
    is_made = all(cell.status is Status.DONE for _, cell in board.batch)
    grids = [
        part
        for grid in grids_of(board, width - 2 * margin)
        for part in _grid_parts(grid, room, margin, is_airy=is_large)
    ]
    signs = [_legend(board, width, margin)]
    lists = [_list(title, rows, width, margin) for title, rows in section_rows(board)]
    progress = [_progress(board, width, margin, is_large=is_large)]
    front = [grids, signs] if is_made else [batch, grids, signs]
    return [*front, *lists, progress, *([batch] if is_made else [])]


def _title(board: Board, width: int, margin: int, number: int, count: int) -> Line:
    """The title, how far the batch is, and the clock at the right end, as on the bench."""
    page = f"{say(TITLE)} {number}/{count}" if count > 1 else say(TITLE)
    done, total = board.done, board.total
    far = (
        say(
            "{done} of {total} steps done, {status}",
            done=done,
            total=total,
            status=say(board.status.value),
        ),
        f"{done}/{total}",
    )
    return title_line(page, far, local_time(board.now_s, board.zone), width, margin)


def _grid_parts(grid: Grid, room: int, margin: int, *, is_airy: bool) -> list[Block]:
    """The rows of a grid under their heads; as many parts as pages need, the heads on each."""
    lead = " " * margin
    heads = tuple(
        Line((Span(f"{lead}{unit.ljust(grid.first_width)}{names}", Role.QUIET),))
        for unit, names in zip(("unit", ""), grid.head_lines, strict=False)
    )
    top: Block = (line(grid.span.capitalize(), Role.QUIET, margin), *heads) if grid.span else heads
    each = max(1, room - len(top) - 1)
    rows = [_grid_row(row, grid, lead) for row in grid.rows]
    if is_airy and 2 * len(rows) <= each:
        rows = [part for row in rows for part in (EMPTY, row)]
    return [(*top, *rows[at : at + each], EMPTY) for at in range(0, len(rows), each)]


def _grid_row(row: GridRow, grid: Grid, lead: str) -> Line:
    spans = [Span(f"{lead}{row.head.ljust(grid.first_width)}", Role.STRONG)]
    for text, status in row.cells:
        bare = text.rstrip()
        role = CELL_ROLES[status] if status is not None else Role.TEXT
        spans += [Span(bare, role), Span(" " * (len(text) - len(bare)))]
    return Line(tuple(span for span in spans if span.text))


def _batch(board: Board, width: int, margin: int) -> Block:
    """Stages of the whole batch in running order, each with its sign.

    Where that takes many rows, those that are done are only counted.
    """
    inner = width - 2 * margin
    spans = [Span(batch_words(c, name), CELL_ROLES[c.status]) for name, c in board.batch]
    rows = _flow(spans, inner)
    if len(rows) > BATCH_ROWS:
        left = [(name, cell) for name, cell in board.batch if cell.status is not Status.DONE]
        count = len(board.batch) - len(left)
        named = [Span(batch_words(c, name), CELL_ROLES[c.status]) for name, c in left]
        done = Span(
            say("{signs} {count} stages done", signs=SIGNS[Status.DONE], count=count), Role.QUIET
        )
        rows = _flow([done, *named] if count else named, inner)
    lead = (Span(" " * margin),) if margin else ()
    return (
        line(say("Whole batch"), Role.QUIET, margin),
        *(Line((*lead, *row)) for row in rows),
        EMPTY,
    )


def _flow(spans: list[Span], width: int) -> list[list[Span]]:
    """Spans in rows, two cells apart."""
    rows: list[list[Span]] = [[]]
    for span in spans:
        used = sum(len(each.text) for each in rows[-1])
        if rows[-1] and used + len(span.text) + 2 > width:
            rows.append([])
        rows[-1] += [Span("  "), span] if rows[-1] else [span]
    return rows


def _legend(board: Board, width: int, margin: int) -> Block:
    signs = ",  ".join(f"{sign}\xa0{meaning}" for sign, meaning in legend(board))
    rows = [row.replace("\xa0", " ") for row in fold(signs, width - 2 * margin)]
    return (*block(rows, Role.QUIET, margin), EMPTY)


def _list(title: str, entries: Sequence[str], width: int, margin: int) -> list[Block]:
    """The title with its first entry, then the entries; long ones are folded further in."""
    inner = min(width, WIDEST_TEXT) - 2 * margin - 2
    shown = [
        tuple(line(row, Role.TEXT, margin + (2 if at else 0)) for at, row in enumerate(rows))
        for rows in (fold(entry, inner) for entry in entries)
    ]
    head = line(title, Role.HEAD, margin)
    blocks = [(head, *shown[0]), *shown[1:]]
    return [*blocks[:-1], (*blocks[-1], EMPTY)]


def _progress(board: Board, width: int, margin: int, *, is_large: bool) -> Block:
    rows = progress_rows(board)
    drawn = [large_text(row, width, margin, Role.TEXT) for row in rows] if is_large else [None]
    if all(drawn):
        return tuple(row for shown in drawn if shown for row in (*shown, EMPTY))
    folded = [fold_block(row, min(width, WIDEST_TEXT), Role.TEXT, margin) for row in rows]
    return (*(row for shown in folded for row in shown), EMPTY)
