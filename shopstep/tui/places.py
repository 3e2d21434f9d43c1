"""Where buttons stand: exact rectangles by rule, from the size of the screen.

Imports the actions and the card; pure arithmetic. A target is to be at least 19 mm high for a
gloved finger (MIL-STD-1472E, 5.4.3.1.3.3) and 3 mm away from the next (common practice); a screen
of a 14-inch laptop is about 310 by 175 mm, which asks for three rows at 24 rows, five at 40 and
seven at 60; six at 40 give tall letters on a button some air.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopstep.present.card import CardAction, CardMode, StepCard
from shopstep.tui.actions import ANSWERS, leads_on, number_actions

ALL_FROM_WIDTH = 56
"""Narrower screens show fewer actions; the rest is behind More."""
CAUTION_ALL_FROM_WIDTH = 76
THREE_FROM_WIDTH = 40


@dataclass(frozen=True, slots=True)
class Place:
    """One button's rectangle, in cells from the upper left corner of its row."""

    action: str
    label: str
    key: str
    """The number key, for example ``1``; may be empty."""
    x: int
    y: int
    width: int
    height: int
    is_lead: bool = False

    def below(self, rows: int) -> Place:
        """The same button further down."""
        return replace(self, y=self.y + rows)


def row_height(height: int) -> int:
    """Rows of one button on a screen of ``height`` rows."""
    if height < 9:
        return 2
    return 3 if height < 32 else 6 if height < 48 else 7


def column_gap(width: int) -> int:
    """Empty columns between two buttons: about 4 mm, never less than one."""
    return max(1, round(width / 66))


def side_margin(width: int) -> int:
    """Empty columns at both edges of the screen."""
    return 0 if width < 36 else 1 if width < 72 else 2


def place_actions(card: StepCard, width: int, height: int) -> list[Place]:
    """The card's buttons from left to right, in one row ``row_height(height)`` high.

    The left end belongs to what leads on. It stays empty on a card that has nothing such, and a
    caution's answer stands at the right end, so that a second tap on Done meets no button.
    """
    numbered = number_actions(card)
    shown = [(n, a) for n, a in numbered.items() if a.id in _shown_ids(card, width)]
    margin, gap = side_margin(width), column_gap(width)
    room = width - 2 * margin
    lead = _lead_width(width, room, gap)
    widths = _widths(card, [a for _, a in shown], room, gap, lead)
    places: list[Place] = []
    x = margin if leads_on(card) else margin + lead + gap
    for (number, action), cells in zip(shown, widths, strict=True):
        is_lead = action.id in ANSWERS or (not places and leads_on(card))
        places.append(
            Place(action.id, action.label, str(number), x, 0, cells, row_height(height), is_lead)
        )
        x += cells + gap
    return places


def _shown_ids(card: StepCard, width: int) -> set[str]:
    """Which actions have a button on this width; More is the way to the others."""
    ids = [action.id for action in card.actions]
    is_caution = card.mode is CardMode.CAUTION
    if width >= (CAUTION_ALL_FROM_WIDTH if is_caution else ALL_FROM_WIDTH):
        return set(ids)
    wanted = [ids[0]]
    if width >= THREE_FROM_WIDTH or not is_caution:
        wanted.append("more")
    if width >= ALL_FROM_WIDTH or (width >= THREE_FROM_WIDTH and leads_on(card)):
        wanted += ["accept" if "accept" in ids else ids[min(1, len(ids) - 1)]]
    return set(wanted) & set(ids)


def _lead_width(width: int, room: int, gap: int) -> int:
    """Cells of the left end: two shares of a usual row, half of a very narrow one."""
    if width < THREE_FROM_WIDTH:
        return (room - gap) // 2
    others = 4 if width >= ALL_FROM_WIDTH else 2
    return (room - others * gap) * 2 // (others + 2)


def _widths(card: StepCard, shown: list[CardAction], room: int, gap: int, lead: int) -> list[int]:
    """Cells of each shown action; the leading one and a caution's answer are wider."""
    if leads_on(card):
        rest = _share(room - lead - gap, gap, [1] * (len(shown) - 1)) if shown[1:] else []
        return [lead if shown[1:] else room, *rest]
    usual, answer = (1, 2) if len(shown) < 3 else (2, 3)
    weights = [answer if action.id in ANSWERS else usual for action in shown]
    return _share(room - lead - gap, gap, weights)


def _share(room: int, gap: int, weights: list[int]) -> list[int]:
    """The room divided by weights, gaps taken off; what is left over goes to the last."""
    if not weights:
        return []
    free = room - gap * (len(weights) - 1)
    widths = [free * weight // sum(weights) for weight in weights]
    widths[-1] += free - sum(widths)
    return widths


def place_grid(
    choices: list[tuple[str, str, str]], columns: int, width: int, row: int, top: int
) -> list[Place]:
    """Choices (id, label, key) in rows of ``columns`` equal buttons, one empty row between."""
    margin, gap = side_margin(width), column_gap(width)
    places: list[Place] = []
    for index, (choice, label, key) in enumerate(choices):
        line, column = divmod(index, columns)
        widths = _share(width - 2 * margin, gap, [1] * columns)
        x = margin + sum(widths[:column]) + gap * column
        y = top + line * (row + 1)
        places.append(Place(choice, label, key, x, y, widths[column], row))
    return places
