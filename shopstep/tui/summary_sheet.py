"""Where the work stands, for a given size: what was confirmed last and what is next drawn large.

Imports the summary, ``big_type`` and ``stack``. No word of it ever goes: letters shrink first, then
the rows are spread over pages.
"""

from __future__ import annotations

from shopstep.present.summary import NOTHING_DONE, Summary
from shopstep.tui.big_type import first_of, large_text, plate, tall_block
from shopstep.tui.lines import (
    WIDEST_TEXT,
    Block,
    Line,
    Span,
    fold_block,
    labelled,
    line,
)
from shopstep.tui.stack import GAP, Piece, fit_pieces, spread_blocks
from shopstep.tui.theme import Role
from shopstep.words import say, to_say

TITLE = to_say("Where are we")
CONCESSIONS = (
    ("plate", 1),
    *((name, 1) for name in ("last", "following", "units", "standing", "aside", "waits")),
    ("last", 2),
    (GAP, 1),
    ("following", 2),
)
"""What gives way first, second, third… on a screen that is too small."""


def summary_pages(told: Summary, width: int, height: int, margin: int) -> list[Block]:
    """All pages, each at most ``height`` rows, its title on top."""
    pieces = [
        Piece("plate", first_of(plate(say(TITLE), width, Role.CHIP), _title(""))),
        Piece("last", _step_sizes(*_last_words(told), width, margin)),
        Piece("following", _step_sizes(*_next_words(told), width, margin)),
        Piece("waits", _row_sizes(_wait_rows(told), width, margin)),
        Piece(
            "aside", _row_sizes([(say("set aside"), words) for words in told.aside], width, margin)
        ),
        Piece("standing", _row_sizes([("", told.standing)], width, margin)),
        Piece("units", _row_sizes([("", words) for words in told.units], width, margin)),
    ]
    fitted = fit_pieces(pieces, CONCESSIONS, height)
    if not fitted.is_cut:
        return [fitted.rows()]
    return _paged(pieces, height)


def _paged(pieces: list[Piece], height: int) -> list[Block]:
    """The smallest renderings, each row of words whole on one page where it can be."""
    blocks = [piece.sizes[-1] for piece in pieces[1:] if piece.sizes[-1]]
    pages = spread_blocks(blocks, max(1, height - 2))
    return [
        (*_title(f" {number}/{len(pages)}"), line(""), *(row for rows in page for row in rows))
        for number, page in enumerate(pages, 1)
    ]


def _title(count: str) -> Block:
    return (Line((Span(f"  {say(TITLE).upper()}{count}", Role.CHIP),), Role.CHIP),)


def _last_words(told: Summary) -> tuple[str, str]:
    if not told.last:
        return say("last done"), say(NOTHING_DONE)
    return say("last done, at {last_at}", last_at=told.last_at), told.last


def _next_words(told: Summary) -> tuple[str, str]:
    if not told.following:
        return "", ""
    return say("next, {following_note}", following_note=told.following_note), told.following


def _wait_rows(told: Summary) -> list[tuple[str, str]]:
    """What runs by the hour; open glue runs by the second and stands above the page."""
    return [(say("since {since}", since=each.since), each.words) for each in told.waits]


def _step_sizes(label: str, headline: str, width: int, margin: int) -> tuple[Block, ...]:
    """A step's headline under its label: two cells to a pixel, one, then bold."""
    if not headline:
        return ((),)
    above = fold_block(label, min(width, WIDEST_TEXT), Role.QUIET, margin)
    drawn = [
        tall_block(headline, width, Role.HEAD, margin=margin, scale=scale, most=most)
        for scale, most in ((2, 1), (1, 2))
    ]
    bold = fold_block(headline, min(width, WIDEST_TEXT), Role.HEAD, margin)
    return first_of(*((*above, *rows) if rows else None for rows in drawn), (*above, *bold))


def _row_sizes(rows: list[tuple[str, str]], width: int, margin: int) -> tuple[Block, ...]:
    """Labels with their words: tall letters on a very large screen, else running text."""
    if not rows:
        return ((),)
    drawn = [
        large_text(f"{label} {words}".strip(), width, margin, Role.TEXT) for label, words in rows
    ]
    tall = tuple(row for block in drawn if block for row in (line(""), *block))[1:]
    plain = tuple(
        row
        for label, words in rows
        for row in (
            labelled(label, words, width, margin)
            if label
            else fold_block(words, min(width, WIDEST_TEXT), Role.TEXT, margin)
        )
    )
    return first_of(tall if all(drawn) else None, plain)
