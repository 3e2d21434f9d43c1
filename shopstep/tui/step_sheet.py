"""The body of a step's card for a given size: what is drawn large, what shrinks, what is paged.

Imports the card, its pieces and ``stack``. No word of a number, a sentence, a caution or a check
ever goes: letters shrink first, then the words are spread over pages. While glue is open, the time
that is left is drawn larger than anything else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopstep.present.card import CardMode, StepCard
from shopstep.tui.big_type import first_of
from shopstep.tui.glyphs import tall_width
from shopstep.tui.letters import TALL_ROWS
from shopstep.tui.lines import EMPTY, Block, labelled
from shopstep.tui.reminders import caution_sizes, check_sizes
from shopstep.tui.stack import GAP, Fitted, Piece, fill_pages, fit_pieces
from shopstep.tui.step_pieces import (
    fastener_sizes,
    head_sizes,
    number_sizes,
    plate_sizes,
    sentence_sizes,
)
from shopstep.words import say, to_say

WIDEST_CLOCK, WIDEST_SPAN = "-00:00", "23 h 59 min"
SCALES = (4, 2, 1)
MOST_BAND_ROWS = 3
"""Timers in rows of their own, besides the one in tall digits."""
LEAST_FOR_TWO = 18
"""Rows from which a card takes two pages rather than show its numbers as running text."""
TEXT_NUMBERS = -2
"""Where the sizes of the numbers that are running text begin."""
LEAST_BESIDE_NUMBERS = 8
"""Rows of their page that they leave to the headline and the cautions."""
LEAST_BESIDE_CLOCK = 3
"""Rows that the words need before glue's time is drawn in tall digits."""
READ_THE_LOG = to_say("`shopstep log` prints it.")

CONCESSIONS = (
    ("band", 1),
    ("fasteners", 1),
    ("numbers", 1),
    ("head", 1),
    ("band", 2),
    ("sentence", 1),
    ("cautions", 1),
    ("checks", 1),
    ("parts", 1),
    (GAP, 1),
    ("head", 2),
    ("following", 1),
    ("numbers", 2),
    ("band", 3),
    ("plate", 1),
    ("fasteners", 2),
    ("numbers", 3),
    ("band", 4),
    ("numbers", 4),
    ("numbers", 5),
)
"""What gives way first, second, third… on a screen that is too small."""
WHILE_GLUE_IS_OPEN = (
    *((name, level) for name, level in CONCESSIONS if name != "band"),
    ("band", 1),
)
"""The same where the band is the time that is left: its digits do not shrink."""
IN_COMFORT = WHILE_GLUE_IS_OPEN[: WHILE_GLUE_IS_OPEN.index((GAP, 1))]
"""What may give way for the largest digits of all."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The body as rows, and how much the timer band under it gets."""

    rows: Block
    band_rows: int
    band_scale: int
    """Size of the tall digits of the nearest timer; 0 for none."""


@dataclass(frozen=True, slots=True)
class _Form:
    """One way to lay the card out."""

    scale: int
    """Tall digits of the open glue; 0 for none."""
    most_scale: int
    """Largest letters beside them."""
    concessions: tuple[tuple[str, int], ...]


def step_pages(card: StepCard, width: int, height: int, margin: int) -> list[Sheet]:
    """All pages of any card but a caution's, each at most ``height`` rows with the timer band."""
    card = _name_the_log(card)
    forms = _glue_forms(card, width, height) or [_Form(0, SCALES[0], CONCESSIONS)]
    for form in forms:
        band = _band_sizes(card, width, form.scale)
        pieces = [*_pieces(card, width, margin, form), Piece("band", band)]
        fitted = fit_pieces(pieces, form.concessions, height)
        if _is_whole(fitted, form):
            whole = [_one_sheet(card, width, fitted, form)]
            return _with_tall_numbers(card, fitted, width, height, margin, form) or whole
    return _paged(card, width, height, margin, forms[-1])


def _with_tall_numbers(
    card: StepCard, fitted: Fitted, width: int, height: int, margin: int, form: _Form
) -> list[Sheet]:
    """Two pages where one has no room for the numbers in tall digits; [] where none are lost.

    Not while glue is open, when nobody turns pages, nor on screens that are small anyway.
    """
    sizes = number_sizes(card, width, margin, form.most_scale)
    lost = dict(fitted.blocks).get("numbers") in sizes[TEXT_NUMBERS:]
    drawn = [
        size
        for size in sizes[:TEXT_NUMBERS]
        if size not in sizes[TEXT_NUMBERS:] and len(size) <= height - LEAST_BESIDE_NUMBERS
    ]
    if form.scale or height < LEAST_FOR_TWO or not lost or not drawn:
        return []
    pages = _paged(card, width, height, margin, form, drawn)
    return pages if len(pages) == 2 else []


def _name_the_log(card: StepCard) -> StepCard:
    if not card.mode.is_ended:
        return card
    return replace(card, sentence=f"{card.sentence} {say(READ_THE_LOG)}")


def clock_scales(width: int) -> list[int]:
    """In which sizes the time of open glue fits the width, the largest first."""
    return [scale for scale in SCALES if tall_width(WIDEST_CLOCK) * scale + 4 <= width]


def clock_rows(scale: int) -> int:
    """Rows of a clock in tall digits: 4, 7 or 14."""
    return -(-TALL_ROWS * scale // 2)


def glue_rows(scale: int) -> int:
    """The same with the bar of open glue under it, across the whole screen."""
    return clock_rows(scale) + 1


def _glue_forms(card: StepCard, width: int, height: int) -> list[_Form]:
    """Layouts with the time of open glue in tall digits, the largest first; [] without glue."""
    if not any(timer.is_most for timer in card.timers):
        return []
    return [
        _Form(scale, scale // 2, IN_COMFORT if scale == SCALES[0] else WHILE_GLUE_IS_OPEN)
        for scale in clock_scales(width)
        if glue_rows(scale) + LEAST_BESIDE_CLOCK <= height
    ]


def _is_whole(fitted: Fitted, form: _Form) -> bool:
    needed = len(fitted.blocks) - 1 if form.concessions == IN_COMFORT else 0
    return fitted.spare >= needed


def _pieces(card: StepCard, width: int, margin: int, form: _Form) -> list[Piece]:
    parts = ", ".join(card.parts)
    return [
        Piece("plate", plate_sizes(card, width)),
        Piece("head", head_sizes(card, width, margin, form.most_scale)),
        Piece("numbers", number_sizes(card, width, margin, form.most_scale)),
        Piece("cautions", caution_sizes(card.cautions, width, margin, card.done_count)),
        Piece("sentence", sentence_sizes(card.sentence, width, margin)),
        Piece("fasteners", fastener_sizes(card.fasteners, width, margin)),
        Piece("checks", check_sizes(card, width, margin)),
        Piece("parts", (labelled(say("in hand"), parts, width, margin), ())),
        Piece("following", (labelled("then", card.following, width, margin), ())),
    ]


def _one_sheet(card: StepCard, width: int, fitted: Fitted, form: _Form) -> Sheet:
    band = dict(fitted.blocks).get("band", ())
    rows = fitted.rows(has_lead=card.mode is CardMode.STEP)
    scale = form.scale or _wait_scale(card, len(band))
    return Sheet(rows[: len(rows) - len(band)], len(band), scale)


def _paged(
    card: StepCard,
    width: int,
    height: int,
    margin: int,
    form: _Form,
    numbers: Sequence[Block] = (),
) -> list[Sheet]:
    """Headline and numbers on every page, the words spread over as few pages as they need.

    Numbers that take most of a page stand on the first alone. They have one of the sizes that are
    given, any where none are.
    """
    band = len(_band_sizes(card, width, form.scale)[-1])
    if band >= height:
        band = 0
    pieces = {p.name: p.sizes for p in _pieces(card, width, margin, form)}
    words = [pieces[n][-1] for n in ("cautions", "sentence", "fasteners", "checks")]
    head = (*pieces["plate"][-1], *pieces["head"][-1])
    room = max(1, height - band)
    layouts = [
        _lay_pages((head, size), words, room, may_divide=may_divide)
        for may_divide in (False, True)
        for size in numbers or pieces["numbers"]
    ]
    best = min(layouts, key=len)
    return [Sheet(rows, band, form.scale if band else 0) for rows in best]


def _lay_pages(
    header: tuple[Block, ...], words: list[Block], room: int, *, may_divide: bool
) -> list[Block]:
    """Pages under the header; where that leaves no room, it stands on the first ones alone.

    Its headline then stands on the others where they have room for it.
    """
    header = tuple(shown for shown in header if shown)
    taken = sum(len(shown) for shown in header)
    if taken > room // 2:
        pages = fill_pages([*header, *words], room, may_divide=may_divide)
        pages = [pages[0], *(_under(header[:1], page, room) for page in pages[1:])]
    else:
        pages = [
            [*header, *page] for page in fill_pages(words, room - taken, may_divide=may_divide)
        ]
    return [_space_out(page, room) for page in pages]


def _under(head: tuple[Block, ...], page: list[Block], room: int) -> list[Block]:
    with_head = [*head, *page]
    return with_head if sum(len(shown) for shown in with_head) <= room else page


def _space_out(blocks: list[Block], room: int) -> Block:
    named = tuple(("", shown) for shown in blocks)
    return Fitted(named, room - sum(len(shown) for shown in blocks)).rows()


def _band_sizes(card: StepCard, width: int, scale: int) -> tuple[Block, ...]:
    """Empty rows that keep the place of the timer band, which is drawn by its own widget."""
    count = len(card.timers)
    if not count:
        return ((),)
    others = min(MOST_BAND_ROWS, count - 1)
    if scale:
        return ((EMPTY,) * (glue_rows(scale) + others), (EMPTY,) * glue_rows(scale))
    rows: Block = (EMPTY,) * min(MOST_BAND_ROWS, count)
    if card.mode is not CardMode.WAITING:
        return (rows, rows, rows, rows, (EMPTY,))
    widest = tall_width(WIDEST_SPAN)
    drawn = [
        (EMPTY,) * (clock_rows(scale) + others) if widest * scale + 4 <= width else None
        for scale in SCALES
    ]
    return first_of(*drawn, rows, (EMPTY,))


def _wait_scale(card: StepCard, rows: int) -> int:
    """The size of a wait's tall digits in so many rows; 0 where they have none."""
    if card.mode is not CardMode.WAITING:
        return 0
    others = min(MOST_BAND_ROWS, len(card.timers) - 1)
    return next((scale for scale in SCALES if rows == clock_rows(scale) + others), 0)
