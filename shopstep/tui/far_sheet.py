"""The body of a step's card for reading from two steps away: verb and numbers as large as fit.

Imports the card, its pieces and ``stack``. The first page belongs to what is read from afar: the
verb, the numbers, the nearest timer. The words stand below where that costs no size, else on pages
of their own: none ever goes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from shopstep.present.card import CardMode, CardNumber, StepCard
from shopstep.tui.big_type import number_block, tall_block
from shopstep.tui.glyphs import tall_width
from shopstep.tui.letters import TALL_ROWS
from shopstep.tui.lines import EMPTY, WIDEST_TEXT, Block, fold_block, labelled
from shopstep.tui.reminders import caution_sizes, check_sizes
from shopstep.tui.stack import Fitted, spread_blocks
from shopstep.tui.step_pieces import fastener_sizes, label_unit, sentence_sizes, shown_numbers
from shopstep.tui.step_sheet import WIDEST_SPAN, Sheet, clock_scales, glue_rows, step_pages
from shopstep.tui.theme import Role
from shopstep.words import say

FAR_SCALES = (8, 6, 4, 2, 1)
"""Cells to a pixel; a stacked fraction asks for even ones."""
MOST_HEAD_ROWS = 2


@dataclass(frozen=True, slots=True)
class _Choice:
    """One way to draw what is read from afar."""

    head: Block
    head_rank: tuple[int, int]
    """Whether any of it is tall and whether all of it is; then its scale."""
    numbers: Block
    number_scale: int
    band_rows: int
    band_scale: int

    @property
    def rows(self) -> int:
        """Rows of all, without gaps."""
        return len(self.head) + len(self.numbers) + self.band_rows

    def blocks(self) -> list[Block]:
        """What stands above the timers."""
        return [block for block in (self.head, self.numbers) if block]

    def rank(self) -> tuple[object, ...]:
        """Better ones are greater: all readable first, then the numbers' size, then the verb's."""
        return (
            self.number_scale > 0,
            self.band_scale > 0,
            self.head_rank[0] > 0,
            self.number_scale,
            self.head_rank,
            self.band_scale,
        )


def far_pages(card: StepCard, width: int, height: int, margin: int) -> list[Sheet]:
    """All pages of a step's card in distance view; other cards are the same in both views."""
    if card.mode is not CardMode.STEP:
        return step_pages(card, width, height, margin)
    chosen = _choose_pages(card, width, height, margin)
    if not chosen:
        return step_pages(card, width, height, margin)
    pages = [_sheet(page.blocks(), height, page) for page in chosen[:-1]]
    last = chosen[-1]
    words = _words(card, width, margin)
    shown = [*last.blocks(), *words]
    if sum(len(block) for block in shown) + len(shown) - 1 <= height - last.band_rows:
        return [*pages, _sheet(shown, height, last)]
    return [
        *pages,
        _sheet(last.blocks(), height, last),
        *_word_pages(card, words, (width, height, margin), last),
    ]


def _choose_pages(card: StepCard, width: int, height: int, margin: int) -> list[_Choice]:
    """What is read from afar, on one page; on several where the numbers would not be tall."""
    pages: list[_Choice] = []
    left = shown_numbers(card)
    while left or not pages:
        for count in range(max(1, len(left)), 0, -1):
            tried = _choices(card, left[:count], width, height, margin)
            page = max(tried, key=_Choice.rank, default=None)
            if page is not None and (page.number_scale or count <= 1):
                break
        else:
            return []
        pages.append(page)
        left = left[count:]
    return pages


def _word_pages(
    card: StepCard, words: list[Block], size: tuple[int, int, int], chosen: _Choice
) -> list[Sheet]:
    """The words under the bold headline."""
    width, height, margin = size
    bold = fold_block(card.headline, min(width, WIDEST_TEXT), Role.HEAD, margin)
    band = min(1, len(card.timers)) if not _open_glue(card) else chosen.band_rows
    if height - band - len(bold) < 3:
        band = 0
    scale = chosen.band_scale if band == chosen.band_rows else 0
    return [
        Sheet(_spaced([bold, *page], height - band), band, scale)
        for page in spread_blocks(words, max(1, height - band - len(bold)))
    ]


def _choices(
    card: StepCard, numbers: tuple[CardNumber, ...], width: int, height: int, margin: int
) -> Iterator[_Choice]:
    """All that fit the height."""
    heads = list(_heads(card.headline, width, margin))
    drawn = list(_number_blocks(numbers, width, margin))
    bands = list(_bands(card, width))
    for (head, rank), (block, scale), (rows, band_scale) in product(heads, drawn, bands):
        choice = _Choice(head, rank, block, scale, rows, band_scale)
        gaps = bool(head) + bool(block) + bool(rows) - 1
        if choice.rows + (gaps if scale > 1 else 0) <= height:
            yield choice


def _heads(headline: str, width: int, margin: int) -> Iterator[tuple[Block, tuple[int, int]]]:
    """The whole headline in tall letters, its verb alone over the whole in bold, bold alone."""
    bold = fold_block(headline, min(width, WIDEST_TEXT), Role.HEAD, margin)
    verb = headline.split()[0]
    for scale in FAR_SCALES:
        whole = tall_block(
            headline, width, Role.HEAD, margin=margin, scale=scale, most=MOST_HEAD_ROWS
        )
        if whole:
            yield whole, (2, scale)
        first = tall_block(verb, width, Role.HEAD, margin=margin, scale=scale)
        if first:
            yield (*first, *bold), (1, scale)
    yield bold, (0, 0)


def _number_blocks(
    numbers: tuple[CardNumber, ...], width: int, margin: int
) -> Iterator[tuple[Block, int]]:
    if not numbers:
        yield (), 1
        return
    for scale in FAR_SCALES:
        drawn = number_block(numbers, width, scale, margin)
        if drawn:
            yield drawn, scale
    bare = number_block([label_unit(n) for n in numbers], width, 1, margin)
    if bare:
        yield bare, 1
    texts = ", ".join(f"{n.text} {n.label}" for n in numbers)
    yield fold_block(texts, width, Role.NUMBER, margin), 0


def _bands(card: StepCard, width: int) -> Iterator[tuple[int, int]]:
    """Rows of the timers and the scale of the nearest one's digits."""
    if not card.timers:
        yield 0, 1
        return
    if _open_glue(card):
        for scale in clock_scales(width):
            yield glue_rows(scale), scale
    else:
        for scale in (2, 1):
            if tall_width(_widest_span(card)) * scale + 4 <= width:
                yield -(-TALL_ROWS * scale // 2), scale
    yield 1, 0


def _widest_span(card: StepCard) -> str:
    """The widest words that any wait of the card counts down through."""
    longest = max(timer.due_s - timer.started_s for timer in card.timers)
    if longest < 3600:
        return "59 min"
    return "9 h 59 min" if longest < 36000 else WIDEST_SPAN


def _open_glue(card: StepCard) -> bool:
    return any(timer.is_most for timer in card.timers)


def _words(card: StepCard, width: int, margin: int) -> list[Block]:
    """All that is read from near."""
    blocks = (
        caution_sizes(card.cautions, width, margin, card.done_count)[-1],
        sentence_sizes(card.sentence, width, margin)[-1],
        fastener_sizes(card.fasteners, width, margin)[-1],
        check_sizes(card, width, margin)[-1],
        labelled(say("in hand"), ", ".join(card.parts), width, margin),
    )
    return [block for block in blocks if block]


def _sheet(blocks: list[Block], height: int, chosen: _Choice) -> Sheet:
    rows = _spaced(blocks, height - chosen.band_rows)
    return Sheet(rows, chosen.band_rows, chosen.band_scale if chosen.band_rows else 0)


def _spaced(blocks: list[Block], room: int) -> Block:
    taken = sum(len(block) for block in blocks)
    rows = Fitted(tuple(("", block) for block in blocks), room - taken).rows(has_lead=True)
    return rows or (EMPTY,)
