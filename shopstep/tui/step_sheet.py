"""The body of a step's card for a given size: what is drawn large, what shrinks, what goes.

Imports the card, ``big_type``, ``stack`` and ``clocks``. Numbers, cautions and buttons never go.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.present.card import CardCaution, CardCheck, CardMode, CardNumber, StepCard
from shopstep.present.phrases import is_outside
from shopstep.tui.big_type import first_of, number_block, plate, tall_block
from shopstep.tui.lines import EMPTY, Block, Line, Span, block, fold, fold_block
from shopstep.tui.stack import GAP, Piece, fit_pieces
from shopstep.tui.theme import SIGNAL_ROLES, Role

WIDEST_TEXT = 84
"""Cells of a line of running text; longer ones are hard to find back into."""
BAND_TALL = 4
"""Rows of a clock in tall digits."""
MOST_BAND_ROWS = 3
PLATES = {
    CardMode.HELD: "On hold",
    CardMode.WAITING: "Waiting",
    CardMode.COMPLETE: "Complete",
}
REST_UNDER_MORE = "… the whole text is under More"

CONCESSIONS = (
    ("numbers", 1),
    ("head", 1),
    ("sentence", 1),
    ("parts", 1),
    ("numbers", 2),
    ("band", 1),
    ("following", 1),
    ("cautions", 1),
    ("plate", 1),
    (GAP, 1),
    ("head", 2),
    ("fasteners", 1),
    ("sentence", 2),
    ("band", 2),
    ("numbers", 3),
    ("sentence", 3),
    ("cautions", 2),
)
"""What gives way first, second, third… on a screen that is too small."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The body as rows, and how much the timer band under it gets."""

    rows: Block
    band_rows: int
    is_band_tall: bool


def arrange_step(card: StepCard, width: int, height: int, margin: int) -> Sheet:
    """Rows for every card but a caution's, at most ``height`` with the timer band."""
    pieces = [
        Piece("plate", _plate_sizes(card, width)),
        Piece("head", _head_sizes(card, width, margin)),
        Piece("numbers", _number_sizes(card, width, margin)),
        Piece("cautions", _caution_sizes(card.cautions, width, margin)),
        Piece("sentence", _sentence_sizes(card.sentence, width, margin)),
        Piece("fasteners", _fastener_sizes(card.fasteners, width, margin)),
        Piece("checks", (_check_rows(card.checks, width, margin),)),
        Piece("parts", (_labelled("in hand", ", ".join(card.parts), width, margin), ())),
        Piece("following", (_labelled("then", card.following, width, margin), ())),
        Piece("band", _band_sizes(card)),
    ]
    fitted = fit_pieces(pieces, CONCESSIONS, height)
    shown = dict(fitted.blocks)
    band = shown.pop("band", ())
    room = height - len(band)
    rows = fitted.rows()[: len(fitted.rows()) - len(band)]
    if fitted.is_cut:
        rows = (*rows[: max(0, room - 1)], *fold_block(REST_UNDER_MORE, width, Role.QUIET)[:1])
    return Sheet(rows[:room], len(band), len(band) >= BAND_TALL)


def _plate_sizes(card: StepCard, width: int) -> tuple[Block, ...]:
    text = PLATES.get(card.mode, "")
    if not text:
        return ((),)
    small = (Line((Span(f"  {text.upper()}", Role.CHIP),), Role.CHIP),)
    return first_of(plate(text, width, Role.CHIP), small)


def _head_sizes(card: StepCard, width: int, margin: int) -> tuple[Block, ...]:
    if card.headline.casefold() == PLATES.get(card.mode, "").casefold():
        return ((),)
    bold = fold_block(card.headline, min(width, WIDEST_TEXT), Role.HEAD, margin)
    if card.mode is not CardMode.STEP:
        return (bold,)
    return first_of(
        tall_block(card.headline, width, Role.HEAD, margin=margin, scale=2),
        tall_block(card.headline, width, Role.HEAD, margin=margin, most=2),
        bold,
    )


def shown_numbers(card: StepCard) -> tuple[CardNumber, ...]:
    """The numbers to draw large; a step that has none but checks one shows what it checks."""
    if card.numbers:
        return card.numbers
    for check in card.checks:
        if check.expected_nm is not None:
            wanted = f"planned {check.tolerance}".strip()
            read = (CardNumber("measured", check.measured, ""),) if check.measured else ()
            return (CardNumber(wanted, check.expected, ""), *read)
    return ()


def _number_sizes(card: StepCard, width: int, margin: int) -> tuple[Block, ...]:
    numbers = shown_numbers(card)
    if not numbers:
        return ((),)
    rows = [row for n in numbers for row in fold(f"{n.text}  {n.label}", width - 2 * margin)]
    drawn = [number_block(numbers, width, scale, margin) for scale in (4, 2, 1)]
    return first_of(*drawn, block(rows, Role.NUMBER, margin))


def _caution_sizes(cautions: tuple[CardCaution, ...], width: int, margin: int) -> tuple[Block, ...]:
    """Reminders of cautions: all words of one that asked for no answer, then the hand alone."""
    full = [
        f"{c.hand or c.avoid}" if c.must_ack else f"{c.harm} {c.avoid} {c.hand}" for c in cautions
    ]
    short = [c.hand or c.avoid for c in cautions]
    chips = tuple(Span(f" {c.signal} ", _signal_role(c)) for c in cautions)
    least: Block = (Line((Span(" " * margin), *chips)),) if cautions else ()
    return (
        _caution_rows(cautions, full, width, margin),
        _caution_rows(cautions, short, width, margin),
        least,
    )


def _signal_role(caution: CardCaution) -> Role:
    return SIGNAL_ROLES.get(caution.signal, Role.WARNING)


def _caution_rows(
    cautions: tuple[CardCaution, ...], texts: list[str], width: int, margin: int
) -> Block:
    rows: list[Line] = []
    for caution, text in zip(cautions, texts, strict=True):
        chip = f" {caution.signal} "
        indent = margin + len(chip) + 1
        folded = fold(" ".join(text.split()), min(width, WIDEST_TEXT) - indent - margin)
        first = (Span(" " * margin), Span(chip, _signal_role(caution)), Span(" "))
        rows.append(Line((*first, Span(folded[0], Role.STRONG))))
        rows += block(folded[1:], Role.STRONG, indent)
    return tuple(rows)


def _sentence_sizes(text: str, width: int, margin: int) -> tuple[Block, ...]:
    if not text:
        return ((),)
    plain = fold_block(text, min(width, WIDEST_TEXT), Role.TEXT, margin)
    most = 4 if width >= 100 else 0
    return first_of(
        tall_block(text, width, Role.TEXT, margin=margin, most=most),
        plain,
        _shorten(plain, 2),
        _shorten(plain, 1),
    )


def _shorten(rows: Block, most: int) -> Block:
    """The first rows; the last of them ends in … when something is left out."""
    if len(rows) <= most:
        return rows
    last = rows[most - 1]
    spans = (*last.spans[:-1], Span(f"{last.spans[-1].text[:-1].rstrip()}…", last.spans[-1].role))
    return (*rows[: most - 1], Line(spans))


def _fastener_sizes(fasteners: tuple[str, ...], width: int, margin: int) -> tuple[Block, ...]:
    if not fasteners:
        return ((),)
    loose = tuple(row for each in fasteners for row in _labelled("use", each, width, margin))
    return (loose, _labelled("use", "; ".join(fasteners), width, margin))


def _labelled(label: str, text: str, width: int, margin: int) -> Block:
    """A quiet label in front, the text folded beside it."""
    if not text:
        return ()
    indent = margin + len(label) + 2
    folded = fold(text, min(width, WIDEST_TEXT) - indent - margin)
    first = Line((Span(" " * margin), Span(f"{label}  ", Role.QUIET), Span(folded[0])))
    return (first, *block(folded[1:], Role.TEXT, indent))


def _check_rows(checks: tuple[CardCheck, ...], width: int, margin: int) -> Block:
    rows: list[Line] = []
    for check in checks:
        box, text, role = _check_words(check)
        folded = fold(text, min(width, WIDEST_TEXT) - margin * 2 - 4)
        rows.append(Line((Span(" " * margin), Span(f"{box} ", Role.STRONG), Span(folded[0], role))))
        rows += block(folded[1:], role, margin + 4)
    return tuple(rows)


def _check_words(check: CardCheck) -> tuple[str, str, Role]:
    """Box, words and look of a check: open, good, kept, or outside its tolerance."""
    wanted = f": {check.expected} {check.tolerance}".rstrip() if check.expected else ""
    if not check.measured:
        return ("[ ]", f"{check.text}{wanted}", Role.TEXT)
    words = f"{check.text}{wanted}, measured {check.measured}"
    if is_outside(check):
        return ("[!]", f"{words}: OUTSIDE", Role.LATE)
    return ("[x]", f"{words}: {'good' if check.within else 'kept as it is'}", Role.TEXT)


def _band_sizes(card: StepCard) -> tuple[Block, ...]:
    """Empty rows that keep the place of the timer band, which is drawn by its own widget."""
    count = len(card.timers)
    if not count:
        return ((),)
    rows = (EMPTY,) * min(MOST_BAND_ROWS, count)
    is_pressing = card.mode is CardMode.WAITING or any(t.is_most for t in card.timers)
    tall = (EMPTY,) * (BAND_TALL + min(MOST_BAND_ROWS, count - 1))
    return (tall if is_pressing else rows, rows, (EMPTY,))
