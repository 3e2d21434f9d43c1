"""The body of a caution card: one caution at a time, in as many pages as the screen needs.

Imports the card, ``big_type``, ``glyphs`` and ``stack``. The order is: what can happen, how to
avoid it, where the other hand goes (the largest), what to do if it did happen.
"""

from __future__ import annotations

from shopstep.present.card import MANUAL_FIRST, CardCaution, StepCard
from shopstep.tui.big_type import first_of, fold_tall, tall_block
from shopstep.tui.glyphs import tall, triangle
from shopstep.tui.hand_pictures import WIDTH as PICTURE_WIDTH
from shopstep.tui.hand_pictures import hand_picture
from shopstep.tui.lines import EMPTY, WIDEST_TEXT, Block, Line, Span, block, fold, fold_block
from shopstep.tui.reminders import NARROW, caution_rows, say_hand, vary_words
from shopstep.tui.stack import GAP, Piece, fit_pieces, spread_blocks
from shopstep.tui.theme import SIGNAL_ROLES, Role
from shopstep.words import say, to_say

LEAST_BESIDE_PICTURE = 24
"""Cells that the words need beside the picture of the hand."""
WIDEST_BESIDE_PICTURE = 52
KNOWN = to_say("Answered before in this session; it still holds")
CONCESSIONS = (
    ("words", 1),
    ("hand", 1),
    ("hand", 2),
    ("band", 1),
    ("before", 1),
    (GAP, 1),
    ("before", 2),
    ("band", 2),
    ("hand", 3),
    ("hand", 4),
    ("hand", 5),
)
"""What gives way first, second… on a screen that is too small for one page."""
DRAWN_HANDS = 5
"""How many sizes the other hand's line has besides bold rows, where it was answered before."""
KNOWN_CONCESSIONS = (
    *(("each", level) for level in range(1, DRAWN_HANDS)),
    (GAP, 1),
    ("head", 1),
    ("manual", 1),
    ("each", DRAWN_HANDS),
)
"""The same for cautions that were answered before."""


def caution_pages(card: StepCard, width: int, height: int, margin: int) -> list[Block]:
    """All pages that must be seen before the answer, at most ``height`` rows each.

    Cautions that were answered before in the session stand together after the new ones.
    """
    known = [caution for caution in card.cautions if caution.known]
    pages = [
        page
        for caution in card.cautions
        if not caution.known
        for page in _pages_of(caution, card.headline, width, height, margin)
    ]
    if known:
        pages += _known_pages(known, card.headline, card.done_count, width, height, margin)
    return pages or [()]


def _pages_of(
    caution: CardCaution, headline: str, width: int, height: int, margin: int
) -> list[Block]:
    """One page where all fits; else the words spread over pages under a narrow band."""
    role = SIGNAL_ROLES.get(caution.signal, Role.WARNING)
    words = _word_pieces(caution, role, width, margin)
    before = fold_block(say("before: {headline}", headline=headline), width, Role.QUIET, margin)
    pieces = [
        Piece("band", _band_sizes(say(caution.signal), role, width)),
        Piece("before", (before, before[:1], ())),
        *words,
    ]
    fitted = fit_pieces(pieces, CONCESSIONS, height)
    if not fitted.is_cut:
        return [fitted.rows()]
    band = _band_sizes(say(caution.signal), role, width)[-1]
    rows = [piece.sizes[-1] for piece in words]
    pages = _spread(band, rows, height)
    drawn = _drawn_hand(caution, margin)
    with_picture = _spread(band, [*rows[:3], drawn, *rows[3:]], height)
    return with_picture if len(with_picture) == len(pages) else pages


def _known_pages(
    known: list[CardCaution], headline: str, turn: int, width: int, height: int, margin: int
) -> list[Block]:
    """One page where all fits: of each its signal word, the other hand, and how to avoid it."""
    head = fold_block(say(KNOWN), width, Role.HEAD, margin)
    before = fold_block(say("before: {headline}", headline=headline), width, Role.QUIET, margin)
    each = [_known_sizes(caution, width, margin, turn) for caution in known]
    manual = fold_block(say(MANUAL_FIRST), width, Role.QUIET, margin)
    pieces = [
        Piece("head", ((*head, *before), head)),
        *[Piece("each", sizes) for sizes in each],
        Piece("manual", (manual, ())),
    ]
    fitted = fit_pieces(pieces, KNOWN_CONCESSIONS, height)
    if not fitted.is_cut:
        return [fitted.rows()]
    return _spread(pieces[0].sizes[-1], [sizes[-1] for sizes in each], height)


def _known_sizes(caution: CardCaution, width: int, margin: int, turn: int) -> tuple[Block, ...]:
    """How to avoid it, and under that the other hand as on the whole card; at least their words."""
    rows = _known_rows(caution, width, margin, turn)
    if not caution.hand:
        return (rows,)
    role = SIGNAL_ROLES.get(caution.signal, Role.WARNING)
    words = vary_words(caution.hand, turn)
    avoid = caution_rows([caution], [vary_words(caution.avoid, turn)], width, margin)
    hands = _hand_sizes(say("other hand"), words, caution, width, margin, role)
    return (*((*avoid, EMPTY, *hand) for hand in hands[1:]), rows)


def _known_rows(caution: CardCaution, width: int, margin: int, turn: int) -> Block:
    hand = vary_words(say_hand(caution.hand), turn) if caution.hand else ""
    avoid = vary_words(caution.avoid, turn)
    if not hand:
        return caution_rows([caution], [avoid], width, margin)
    indent = margin + (len(say(caution.signal)) + 3 if width >= NARROW else 0)
    rows = fold(avoid, min(width, WIDEST_TEXT) - margin - indent)
    return (*caution_rows([caution], [hand], width, margin), *block(rows, Role.TEXT, indent))


def _spread(band: Block, words: list[Block], height: int) -> list[Block]:
    """The words under the band on every page."""
    pages = spread_blocks(words, max(1, height - len(band)))
    return [(*band, *[row for shown in page for row in shown]) for page in pages]


def _band_sizes(signal: str, role: Role, width: int) -> tuple[Block, ...]:
    """The signal word with the safety-alert triangle (not before NOTICE: ANSI Z535.4)."""
    sign = "" if signal == say("NOTICE") else "/!\\ "
    small: Block = (Line((Span(f"  {sign}{signal}", role),), role),)
    medium = (Line((), role), *small, Line((), role))
    return first_of(_tall_band(signal, role, width), medium, small)


def _tall_band(signal: str, role: Role, width: int) -> Block | None:
    drawn = [] if signal == say("NOTICE") else triangle()
    lead = len(drawn[0]) + 4 if drawn else 2
    if fold_tall(signal, width - lead - 2, 1, 1) is None:
        return None
    letters = ["", *tall(signal)]
    signs = [f"  {row}  " for row in drawn] or ["  "] * len(letters)
    rows = [
        Line((Span(sign + letter, role),), role)
        for sign, letter in zip(signs, letters, strict=True)
    ]
    bare = (Line((), role),)
    return (*bare, *rows, *bare) if drawn else (*rows, *bare)


def _word_pieces(caution: CardCaution, role: Role, width: int, margin: int) -> list[Piece]:
    most, rest = (caution.hand, caution.avoid) if caution.hand else (caution.avoid, "")
    label = say("other hand") if caution.hand else say("to avoid it")
    texts = [(say("can happen"), caution.harm), (say("to avoid it"), rest)]
    before = [_word_sizes(name, text, width, margin) for name, text in texts]
    after = _word_sizes(say("if it did"), caution.done, width, margin)
    return [
        *[Piece("words", sizes) for sizes in before],
        Piece("hand", _hand_sizes(label, most, caution, width, margin, role)),
        Piece("words", after),
        Piece("manual", (fold_block(say(MANUAL_FIRST), width, Role.QUIET, margin),)),
    ]


def _word_sizes(label: str, text: str, width: int, margin: int) -> tuple[Block, ...]:
    """Tall letters under their label where the screen is very large, else running text."""
    plain = _labelled(label, text, width, margin)
    drawn = tall_block(text, width, Role.TEXT, margin=margin, most=2) if text else None
    return first_of((*block([label], Role.QUIET, margin), *drawn) if drawn else None, plain)


def _labelled(label: str, text: str, width: int, margin: int) -> Block:
    """A quiet label and the text; label and text stand in two columns where there is room."""
    if not text:
        return ()
    if width < 56:
        rows = fold(f"{label}: {text}", width - 2 * margin)
        head, tail = rows[0][: len(label) + 1], rows[0][len(label) + 1 :]
        first = Line((Span(" " * margin), Span(head, Role.QUIET), Span(tail)))
        return (first, *block(rows[1:], Role.TEXT, margin))
    indent = margin + 13
    rows = fold(text, min(width, WIDEST_TEXT) - indent - margin)
    first = Line((Span(" " * margin), Span(label.ljust(13), Role.QUIET), Span(rows[0])))
    return (first, *block(rows[1:], Role.TEXT, indent))


def _drawn_hand(caution: CardCaution, margin: int, scale: int = 1) -> Block:
    """Where the other hand goes, as a picture; () for a caution that does not say it."""
    if not caution.hand:
        return ()
    lead = Span(" " * margin)
    return tuple(Line((lead, Span(row, Role.NUMBER))) for row in hand_picture(caution.id, scale))


def _beside_picture(
    label: str, text: str, caution: CardCaution, width: int, margin: int, scale: int
) -> Block | None:
    """The picture with the words at its side; None where there is no room or no hand."""
    room = min(width - 2 * margin - PICTURE_WIDTH * scale - 4, WIDEST_BESIDE_PICTURE)
    drawn = _drawn_hand(caution, margin, scale)
    if not drawn or room < LEAST_BESIDE_PICTURE:
        return None
    words = fold(f"{label.upper()}: {text}", room)
    if len(words) > len(drawn):
        return None
    above = (len(drawn) - len(words)) // 2
    texts = [None] * above + [*words] + [None] * (len(drawn) - above - len(words))
    return tuple(
        Line((*row.spans, Span("  "), Span(f" {said.ljust(room)} ", Role.PANEL))) if said else row
        for row, said in zip(drawn, texts, strict=True)
    )


def _hand_sizes(
    label: str, text: str, caution: CardCaution, width: int, margin: int, role: Role
) -> tuple[Block, ...]:
    """The most prominent line: tall letters along a thick bar, or a filled panel, or bold rows.

    Where there is room the picture of the hand stands above them, or beside them.
    """
    picture = _drawn_hand(caution, margin)
    beside = [_beside_picture(label, text, caution, width, margin, scale) for scale in (2, 1)]
    drawn = tall_block(text, width - 4, Role.STRONG, margin=margin, most=4)
    stroke = (Span(" " * margin), Span("  ", role), Span("  "))
    words = fold(f"{label.upper()}: {text}", min(width, WIDEST_TEXT) - 2 * margin - 2)
    rows = tuple(
        Line((Span(" " * margin), Span(f" {row.ljust(_longest(words))} ", Role.PANEL)))
        for row in words
    )
    blank = Line((Span(" " * margin), Span(" " * (_longest(words) + 2), Role.PANEL)))
    large = tuple(
        Line((*stroke, *row.spans[1:]))
        for row in (*block([label], Role.QUIET, margin), *(drawn or ()))
    )
    return first_of(
        (*picture, *large) if drawn and picture else None,
        *beside,
        large if drawn else None,
        (blank, *rows, blank),
        rows,
    )


def _longest(rows: list[str]) -> int:
    return max(len(row) for row in rows)
