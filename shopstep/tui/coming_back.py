"""Whether somebody has just come back to the bench: is told where the work stands, asked the air.

Imports the hand; knows no widget. The rules of what an interruption is and when the air is asked
for are imported when one of them may apply.
"""

from __future__ import annotations

from shopstep.tui.hand import Hand


class ComingBack:
    """Remembers a coming back until it can be told, once."""

    def __init__(self, hand: Hand, *, is_owed: bool) -> None:
        self._hand = hand
        self._is_owed = is_owed
        self._is_air_owed = is_owed
        self._is_long_hold = False
        self._is_other_evening = False
        self._told_at = -1
        """Version of the session when it was told last."""

    def look(self, action: str) -> None:
        """Before an action: whether it ends a long hold, and whether one of another day."""
        self._is_other_evening = self._is_long_hold = False
        if action != "resume":
            return
        from shopstep.present.air import asks_for_air
        from shopstep.present.summary import INTERRUPTED_S

        bench = self._hand.bench
        self._is_other_evening = asks_for_air(bench.state, bench.plan, bench.now_s())
        held_since = bench.state.held_since
        self._is_long_hold = (
            held_since is not None
            and bench.now_s() - held_since > INTERRUPTED_S
            and self._hand.card.version != self._told_at  # it was read just before
        )

    def conclude(self, *, is_taken: bool) -> None:
        """After it: a long hold that is over is a coming back."""
        self._is_owed = self._is_owed or (is_taken and self._is_long_hold)
        self._is_other_evening = is_taken and self._is_other_evening

    def is_due(self) -> bool:
        """Whether it is to be told now; from then on it is told.

        Not while a clock is in doubt, for times would be wrong: it stays owed until that is
        answered. Not at all where glue is open, for the card comes first, or where nothing is
        under way.
        """
        card, state = self._hand.card, self._hand.bench.state
        if not self._is_owed or card.clock_doubt:
            return False
        self._is_owed = False
        is_under_way = not card.mode.is_ended and bool(state.finished or state.begun)
        if not is_under_way or any(timer.is_most for timer in card.timers):
            return False
        self._told_at = card.version
        return True

    def is_air_due(self) -> bool:
        """Whether the air is to be asked for now: once, after a coming back on another day.

        On opening nothing of this day is stored yet; where a hold ends, it was looked at before.
        It stays owed while a clock is in doubt.
        """
        bench = self._hand.bench
        is_owed = self._is_air_owed or self._is_other_evening
        if not is_owed or self._is_owed or self._hand.card.clock_doubt:
            return False
        from shopstep.present.air import asks_for_air

        is_sure, self._is_air_owed, self._is_other_evening = self._is_other_evening, False, False
        return is_sure or asks_for_air(bench.state, bench.plan, bench.now_s())
