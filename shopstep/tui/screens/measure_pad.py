"""The measure pad: a number from the rule, entered by taps that add to what the plan expects.

Imports the page, the glyphs, exact lengths and the places of a gap. Nothing is typed; nothing is
kept before Save, which has the focus only after a change, so that no check is passed without a look
at the rule. Of a gap at a slope Toe, Heel and Even stand in the place of Save: a tap on one says
where the gap is and saves it, and none of them ever has the focus by itself.
"""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from textual.binding import Binding, BindingType

from shopstep.present.card import CardCheck
from shopstep.session.trials import EVEN, HEEL, PLACES, TOE
from shopstep.tui.glyphs import tall_length
from shopstep.tui.hand import Hand
from shopstep.tui.lines import Block, block, fold, line
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.page import BACK, Page
from shopstep.tui.theme import Role
from shopstep.units import Length, format_length
from shopstep.words import say, to_say

SAVE, SAVE_KEYS = "save", ("s", "k")
PLANNED = "planned"
NARROW = 56
ASK_WHERE = to_say("Where? Even: off its line all along.")
_PLACE_WAYS = [
    (TOE, to_say("Toe"), "t"),
    (HEEL, to_say("Heel"), "h"),
    (EVEN, to_say("Even"), "e"),
]

_NUDGES = {
    "in": (
        (Length.inches("1/4"), "1/4"),
        (Length.inches("1/16"), "1/16"),
        (Length.inches("1/64"), "1/64"),
    ),
    "mm": ((Length.mm(5), "5"), (Length.mm(1), "1"), (Length.mm("1/2"), "0.5")),
}


def nudges(unit: str, width: int) -> list[tuple[str, Length]]:
    """Labels and steps of the buttons, from the largest down to the largest up."""
    steps = _NUDGES[unit][0 if width >= NARROW else 1 :]
    down = [(f"−{label}", -length) for length, label in steps]
    up = [(f"+{label}", length) for length, label in reversed(steps)]
    return down + up


def describe_difference(value: Length, planned: Length, unit: str) -> str:
    """How far a reading lies from the plan: "as planned", "1/16 in over", "0.5 mm under"."""
    difference = value - planned
    if not difference:
        return say("as planned")
    off = format_length(abs(difference), unit)
    return (
        say("{length} over", length=off) if difference.nm > 0 else say("{length} under", length=off)
    )


class MeasurePad(Page):
    """Asks for one check's number; ``value`` is what would be kept."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(key, f"letter('{key}')", id=f"pad.letter_{key}") for _, _, key in _PLACE_WAYS
    ]

    def __init__(self, hand: Hand, check: CardCheck) -> None:
        super().__init__(hand)
        self.check = check
        self.unit = "mm" if check.expected.endswith("mm") else "in"
        self.planned = Length(check.expected_nm or 0)
        self.value = self.planned
        self.where = ""
        """Where the gap was said to be; empty until then."""
        self.first_focus = PLANNED

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """What is asked, the value in tall glyphs, nudges, and the way out."""
        margin, row = side_margin(width), row_height(height)
        steps = nudges(self.unit, width)
        choices = [(label, label, str(n)) for n, (label, _) in enumerate(steps, start=1)]
        top = height - 2 * row - 1
        places = place_grid(choices, len(choices), width, row, top)
        return self._words(width, top, margin), [*places, *self._place_ways(width, height, row)]

    def _place_ways(self, width: int, height: int, row: int) -> list[Place]:
        """The lowest row: Back stands where Save was, so that a second tap there saves nothing."""
        back, top = (BACK, say("Back"), "b"), height - row
        if self.needs_place:
            places = [(where, say(label), key) for where, label, key in _PLACE_WAYS]
            return place_grid([*places, back], len(places) + 1, width, row, top)
        ways = [(PLANNED, say("As planned"), "p"), back, (SAVE, say("Save"), SAVE_KEYS[0])]
        *others, save = place_grid(ways, 3, width, row, top)
        return [*others, replace(save, is_lead=self.is_changed, is_lit=self.is_changed)]

    def _words(self, width: int, room: int, margin: int) -> Block:
        inner = width - 2 * margin
        asked = fold(say("Read off: {check}", check=self.check.text), inner)
        place = fold(say(ASK_WHERE), inner) if self.needs_place else []
        planned = say(
            "planned {expected} {tolerance}",
            expected=self.check.expected,
            tolerance=self.check.tolerance,
        ).rstrip()
        difference = describe_difference(self.value, self.planned, self.unit)
        below = fold(f"{difference}   ({planned})", inner)
        words = len(asked) + len(place) + len(below)
        number = self._draw_value(inner, room, room - words)
        gap = (line(""),) if room - len(number) - words > 1 else ()
        return (
            *block(asked, Role.HEAD, margin),
            *gap,
            *block(number, Role.NUMBER, margin),
            *block(place, Role.STRONG, margin),
            *block(below, Role.TEXT, margin),
        )

    def _draw_value(self, width: int, room: int, spare: int) -> list[str]:
        """The value as large as it fits; where ``spare`` rows are too few, in one row of text."""
        for scale, least in ((4, 24), (2, 14), (1, 0)):
            number = tall_length(self.shown, scale)
            if room >= least and len(number[0]) <= width and len(number) <= spare:
                return number
        bare = tall_length(self.shown.rpartition(" ")[0], 1)
        return bare if len(bare) <= spare and len(bare[0]) <= width else [self.shown]

    def show(self) -> None:
        """Arrange and show all; what is not saved yet would be lost."""
        self.loss = (
            say("Not saved: {shown}. Measure again.", shown=self.shown) if self.is_changed else ""
        )
        super().show()

    @property
    def is_changed(self) -> bool:
        """Whether a reading was entered that is not saved yet."""
        return self.value != self.planned

    @property
    def needs_place(self) -> bool:
        """Whether it has still to be said where the gap is."""
        return self.check.asks_where and bool(self.value)

    @property
    def shown(self) -> str:
        """The value as on a rule."""
        return format_length(self.value, self.unit)

    def action_letter(self, key: str) -> None:
        """The letters of the ways."""
        self._choose_by_key(SAVE_KEYS[0] if key in SAVE_KEYS else key)

    def action_choose_focused(self) -> None:
        """Enter, Space, PageDown: a nudge can be repeated, so the focus stays on it."""
        focused = self._buttons.focused_choice()
        super().action_choose_focused()
        if focused in dict(nudges(self.unit, self._room.width)):
            self._buttons.focus_on(focused)

    def pick(self, choice: str) -> None:
        """A nudge changes the value, never below nothing; Save and Back leave."""
        steps = dict(nudges(self.unit, self._room.width))
        if choice in steps:
            self.value = max(Length(0), self.value + steps[choice])
            self.show()
            lead = SAVE if self.is_changed else PLANNED
            self._buttons.focus_on(choice if self.needs_place else lead)
            return
        if choice in PLACES:
            self.where = choice
            self.dismiss(SAVE)
            return
        if choice == PLANNED:
            self.value = self.planned
        else:
            self.dismiss(choice)
            return
        self.show()
