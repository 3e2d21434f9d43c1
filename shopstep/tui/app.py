"""The bench app: puts the bench screen on the terminal.

Imports the themed app, the hand and the screens; started by ``run_bench``.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from shopstep.present.card import MANUAL_FIRST, CardMode
from shopstep.tui.hand import Hand, new_command_id
from shopstep.tui.key_map import KeyMap
from shopstep.tui.ringing import Ringing, Silent
from shopstep.tui.screens.bench_screen import BenchScreen
from shopstep.tui.step_picture import StepPicture
from shopstep.tui.themed_app import ThemedApp
from shopstep.words import say
from shopstep.workbench.ports import Alarm

if TYPE_CHECKING:
    from textual.screen import Screen

    from shopstep.present.face import Bench
    from shopstep.tui.bench import Pictures
    from shopstep.tui.hearing import Ears
    from shopstep.tui.screens.offcut_page import PutPiece
    from shopstep.tui.speaking import Speech


class BenchApp(ThemedApp):
    """One bench on one terminal."""

    def __init__(
        self,
        bench: Bench,
        theme: str = "dark",
        *,
        is_resumed: bool = False,
        is_far: bool = False,
        greets: bool = False,
        alarm: Alarm | None = None,
        rings_at_machines: bool = False,
        key_map: KeyMap | None = None,
        pictures: Pictures | None = None,
        put_offcut: PutPiece | None = None,
        speech: Speech | None = None,
        ears: Ears | None = None,
        listens: str = "push",
        monotonic: Callable[[], float] = time.monotonic,
        new_id: Callable[[], str] = new_command_id,
    ) -> None:
        super().__init__(theme, key_map)
        self._ringing = Ringing(
            alarm or Silent(), lambda: self.bell(), at_machines=rings_at_machines
        )
        if speech is not None:
            from shopstep.tui.speaking import Speaking

            self._ringing.speaking = Speaking(speech, monotonic, at_machines=rings_at_machines)
        if ears is not None:
            from shopstep.tui.hearing import Hearing

            self._ringing.hearing = Hearing(ears, listens, monotonic, self._ringing.speaking)
        self.hand = Hand(bench, monotonic, new_id)
        card = self.hand.card
        if greets and card.mode is not CardMode.CAUTION and not card.notice:
            self.hand.told = say(MANUAL_FIRST)  # a caution's card says it itself
        self._is_resumed = is_resumed
        self._is_far = is_far
        self._picture = StepPicture(bench, pictures)
        self.put_offcut = put_offcut
        """Puts a piece on the rack; None where that is not offered."""

    def get_default_screen(self) -> Screen[None]:
        """The bench; there is no other screen under it."""
        return BenchScreen(
            self.hand, self._ringing, self._picture,
            is_resumed=self._is_resumed, is_far=self._is_far,
        )  # fmt: skip
