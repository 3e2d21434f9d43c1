"""The parts of a step's card, each from its roomiest rendering down to its smallest.

Imports the card, ``big_type`` and ``lines``. A width and a margin go in, blocks come out.
"""

from __future__ import annotations

from shopstep.present.card import CardMode, CardNumber, StepCard
from shopstep.tui.big_type import first_of, large_text, number_block, plate, tall_block
from shopstep.tui.lines import (
    EMPTY,
    WIDEST_TEXT,
    Block,
    Line,
    Span,
    block,
    fold,
    fold_block,
    labelled,
)
from shopstep.tui.theme import Role
from shopstep.words import say, to_say

PLATES = to_say(
    {
        CardMode.HELD: "On hold",
        CardMode.WAITING: "Waiting",
        CardMode.COMPLETE: "Complete",
        CardMode.STOPPED: "Stopped",
    }
)


def plate_sizes(card: StepCard, width: int) -> tuple[Block, ...]:
    """What kind of card it is, where it is no step."""
    text = say(PLATES.get(card.mode, ""))
    if not text:
        return ((),)
    small = (Line((Span(f"  {text.upper()}", Role.CHIP),), Role.CHIP),)
    return first_of(plate(text, width, Role.CHIP), small)


def head_sizes(card: StepCard, width: int, margin: int, most_scale: int) -> tuple[Block, ...]:
    """Two cells to a pixel, one, then bold rows; none larger than ``most_scale``."""
    if card.headline.casefold() == say(PLATES.get(card.mode, "")).casefold():
        return ((),)
    bold = fold_block(card.headline, min(width, WIDEST_TEXT), Role.HEAD, margin)
    if card.mode is not CardMode.STEP:
        return (bold,)
    drawn = [
        tall_block(card.headline, width, Role.HEAD, margin=margin, scale=scale, most=most)
        if scale <= most_scale
        else None
        for scale, most in ((2, 1), (1, 2))
    ]
    return first_of(*drawn, bold)


def shown_numbers(card: StepCard) -> tuple[CardNumber, ...]:
    """The numbers to draw large; a step that has none but checks one shows what it checks."""
    if card.numbers:
        return card.numbers
    for check in card.checks:
        if check.expected_nm is not None:
            wanted = say("planned {tolerance}", tolerance=check.tolerance).strip()
            read = (CardNumber("measured", check.measured, ""),) if check.measured else ()
            return (CardNumber(wanted, check.expected, ""), *read)
    return ()


def number_sizes(card: StepCard, width: int, margin: int, most_scale: int) -> tuple[Block, ...]:
    """Four, two and one cell to a pixel; then with the unit in the label; then bold rows."""
    numbers = shown_numbers(card)
    if not numbers:
        return ((),)
    drawn = [
        number_block(numbers, width, scale, margin) if scale <= most_scale else None
        for scale in (4, 2, 1)
    ]
    bare = None
    if most_scale:
        bare = number_block([label_unit(n) for n in numbers], width, 1, margin)
    rows = [row for n in numbers for row in fold(f"{n.text}  {n.label}", width - 2 * margin)]
    texts = ", ".join(f"{n.text} {n.label}" for n in numbers)
    least = fold_block(texts, width, Role.NUMBER, margin)
    return first_of(*drawn, bare, block(rows, Role.NUMBER, margin), least)


def label_unit(number: CardNumber) -> CardNumber:
    """The number with its unit beside the label instead of behind the digits."""
    value, _, unit = number.text.rpartition(" ")
    if unit not in ("in", "mm"):
        return number
    return CardNumber(f"{number.label}, {unit}", value, number.spoken)


def sentence_sizes(text: str, width: int, margin: int) -> tuple[Block, ...]:
    """Tall letters on a very large screen, else running text; never a part of it."""
    if not text:
        return ((),)
    plain = fold_block(text, min(width, WIDEST_TEXT), Role.TEXT, margin)
    return first_of(large_text(text, width, margin, Role.TEXT), plain)


def fastener_sizes(fasteners: tuple[str, ...], width: int, margin: int) -> tuple[Block, ...]:
    """One fastener to a line, then all in one text."""
    if not fasteners:
        return ((),)
    drawn = [
        large_text(say("use {each}", each=each), width, margin, Role.TEXT) for each in fasteners
    ]
    large = tuple(row for each in drawn if each for row in (*each, EMPTY))[:-1]
    loose = tuple(row for each in fasteners for row in labelled("use", each, width, margin))
    tight = labelled("use", "; ".join(fasteners), width, margin)
    return first_of(large if all(drawn) else None, loose, tight)
