"""The body of a step's card for a given size: what is drawn large, what shrinks, what goes.

Imports the card, its pieces and ``stack``. Numbers, cautions and checks never go.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.present.card import CardMode, StepCard
from shopstep.tui.big_type import first_of
from shopstep.tui.glyphs import tall_width
from shopstep.tui.letters import TALL_ROWS
from shopstep.tui.lines import EMPTY, Block, fold_block, labelled
from shopstep.tui.reminders import caution_sizes, check_rows
from shopstep.tui.stack import GAP, Piece, fit_pieces
from shopstep.tui.step_pieces import (
    fastener_sizes,
    head_sizes,
    number_sizes,
    plate_sizes,
    sentence_sizes,
)
from shopstep.tui.theme import Role

WIDEST_CLOCK, WIDEST_SPAN = "-00:00", "23 h 59 min"
WHOLE_SENTENCE = ("sentence", 1)
"""What is not part of the work stands there only while the sentence is not shortened."""
MOST_BAND_ROWS = 3
"""Timers in rows of their own, besides the one in tall digits."""
REST_UNDER_MORE = "… the whole text is under More"

CONCESSIONS = (
    ("band", 1),
    ("fasteners", 1),
    ("numbers", 1),
    ("head", 1),
    ("band", 2),
    ("sentence", 1),
    ("cautions", 1),
    ("parts", 1),
    (GAP, 1),
    ("head", 2),
    ("following", 1),
    ("band", 3),
    ("numbers", 2),
    ("cautions", 2),
    ("plate", 1),
    ("numbers", 3),
    ("fasteners", 2),
    ("sentence", 2),
    ("band", 4),
    ("cautions", 3),
    ("numbers", 4),
    ("sentence", 3),
    ("cautions", 4),
    ("sentence", 4),
    ("head", 3),
    ("numbers", 5),
    ("head", 4),
)
"""What gives way first, second, third… on a screen that is too small."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The body as rows, and how much the timer band under it gets."""

    rows: Block
    band_rows: int
    band_scale: int
    """Size of the tall digits of the nearest timer; 0 for none."""


def arrange_step(card: StepCard, width: int, height: int, margin: int) -> Sheet:
    """Rows for every card but a caution's, at most ``height`` with the timer band."""
    parts = ", ".join(card.parts)
    pieces = [
        Piece("plate", plate_sizes(card, width)),
        Piece("head", head_sizes(card, width, margin)),
        Piece("numbers", number_sizes(card, width, margin)),
        Piece("cautions", caution_sizes(card.cautions, width, margin)),
        Piece("sentence", sentence_sizes(card.sentence, width, margin)),
        Piece("fasteners", fastener_sizes(card.fasteners, width, margin)),
        Piece("checks", (check_rows(card.checks, width, margin),)),
        Piece("parts", (labelled("in hand", parts, width, margin), ()), WHOLE_SENTENCE),
        Piece("following", (labelled("then", card.following, width, margin), ()), WHOLE_SENTENCE),
        Piece("band", _band_sizes(card, width)),
    ]
    fitted = fit_pieces(pieces, CONCESSIONS, height)
    band = dict(fitted.blocks).get("band", ())
    rows = fitted.rows(has_lead=card.mode is CardMode.STEP)
    if fitted.is_cut:
        room = max(0, height - len(band) - 1)
        rest = fold_block(REST_UNDER_MORE, width, Role.QUIET, margin)[:1]
        return Sheet((*rows[:room], *rest), len(band), _band_scale(card, len(band)))
    return Sheet(rows[: len(rows) - len(band)], len(band), _band_scale(card, len(band)))


def _band_sizes(card: StepCard, width: int) -> tuple[Block, ...]:
    """Empty rows that keep the place of the timer band, which is drawn by its own widget."""
    count = len(card.timers)
    if not count:
        return ((),)
    rows: Block = (EMPTY,) * min(MOST_BAND_ROWS, count)
    is_pressing = any(timer.is_most for timer in card.timers)
    if card.mode is not CardMode.WAITING and not is_pressing:
        return (rows, rows, rows, rows, (EMPTY,))
    widest = tall_width(WIDEST_CLOCK if is_pressing else WIDEST_SPAN)
    tall = [
        (EMPTY,) * (clock_rows(scale) + _others(card)) if widest * scale + 4 <= width else None
        for scale in (4, 2, 1)
    ]
    return first_of(*tall, rows, (EMPTY,))


def clock_rows(scale: int) -> int:
    """Rows of a clock in tall digits: 4, 7 or 14."""
    return -(-TALL_ROWS * scale // 2)


def _others(card: StepCard) -> int:
    return min(MOST_BAND_ROWS, len(card.timers) - 1)


def _band_scale(card: StepCard, rows: int) -> int:
    return next((s for s in (4, 2, 1) if rows == clock_rows(s) + _others(card)), 0)
