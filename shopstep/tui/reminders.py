"""Cautions and checks as rows on a step's card.

Imports the card, ``big_type`` and ``lines``. Their letters may shrink; their words never go.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from shopstep.present.card import CardCaution, CardCheck, CardRun, StepCard
from shopstep.present.deviations import is_outside
from shopstep.session.trials import say_where
from shopstep.tui.big_type import LARGE_FROM_WIDTH, LARGE_ROWS, first_of, tall_block
from shopstep.tui.lines import WIDEST_TEXT, Block, Line, Span, block, fold, line
from shopstep.tui.theme import SIGNAL_ROLES, Role
from shopstep.words import say

NARROW = 56
"""On narrower screens the words of a caution go on under its signal word."""


def caution_sizes(
    cautions: tuple[CardCaution, ...], width: int, margin: int, turn: int = 0
) -> tuple[Block, ...]:
    """Reminders: all words where no card stood before the step, else one line of each.

    ``turn`` counts the steps: the words of a reminder begin at another place each time.
    """
    was_read = any(caution.must_ack for caution in cautions)
    texts = [
        vary_words(remind(c), turn) if was_read else f"{c.harm} {c.avoid} {c.hand}"
        for c in cautions
    ]
    return first_of(
        _tall_cautions(cautions, texts, width, margin),
        caution_rows(cautions, texts, width, margin),
    )


def remind(caution: CardCaution) -> str:
    """One line that makes sense by itself: where the other hand goes, else how to avoid it."""
    if not caution.hand or not (caution.must_ack or _speaks_of_hand(caution.hand)):
        return caution.avoid
    return say_hand(caution.hand)


def vary_words(text: str, turn: int) -> str:
    """The same sentences in another order, so that the eye does not go blind to them.

    Only whole sentences, and what a semicolon parts, change places; no word is lost.
    """
    parts = [part.strip(" .;") for part in re.split(r"(?<=[.;])\s+", text) if part.strip(" .;")]
    if len(parts) < 2:
        return text
    first = turn % len(parts)
    if first == 0:
        return text
    turned = [*parts[first:], *parts[:first]]
    return " ".join(f"{part[0].upper()}{part[1:]}." for part in turned)


def say_hand(text: str) -> str:
    """The words about the other hand, with their subject where they do not name it themselves."""
    return (
        text
        if _speaks_of_hand(text)
        else say("Other hand: {text}{text_2}", text=text[0].lower(), text_2=text[1:])
    )


def _speaks_of_hand(text: str) -> bool:
    return re.search(r"\bhands?\b(?! saw)", text, re.IGNORECASE) is not None


def _tall_cautions(
    cautions: tuple[CardCaution, ...], texts: list[str], width: int, margin: int
) -> Block | None:
    """Tall letters along a thick bar in the colour of the signal word, on a very large screen."""
    rows: list[Line] = []
    for caution, text in zip(cautions, texts, strict=True):
        drawn = tall_block(text, width - 4, Role.TEXT, margin=margin, most=LARGE_ROWS)
        if width < LARGE_FROM_WIDTH or drawn is None:
            return None
        role = _signal_role(caution)
        stroke = (Span(" " * margin), Span("  ", role), Span("  "))
        rows.append(Line((Span(" " * margin), Span(f" {say(caution.signal)} ", role))))
        rows += [Line((*stroke, *row.spans[1:])) for row in drawn]
    return tuple(rows)


def _signal_role(caution: CardCaution) -> Role:
    return SIGNAL_ROLES.get(caution.signal, Role.WARNING)


def caution_rows(
    cautions: Sequence[CardCaution], texts: list[str], width: int, margin: int
) -> Block:
    """A signal word and the words beside it, for each caution."""
    rows: list[Line] = []
    for caution, text in zip(cautions, texts, strict=True):
        chip = f" {say(caution.signal)} "
        room = min(width, WIDEST_TEXT) - 2 * margin
        beside = len(chip) + 1
        indent = beside if width >= NARROW else 0
        # a word of the chip's width keeps its place in the first row
        pad = "_" * (beside - indent - 1) + " " if beside > indent else ""
        folded = fold(pad + text, room - indent)
        first = (Span(" " * margin), Span(chip, _signal_role(caution)), Span(" "))
        rows.append(Line((*first, Span(folded[0][len(pad) :], Role.STRONG))))
        rows += block(folded[1:], Role.STRONG, margin + indent)
    return tuple(rows)


def check_sizes(card: StepCard, width: int, margin: int) -> tuple[Block, ...]:
    """The checks; a run of several has its opening and its end, in rows of their own or not."""
    run = card.check_run
    if run is None:
        return (check_rows(card.checks, width, margin),)
    opening = line(run.opening, Role.QUIET, margin)
    closing = line(run.closing, Role.QUIET, margin)
    loose = (opening, *check_rows(card.checks, width, margin), closing)
    return loose, (opening, *check_rows(card.checks, width, margin, run))


def check_rows(
    checks: tuple[CardCheck, ...], width: int, margin: int, closed_by: CardRun | None = None
) -> Block:
    """A box and the words of each check; the last also says the end of the run it closes."""
    rows: list[Line] = []
    for check in checks:
        box, text, role = _check_words(check)
        if closed_by is not None and check is checks[-1]:
            text = f"{text}{'' if text.endswith(('.', '?', '!')) else '.'} {closed_by.closing}"
        folded = fold(text, min(width, WIDEST_TEXT) - margin * 2 - 4)
        rows.append(Line((Span(" " * margin), Span(f"{box} ", Role.STRONG), Span(folded[0], role))))
        rows += block(folded[1:], role, margin + 4)
    return tuple(rows)


def _check_words(check: CardCheck) -> tuple[str, str, Role]:
    """Box, words and look of a check: open, good, kept, or outside its tolerance."""
    wanted = f": {check.expected} {check.tolerance}".rstrip() if check.expected else ""
    words = f"{f'{check.place}: ' if check.place else ''}{check.text}{wanted}"
    if not check.measured:
        return ("[ ]", words, Role.TEXT)
    words = say(
        "{words}, measured {measured}{where}",
        words=words,
        measured=check.measured,
        where=say_where(check.where),
    )
    if is_outside(check):
        return ("[!]", say("{words}: OUTSIDE", words=words), Role.LATE)
    return ("[x]", f"{words}: {say('good') if check.within else say('kept as it is')}", Role.TEXT)
