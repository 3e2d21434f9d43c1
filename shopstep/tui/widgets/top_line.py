"""The first row: unit, pencil mark, step n of N, clock.

Imports the card and ``lines``.
"""

from __future__ import annotations

from shopstep.present.card import CardMode, StepCard
from shopstep.tui.lines import Line, Span
from shopstep.tui.theme import Role


def top_line(card: StepCard, clock: str, width: int, margin: int) -> Line:
    """What fits of it, the clock always at the right end."""
    for is_short in (False, True):
        left = _left_spans(card, is_short)
        used = sum(len(span.text) for span in left)
        if used + len(clock) + 2 * margin + 1 <= width:
            break
    else:
        left = _left_spans(card, True)[:1]
        used = sum(len(span.text) for span in left)
    spare = max(1, width - used - len(clock) - 2 * margin)
    clock_spans = (Span(" " * spare), Span(clock, Role.STRONG))
    return Line((Span(" " * margin), *left, *clock_spans))


def _left_spans(card: StepCard, is_short: bool) -> list[Span]:
    gap = Span("  " if is_short else "    ")
    spans = [Span(card.unit, Role.STRONG)] if card.unit else []
    if card.mark:
        spans += [gap, Span(f" {card.mark} ", Role.CHIP)]
    here = min(card.done_count + 1, card.total_count)
    if card.mode is CardMode.COMPLETE:
        here = card.done_count
    step = f"{here}/{card.total_count}" if is_short else f"step {here} of {card.total_count}"
    spans += [gap, Span(step)] if spans else [Span(step)]
    if card.hearing != "off":
        spans += [gap, Span(f"hearing: {card.hearing}", Role.QUIET)]
    return spans
