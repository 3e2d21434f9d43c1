"""A running session that says what its ticks brought to the rack.

Imports the bench of this room, and the card's words from ``present``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from shopstep.present.card import StepCard
from shopstep.session.commands import Command, Refusal
from shopstep.workbench.bettering import BetteringBench
from shopstep.workbench.ports import Accepted


class RackedWorkbench(BetteringBench):
    """As ``BetteringBench``; set ``rack_words`` to have them stand on the card after a command."""

    rack_words: Callable[[], str] | None = None
    """What the last command brought to the rack, or why it could not be written; told once."""

    def do(self, command: Command) -> Accepted | Refusal:
        """See ``Workbench.do``."""
        answer = super().do(command)
        if isinstance(answer, Refusal):
            return answer
        return replace(answer, card=self._with_rack(answer.card))

    def card(self) -> StepCard:
        """See ``Workbench.card``."""
        return self._with_rack(super().card())

    def _with_rack(self, card: StepCard) -> StepCard:
        words = self.rack_words() if self.rack_words is not None else ""
        notice = " ".join(said for said in (card.notice, words) if said)
        return replace(card, notice=notice) if words else card
