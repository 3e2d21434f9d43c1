"""How far the card in sight was read, and for what the focus was put where it stands.

Imports the card only.
"""

from __future__ import annotations

from shopstep.present.card import StepCard


class PagesSeen:
    """Of one card at a time; a new card is read from its first page."""

    def __init__(self) -> None:
        self.page = 0
        self.is_read = self.is_ready = False
        """Whether the last page was seen, and whether a caution's first answer was given."""
        self._paged_for: tuple[object, ...] = ()
        self._focused_for: tuple[object, ...] = ()

    def begin(self, card: StepCard) -> None:
        """Start anew where another card stands there."""
        paged_for = (card.version, card.step_id, card.mode)
        if paged_for != self._paged_for:
            self._paged_for = paged_for
            self.page = 0
            self.is_read = self.is_ready = False

    def see(self, page: int, pages: int) -> None:
        """A page is in sight."""
        self.page = page
        self.is_read = self.is_read or page == pages - 1

    def stay_put(self, card: StepCard) -> None:
        """The same step under another plan: the page and the focus are where they were."""
        paged_for = (card.version, card.step_id, card.mode)
        if self._paged_for[1:] == paged_for[1:]:
            self._focused_for = (*paged_for, *self._focused_for[len(paged_for) :])
            self._paged_for = paged_for

    def moves_focus(self, first_focus: str) -> bool:
        """Whether a new card, or a new page, has the focus put where it does no harm."""
        focused_for = (*self._paged_for, first_focus, self.page, self.is_ready)
        is_new, self._focused_for = focused_for != self._focused_for, focused_for
        return is_new
