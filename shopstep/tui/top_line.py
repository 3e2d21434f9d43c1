"""The head of the screen: unit, pencil mark, step n of N, clock.

Imports the card, ``glyphs`` and ``lines``.
"""

from __future__ import annotations

from shopstep.present.card import StepCard
from shopstep.tui.glyphs import can_draw, tall
from shopstep.tui.lines import EMPTY, Block, Line, Span
from shopstep.tui.theme import Role
from shopstep.words import say

TALL_FROM_HEIGHT = 48


def top_rows(card: StepCard, clock: str, width: int, height: int, margin: int) -> Block:
    """One row of text, or tall letters on a screen with very many rows."""
    if height >= TALL_FROM_HEIGHT and (large := _tall_rows(card, clock, width, margin)):
        return (*large, EMPTY)
    return (_top_line(card, clock, width, margin),)


def title_line(title: str, far: tuple[str, ...], clock: str, width: int, margin: int) -> Line:
    """The head of a page: its title on a plate, the longest of ``far`` that fits, the clock."""
    plate = Span(f" {title.upper()} ", Role.CHIP)
    room = width - 2 * margin - len(plate.text) - len(clock) - 1
    words = next((text for text in far if len(text) + 2 <= room), "")
    return _put_clock([plate, Span(f"  {words}")] if words else [plate], clock, width, margin)


def _top_line(card: StepCard, clock: str, width: int, margin: int) -> Line:
    """What fits of it, the clock always at the right end."""
    choices = (_left_spans(card), _left_spans(card, True), _left_spans(card, True, False))
    for left in choices:
        if _width(left) + len(clock) + 2 * margin + 1 <= width:
            return _put_clock(left, clock, width, margin)
    first = choices[-1][0]
    room = max(1, width - len(clock) - 2 * margin - 1)
    words = first.text if len(first.text) <= room else f"{first.text[: room - 1].rstrip()}…"
    return _put_clock([Span(words, first.role)], clock, width, margin)


def _put_clock(left: list[Span], clock: str, width: int, margin: int) -> Line:
    spare = max(1, width - _width(left) - len(clock) - 2 * margin)
    return Line((Span(" " * margin), *left, Span(" " * spare), Span(clock, Role.STRONG)))


def _tall_rows(card: StepCard, clock: str, width: int, margin: int) -> Block | None:
    """The same in tall letters; None where it does not fit."""
    choices = (_left_spans(card, True, has_mark) for has_mark in (True, False))
    return next((drawn for s in choices if (drawn := _draw_tall(s, clock, width, margin))), None)


def _draw_tall(spans: list[Span], clock: str, width: int, margin: int) -> Block | None:
    if not all(can_draw(span.text) for span in spans):
        return None
    columns = [(tall(span.text), span.role) for span in spans]
    rows = [[Span(drawn[y], role) for drawn, role in columns] for y in range(len(tall(clock)))]
    if _width(rows[0]) + len(tall(clock)[0]) + 2 * margin + 2 > width:
        return None
    return tuple(
        _put_clock(row, clock_row, width, margin)
        for row, clock_row in zip(rows, tall(clock), strict=True)
    )


def _width(spans: list[Span]) -> int:
    return sum(len(span.text) for span in spans)


def _left_spans(card: StepCard, is_short: bool = False, has_mark: bool = True) -> list[Span]:
    """Unit, what to pencil on the wood, and how far the batch has come."""
    gap = Span("  " if is_short else "    ")
    spans = [Span(card.unit, Role.STRONG)] if card.unit else []
    if card.mark and has_mark:
        spans += [gap, Span(say(" mark {mark} ", mark=card.mark), Role.CHIP)]
    here = min(card.done_count + 1, card.total_count)
    if card.mode.is_ended:
        here = card.done_count
    step = (
        f"{here}/{card.total_count}"
        if is_short
        else say("step {here} of {total_count}", here=here, total_count=card.total_count)
    )
    spans += [gap, Span(step)] if spans else [Span(step)]
    if card.hearing != "off":
        spans += [gap, Span(say("hearing: {hearing}", hearing=card.hearing), Role.QUIET)]
    return spans
