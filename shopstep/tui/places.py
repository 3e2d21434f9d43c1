"""Where buttons stand: exact rectangles by rule, from the size of the screen.

Imports the actions, the card, ``lines`` and ``screen_size``; pure arithmetic. A target is to be at
least 19 mm high for a gloved finger (MIL-STD-1472E, 5.4.3.1.3.3); here it is 20 mm both ways, on
the smallest screen thought of, a 10-inch tablet, and 3 mm away from the next (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopstep.present.card import CardMode, StepCard
from shopstep.tui.actions import (
    ACTION_BY_ID,
    ANSWERS,
    NEXT_PAGE,
    OTHER_PAGE,
    READY,
    key_of,
    leads_on,
)
from shopstep.tui.lines import fold
from shopstep.tui.screen_size import APART_MM, FINGER_MM, TABLET, columns_for, rows_for
from shopstep.words import say

ALL_FROM_WIDTH = 56
"""Narrower screens show fewer actions; the rest is on its keys and behind More."""
THREE_FROM_WIDTH = 40
FRAME = ("back", "hold", "why", "more")
"""Actions that stand in the same places on every card of a step."""
CAUTION_FRAMES = (FRAME, ("back", "hold", "more"), ("back", "more"), ("more",), ())
"""Which of them there is room for beside a caution's answer."""
FIRST_BESIDE = ("resume", OTHER_PAGE, "accept", "done", "start", "measure")
"""Which action comes first where there is not room for all beside the one that leads on."""


@dataclass(frozen=True, slots=True)
class Place:
    """One button's rectangle, in cells from the upper left corner of its row."""

    action: str
    label: str
    key: str
    """The number key, for example ``1``, or a letter; may be empty."""
    x: int
    y: int
    width: int
    height: int
    is_lead: bool = False
    """The button that matters most on its card."""
    is_lit: bool = False
    """Whether it is filled also without the focus."""
    group: str = ""
    """Buttons of one group are drawn in tall letters all or none."""

    def below(self, rows: int) -> Place:
        """The same button further down."""
        return replace(self, y=self.y + rows)


def row_height(height: int) -> int:
    """Rows of one button on a screen of ``height`` rows: a gloved finger's."""
    return 2 if height < 9 else max(3, rows_for(FINGER_MM, TABLET, height))


def finger_columns(width: int) -> int:
    """Least columns of a button on a screen of ``width`` columns."""
    return columns_for(FINGER_MM, TABLET, width)


def column_gap(width: int) -> int:
    """Empty columns between two buttons: 3 mm or more, never less than one."""
    return max(1, columns_for(APART_MM, TABLET, width))


def side_margin(width: int) -> int:
    """Empty columns at both edges of the screen."""
    return 0 if width < 36 else 1 if width < 72 else 2


def place_actions(card: StepCard, width: int, height: int) -> list[Place]:
    """The card's buttons from left to right, in one row ``row_height(height)`` high.

    The left end belongs to what leads on, with what is added beside it; Back, Hold, Why and More
    keep their places from step to step. A caution's answer stands at the right end, so that a
    second tap on Done never meets it.
    """
    row = _Row(card, width, row_height(height))
    places = row.place_caution() if card.mode is CardMode.CAUTION else row.place_step()
    return sorted(places, key=lambda place: place.x)


class _Row:
    """The measures of one row of buttons."""

    def __init__(self, card: StepCard, width: int, height: int) -> None:
        self.card, self.height = card, height
        self.finger = finger_columns(width)
        self.left, self.gap = side_margin(width), column_gap(width)
        self.room = width - 2 * self.left
        self.frame: tuple[str, ...] = FRAME if width >= ALL_FROM_WIDTH else ("back", "more")
        share = (3, 8) if width >= ALL_FROM_WIDTH else (1, 2)
        if width < THREE_FROM_WIDTH:
            self.frame, share = ("more",), (1, 3)
        free = self.room - len(self.frame) * self.gap
        self.lead = free * share[0] // share[1]
        self.most_ahead = {1: 1, 2: 2}.get(len(self.frame), 3)

    def place_step(self) -> list[Place]:
        """What leads on at the left, then the actions that never move."""
        names = [action.id for action in self.card.actions]
        if set(names).isdisjoint(FRAME):
            return self._put_ahead(self._ahead(), self.room)
        widths = share(self.room - self.lead - self.gap, self.gap, [1] * len(self.frame))
        x = self.left + self.lead + self.gap
        places = self._put_ahead(self._ahead(), self.lead)
        for name, cells in zip(self.frame, widths, strict=True):
            if name in names or (name == "hold" and self.card.mode is CardMode.STEP):
                places.append(self._place(name, x, cells))
            x += cells + self.gap
        return places

    def place_caution(self) -> list[Place]:
        """Pages at the left, the first answer at the right end, the others between.

        The second answer stands where the others stood, clear of the first and of the left end:
        two taps on one place never pass a caution, nor does one more tick the step after it.
        """
        names = {action.id for action in self.card.actions}
        rest = self.room - self.lead - self.gap
        second = self._least_of(say("Understood"), "9")
        first = self._least_of(say("I read it"), "6")
        least = max(self._least_of(say(ACTION_BY_ID[n].label), "2") for n in FRAME)
        frame = next(
            f for f in CAUTION_FRAMES if first + len(f) * (least + self.gap) <= rest or not f
        )
        weights = share(rest, self.gap, [*[2] * len(frame), 3])
        most = min(rest - self.gap - second, rest - len(frame) * (least + self.gap))
        first = min(max(first, weights[-1]), most)
        widths = share(rest - first - self.gap, self.gap, [1] * len(frame))
        x = self.left + self.lead + self.gap
        end = self.left + self.room - first
        places = self._put_ahead([n for n in (NEXT_PAGE, OTHER_PAGE) if n in names], self.lead)
        if "ack" in names:
            return [*places, self._place("ack", x, end - self.gap - x, is_lead=True)]
        for name, cells in zip(frame, widths, strict=True):
            if name in names:
                places.append(self._place(name, x, cells))
            x += cells + self.gap
        if READY in names:
            places.append(self._place(READY, end, first, is_lead=True))
        return places

    def _ahead(self) -> list[str]:
        """Actions at the left end, the one that leads on in front."""
        names = [a.id for a in self.card.actions if a.id not in (*FRAME, *ANSWERS)]
        if len(self.card.actions) == 1 or not names:
            return names
        first, others = names[:1], names[1:]
        wanted = sorted(others, key=FIRST_BESIDE.index)[: self.most_ahead - 1]
        while wanted and self._least([*first, *wanted]) > self.lead:
            wanted.pop()
        return [*first, *[name for name in others if name in wanted]]

    def _least(self, names: list[str]) -> int:
        widths = [self._least_of(*self._words(name)) for name in names]
        return sum(widths) + self.gap * (len(names) - 1)

    def _least_of(self, label: str, key: str) -> int:
        """Cells of the narrowest button for the words and for a finger."""
        return max(self.finger, least_width(label, key, self.height))

    def _put_ahead(self, names: list[str], room: int) -> list[Place]:
        """Side by side; what is left over goes to the one that leads on, then to the others."""
        if not names:
            return []
        widths = [self._least_of(*self._words(name)) for name in names]
        spare = max(0, room - sum(widths) - self.gap * (len(names) - 1))
        extra = spare // (len(names) + 1)
        widths = [widths[0] + spare - extra * (len(names) - 1), *[w + extra for w in widths[1:]]]
        widths[0] = min(widths[0], room)
        places, x = [], self.left
        for index, (name, cells) in enumerate(zip(names, widths, strict=True)):
            is_first = index == 0 and leads_on(self.card)
            places.append(self._place(name, x, cells, is_lead=is_first, is_lit=is_first))
            x += cells + self.gap
        return places

    def _words(self, name: str) -> tuple[str, str]:
        labels = {action.id: action.label for action in self.card.actions}
        return labels.get(name) or say(ACTION_BY_ID[name].label), key_of(name, self.card)

    def _place(
        self, name: str, x: int, width: int, *, is_lead: bool = False, is_lit: bool = False
    ) -> Place:
        label, key = self._words(name)
        return Place(name, label, key, x, 0, width, self.height, is_lead, is_lit)


def least_width(label: str, key: str, height: int) -> int:
    """Cells of the narrowest button that shows key and label in whole words."""
    words = f"{key} {label}".strip()
    width = max(len(word) for word in words.split()) + 2
    while len(fold(words, width - 2)) > height:
        width += 1
    return width


def share(room: int, gap: int, weights: list[int]) -> list[int]:
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
    margin = side_margin(width)
    room = width - 2 * margin
    return place_block(choices, columns, (margin, top), room, row, column_gap(width))


def place_block(
    choices: list[tuple[str, str, str]],
    columns: int,
    corner: tuple[int, int],
    room: int,
    row: int,
    gap: int,
    group: str = "",
) -> list[Place]:
    """The same in ``room`` columns from an upper left ``corner`` (column, row) on."""
    places: list[Place] = []
    widths = share(room, gap, [1] * columns)
    for index, (choice, label, key) in enumerate(choices):
        line, column = divmod(index, columns)
        x = corner[0] + sum(widths[:column]) + gap * column
        y = corner[1] + line * (row + 1)
        places.append(Place(choice, label, key, x, y, widths[column], row, group=group))
    return places
