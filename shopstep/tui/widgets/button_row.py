"""The buttons of a screen: a fixed pool of widgets put where the places say.

Imports ``places`` and the button. Pooled widgets are moved and renamed, never made anew, so nothing
flickers when the card changes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from textual.widget import Widget

from shopstep.tui.places import Place
from shopstep.tui.widgets.big_button import BigButton, fits_tall

if TYPE_CHECKING:
    from textual.app import ComposeResult


class ButtonRow(Widget):
    """Holds the buttons and moves the focus among them."""

    DEFAULT_CSS = "ButtonRow { width: 100%; height: 3; }"
    ALLOW_SELECT = False

    def __init__(self, most: int) -> None:
        super().__init__()
        self._pool = [BigButton() for _ in range(most)]
        self._order: list[str] = []

    def compose(self) -> ComposeResult:
        """All buttons of the pool, out of sight."""
        for button in self._pool:
            button.display = False
            yield button

    def shown(self) -> Iterator[BigButton]:
        """Buttons in sight, from left to right and from top to bottom."""
        return (button for button in self._pool if button.display)

    def put(self, places: Sequence[Place], order: Sequence[str] = ()) -> None:
        """Show exactly these buttons; ``order`` is the way of the focus, else the places' own."""
        self._order = list(order) or [place.action for place in places]
        talls = _tall_ones(places)
        for index, button in enumerate(self._pool):
            if index < len(places):
                button.stand(places[index], places[index].action in talls)
            else:
                button.display = False

    def find(self, choice: str) -> BigButton | None:
        """The button of an action or choice, if it is in sight."""
        return next((b for b in self.shown() if b.place.action == choice), None)

    def focused_choice(self) -> str:
        """The choice of the button that has the focus, or an empty string."""
        return next((b.place.action for b in self.shown() if b.has_focus), "")

    def focus_on(self, choice: str) -> None:
        """Give a button the focus; an empty string or an unknown choice takes it from all."""
        button = self.find(choice)
        self.screen.set_focus(button)

    def blink(self, choice: str) -> None:
        """Show on a button that its touch or key came too soon."""
        button = self.find(choice)
        if button is not None:
            button.blink()

    def move_focus(self, by: int) -> None:
        """The next (or the previous) button in the order of the focus, round and round."""
        order = [choice for choice in self._order if self.find(choice)]
        if not order:
            return
        now = self.focused_choice()
        if now in order:
            self.focus_on(order[(order.index(now) + by) % len(order)])
        else:
            self.focus_on(order[0 if by > 0 else -1])


def _tall_ones(places: Sequence[Place]) -> set[str]:
    """Which labels are drawn in tall letters: leading ones that fit, else a group all or none."""
    lead = {p.action for p in places if p.is_lead and fits_tall(p)}
    groups: dict[str, list[Place]] = {}
    for place in places:
        if not place.is_lead:
            groups.setdefault(place.group, []).append(place)
    whole = [group for group in groups.values() if all(fits_tall(p) for p in group)]
    return lead | {place.action for group in whole for place in group}
