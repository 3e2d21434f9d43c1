"""A bench with a rack: real files, a fixed clock, and somebody who does what the card says."""

from __future__ import annotations

from itertools import count
from pathlib import Path

from shopstep.desk import Wish
from shopstep.model.rack import KeptPiece, Stuff
from shopstep.present.card import CardMode, StepCard
from shopstep.session import commands as c
from shopstep.session.commands import Command, Refusal
from shopstep.storage.clock import FixedClock
from shopstep.storage.folders import rack_file
from shopstep.storage.rack_file import RackFile
from shopstep.units import Length, parse_length
from shopstep.wiring.benches import OpenSession, open_session, start_session
from shopstep.workbench import Accepted
from tests.floor import BEGIN_S, FILE

BOARDS = (("70 in", "5 1/2 in"), ("62 in", "7 1/4 in"), ("30 in", "5 1/2 in"))
NIGHT_S = 12 * 3600
_ids = count(1)


def kept(
    length: str, width: str, thickness: str = "3/4 in", stuff: Stuff = Stuff.WOOD, id_: str = ""
) -> KeptPiece:
    """A measured piece."""
    long, wide, thick = (parse_length(text) for text in (length, width, thickness))
    return KeptPiece(id_, stuff, long, wide, thick)


def fill_rack(*pieces: KeptPiece) -> RackFile:
    """The keeper's rack with these pieces, or with three boards and a piece of plywood."""
    rack = RackFile(rack_file())
    usual = (
        *(kept(*size) for size in BOARDS),
        kept("40 in", "23 in", "15/32 in", Stuff.PLYWOOD),
    )
    rack.add(pieces or usual, BEGIN_S)
    return rack


class RackBench:
    """A session that works with the rack."""

    def __init__(
        self, path: Path, units: int = 1, *, uses_rack: bool = True, build: str = str(FILE)
    ) -> None:
        self.path = path
        self.clock = FixedClock(BEGIN_S)
        wish = Wish(build, units=units, uses_rack=uses_rack)
        self.opened: OpenSession = start_session(wish, path, self.clock, "bench")

    def reopen(self) -> StepCard:
        """As after a crash: the files are opened again."""
        self.opened.journal.close()
        self.opened = open_session(str(self.path), self.clock, "bench")
        return self.opened.bench.card()

    def close(self) -> None:
        """Let the file go."""
        self.opened.journal.close()

    def do(self, command: Command) -> StepCard:
        """One command that must be accepted."""
        answer = self.opened.bench.do(command)
        assert isinstance(answer, Accepted), answer
        return answer.card

    def follow(self) -> StepCard:
        """Do the next thing that the card asks for; the card after it."""
        self.clock.at_s += 20
        card = self.opened.bench.card()
        command = _next_command(card)
        if command is None:
            due = [timer.due_s for timer in card.timers if timer.due_s >= self.clock.at_s]
            self.clock.at_s = min(due)
            return self.opened.bench.card()
        answer = self.opened.bench.do(command)
        if isinstance(answer, Refusal) and answer.rule == "label":
            self.do(c.ReadLabel(id=new_id(), step=card.step_id, seconds=0))
            answer = self.opened.bench.do(command)
        if isinstance(answer, Refusal) and answer.rule == "closing":  # too late: in the morning
            self.clock.at_s += NIGHT_S
            return self.opened.bench.card()
        assert isinstance(answer, Accepted), answer
        return answer.card

    def follow_to(self, work: str) -> None:
        """Until a step of that kind of work is at the bench."""
        while not self.opened.bench.card().step_id.partition("/")[2].startswith(work):
            self.follow()

    def follow_past(self, work: str) -> StepCard:
        """Until a step of that kind of work is done; the card after its tick."""
        for _ in range(3000):
            step = self.opened.bench.card().step_id
            done = len(self.opened.bench.state.finished)
            card = self.follow()
            ticked = len(self.opened.bench.state.finished) > done
            if ticked and step.partition("/")[2].startswith(work):
                return card
        raise AssertionError(f"no step of {work} was done")

    def follow_all(self) -> None:
        """To the end of the batch."""
        for _ in range(3000):
            if self.opened.bench.card().mode is CardMode.COMPLETE:
                return
            self.follow()
        raise AssertionError("the batch has no end")


def new_id() -> str:
    """A command id that was not used before."""
    return f"rack-{next(_ids)}"


def _next_command(card: StepCard) -> Command | None:
    step = card.step_id or None
    if card.mode is CardMode.WAITING:
        return None
    actions = [action.id for action in card.actions]
    if "ack" in actions:
        return c.AcknowledgeCaution(id=new_id(), step=step)
    for check in card.checks:
        if check.expected_nm is not None and not check.measured:
            value = Length(check.expected_nm)
            return c.TakeMeasure(id=new_id(), step=step, name=check.name, value=value)
    if "start" in actions:
        return c.StartSpreading(id=new_id(), step=step)
    return c.FinishStep(id=new_id(), step=step, seen=card.version)
