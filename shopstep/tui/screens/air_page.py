"""The air in the shop: temperature and humidity by large keys, the last values as an offer.

Imports the page, the words of the air and the places. The last values are never taken by
themselves: no button is lit when the page comes up.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from shopstep.present.air import ASKED, Air
from shopstep.tui.big_type import tall_block
from shopstep.tui.glove import Glove
from shopstep.tui.lines import EMPTY, Block, block, fold
from shopstep.tui.places import Place, place_grid, row_height, side_margin
from shopstep.tui.screens.page import BACK, Page
from shopstep.tui.theme import Role
from shopstep.tui.top_line import title_line
from shopstep.words import say, to_say

TAKE = "take"
TITLE = to_say("The air")
TAKE_KEY = "9"
HOW = to_say("{key} goes on with what stands here; so does the button, tapped or moved to.")
"""Nothing is lit, so that the last air is not taken by itself: the way on is told in words."""
WARMTH, DAMP = "warmth", "damp"
STEPS = {WARMTH: (-5, -1, 1, 5), DAMP: (-10, -1, 1, 10)}
"""°C and percent, from the largest down to the largest up."""
COLDEST, HOTTEST = -30, 50
"""Read off a thermometer in a shop; more is refused by the session."""
DRIEST, DAMPEST = 5, 100


class AirPage(Page):
    """Calls ``chosen`` with temperature and humidity; BACK closes it."""

    def __init__(
        self,
        glove: Glove,
        last: Air,
        chosen: Callable[[float, float], None],
        clock: Callable[[], str],
        back: str = "",
    ) -> None:
        super().__init__(glove)
        self._last = last
        self.air = last
        self._chosen = chosen
        self._clock_words = clock
        self._back = back or say("Back")
        self.first_focus = ""

    @property
    def is_changed(self) -> bool:
        """Whether another air than the last was tapped in."""
        return self.air != self._last

    def lay_out(self, width: int, height: int) -> tuple[Block, list[Place]]:
        """The question and the air, keys for warmth and damp, and the ways."""
        margin, row = side_margin(width), row_height(height)
        top = height - 3 * row - 2
        label = say("So it is") if self.is_changed else f"{self._last.source.capitalize()}"
        ways = [(TAKE, label, TAKE_KEY), (BACK, self._back, "b")]
        take, back = place_grid(ways, 2, width, row, height - row)
        lead = replace(take, is_lead=True, is_lit=self.is_changed)
        keys = place_grid(_keys(WARMTH, "°C"), 4, width, row, top)
        keys += place_grid(_keys(DAMP, "%"), 4, width, row, top + row + 1)
        return self._words(width, top, margin), [lead, back, *keys]

    def _words(self, width: int, room: int, margin: int) -> Block:
        """The air in tall letters where there is room, the last one under it once it differs."""
        head = title_line(say(TITLE), (), self._clock_words(), width, margin)
        inner = width - 2 * margin
        asked = block(fold(f"{say(ASKED)} {say(HOW, key=TAKE_KEY)}", inner), Role.TEXT, margin)
        other = f"{self._last.source}: {self._last.words}" if self.is_changed else ""
        last = block(fold(other, inner), Role.QUIET, margin) if other else ()
        plain = block(fold(self.air.words, inner), Role.NUMBER, margin)
        both, one = (
            tall_block(words, width, Role.NUMBER, margin=margin)
            for words in (self.air.both, self.air.brief)
        )
        wide = (head, *asked, EMPTY, *both, *last) if both else ()
        large = (head, *asked, EMPTY, *one, *plain, *last) if one else ()
        for rows in (wide, large, (head, *asked, *plain, *last), (head, *plain, *last)):
            if rows and len(rows) <= room:
                return rows
        return (head, *plain)[:room]

    def action_number(self, key: str) -> None:
        """1 to 8: the keys in their order; 9 takes what stands there."""
        keys = [f"{what} {step}" for what in (WARMTH, DAMP) for step in STEPS[what]]
        self.choose(keys[int(key) - 1] if int(key) <= len(keys) else TAKE)

    def pick(self, choice: str) -> None:
        """A key changes the air, the lead takes it."""
        if choice == BACK:
            self.action_close()
            return
        if choice == TAKE:
            self._chosen(self.air.temperature_c, self.air.humidity_percent)
            return
        what, _, step = choice.partition(" ")
        self.air = _changed(self.air, what, int(step))
        self.show()

    def action_choose_focused(self) -> None:
        """Enter, Space, PageDown: a key can be repeated, so the light stays on it."""
        focused = self._buttons.focused_choice()
        super().action_choose_focused()
        if focused.startswith((WARMTH, DAMP)):
            self._buttons.focus_on(focused)


def _keys(what: str, unit: str) -> list[tuple[str, str, str]]:
    """Keys from the largest step down to the largest up; no number beside a number."""
    return [
        (f"{what} {step}", f"{'−' if step < 0 else '+'}{abs(step)} {unit}", "")
        for step in STEPS[what]
    ]


def _changed(air: Air, what: str, step: int) -> Air:
    if what == WARMTH:
        return replace(air, temperature_c=max(COLDEST, min(HOTTEST, air.temperature_c + step)))
    damp = max(DRIEST, min(DAMPEST, air.humidity_percent + step))
    return replace(air, humidity_percent=damp)
