"""The hand at the bench: turns choices into commands, once each, and keeps the card they gave.

Imports the bench protocol and the card; knows no widget. Time comes in as a function that gives
monotonic seconds. Commands are imported with the first choice: no card needs them to be shown.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING
from uuid import uuid4

from shopstep.model.step import Step
from shopstep.present.card import CardCheck, CardMode, StepCard
from shopstep.present.deviations import deviation_name
from shopstep.tui.actions import LOCAL
from shopstep.tui.glove import BOUNCE_S, Glove
from shopstep.words import say, to_say

if TYPE_CHECKING:
    from shopstep.present.face import Bench
    from shopstep.session.commands import Command
    from shopstep.units import Length


def new_command_id() -> str:
    """A fresh id for one activation."""
    return uuid4().hex


READ_S = 0.8
"""Who answers a caution sooner than this has not read it."""

PAGE_S = 1.5
"""Back on the card sooner than this after a page closed was Back to the step, pressed too late."""
PAGE_CLOSED = to_say("A page has just closed. Back again takes the last tick back.")


class Hand(Glove):
    """Holds the card in sight and sends what is chosen on it."""

    def __init__(
        self,
        bench: Bench,
        monotonic: Callable[[], float],
        new_id: Callable[[], str] = new_command_id,
    ) -> None:
        super().__init__(monotonic)
        self.bench = bench
        self._new_id = new_id
        self._closed_at = float("-inf")
        self.card: StepCard = bench.card()
        """What stands on the screen."""
        self.refused = ""
        """The sentence of the last refusal; empty once something was accepted."""
        self.rule = ""
        """Key of the refusal just now; empty where there is none."""
        self.told = ""
        """What nobody asked for and is worth a sentence; stays until something is done."""
        self.counted = ""
        """Clamps by their reach that would have been enough; empty where that is not asked."""
        self.trouble = ""
        """Why the session cannot be read just now; empty while it can."""

    @property
    def notice(self) -> str:
        """What the notice bar says."""
        return self.refused or self.trouble or self.told or self.card.notice

    def let_go(self) -> None:
        """The notice was read."""
        self.refused = self.told = ""

    def is_bounce(self) -> bool:
        """Whether what is shown has only just come up; a caution has to be read first."""
        return self.is_shown_for_less(READ_S if self.card.mode is CardMode.CAUTION else BOUNCE_S)

    def mark_closed(self) -> None:
        """A page that lay over the card has closed."""
        self._closed_at = self._monotonic()

    def refuse_back(self) -> None:
        """Say once that Back was not taken; the next one counts."""
        self._closed_at = float("-inf")
        self.refused = say(PAGE_CLOSED)

    def is_meant_for_page(self, action: str) -> bool:
        """Whether Back was meant for a page that has only just closed; its key is the same."""
        return action == "back" and self._monotonic() - self._closed_at < PAGE_S

    @property
    def deviation(self) -> str:
        """What "Keep as it is" would keep now; empty for nothing."""
        return deviation_name(self.card, self.bench.now_s())

    def opens_page(self, action: str) -> bool:
        """Whether an action opens a page; what would be kept is asked about on one first."""
        return action in LOCAL or (action == "accept" and bool(self.deviation))

    def choose(self, action: str) -> bool:
        """Send the command of an action; True when the session took it."""
        if self.is_bounce():
            return False
        from shopstep.tui.requests import make_command

        command = make_command(action, self.card, self._new_id(), self.bench.now_s())
        if command is None:
            self.refused = say("There is nothing to keep as it is on this card.")
            return False
        return self._send(command)

    def measure(self, check: CardCheck, value: Length, where: str = "") -> bool:
        """Send a reading for a check of the card; True when the session took it.

        ``where``: of a gap at a slope, ``toe``, ``heel`` or ``even``.
        """
        from shopstep.session.commands import TakeMeasure

        return self._send(
            TakeMeasure(
                id=self._new_id(),
                step=self.card.step_id or None,
                seen=self.card.version,
                name=check.name,
                value=value,
                where=where,
            )
        )

    def take(self, step_id: str) -> bool:
        """Bring another ready step to the bench; True when the session took it."""
        from shopstep.session.commands import TakeStep

        return self._send(TakeStep(id=self._new_id(), step=step_id, seen=self.card.version))

    def say(self, choice: str) -> bool:
        """Send what a row of a page stands for; True when the session took it."""
        from shopstep.present.choices import command_of

        command = command_of(choice, self.card, self._new_id())
        return command is not None and self._send(command)

    def carry_out(self, command: Command) -> bool:
        """Send a command that was made elsewhere; True when the session took it."""
        return self._send(command)

    def _send(self, command: Command) -> bool:
        from shopstep.session.commands import Refusal

        try:
            answer = self.bench.do(command)
        except Exception as problem:  # the screen must outlive a full or removed disk
            self.refused = say(
                "This was not saved, nothing has changed: {bare}. Try again.", bare=_bare(problem)
            )
            return False
        self.rule = answer.rule if isinstance(answer, Refusal) else ""
        self.counted = answer.counted if isinstance(answer, Refusal) else ""
        if isinstance(answer, Refusal):
            self.refused = answer.text
            return False
        self.let_go()
        self._show(answer.card)
        return True

    def _show(self, card: StepCard) -> None:
        if (card.version, card.step_id, card.mode) != (
            self.card.version,
            self.card.step_id,
            self.card.mode,
        ):
            self.mark_shown()
        self.card = card

    def refresh(self) -> bool:
        """Ask for the card anew; True when what stands on the screen is to change."""
        return self._read(self.bench.card)

    def look_for_changes(self) -> bool:
        """Whether another face changed something; then the new card is in sight."""
        return self._read(self._changed_card)

    def look_for_better(self) -> bool:
        """Whether the plan got better beside the work; the step in sight stays as it is."""
        try:
            card = self.bench.better()
        except Exception:  # nobody waits for it: the plan in force stands
            return False
        if card is None:
            return False
        self.told = " ".join(said for said in (self.told or self.card.notice, card.notice) if said)
        self.card = card
        return True

    def _changed_card(self) -> StepCard:
        if not self.bench.changes_since(self.card.version):
            return self.card
        card = self.bench.card()
        self.let_go()
        return card

    def _read(self, read: Callable[[], StepCard]) -> bool:
        before = (self.card, self.notice)
        try:
            self._show(read())
            self.trouble = ""
        except Exception as problem:  # reading is tried again soon; the card in sight stays
            self.trouble = say("The session cannot be read just now: {bare}.", bare=_bare(problem))
        return (self.card, self.notice) != before

    def open_check(self) -> CardCheck | None:
        """The first check that still asks for a number."""
        for check in self.card.checks:
            is_settled = check.within or check.accepted
            if check.expected_nm is not None and not is_settled:
                return check
        return None

    def other_steps(self) -> tuple[Step, ...]:
        """Steps to be taken besides the one at the bench; none while glue is open.

        A step that helps to close the glue comes by itself; any other would be refused.
        """
        if any(timer.is_most for timer in self.card.timers):
            return ()
        return tuple(step for step in self.bench.ready() if step.id != self.card.step_id)


def _bare(problem: Exception) -> str:
    """What went wrong, without the full stop at its end."""
    return str(problem).removesuffix(".")
