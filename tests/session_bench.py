"""What the session's tests share: a request, a journal in memory, and a bench to play at."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import count

from shopstep.model.codec import digest, to_text
from shopstep.model.plan import BuildText, Calendar, Conditions, Plan, PlanRequest, Shop
from shopstep.session import commands as c
from shopstep.session.decide import begin_batch, decide
from shopstep.session.events import Envelope, Event, Moment, PlanRevised
from shopstep.session.evolve import evolve, fold
from shopstep.session.state import State
from shopstep.units import Length
from shopstep.workbench import VersionTaken
from tests.sample_plan import BEGIN_S, make_plan

RIP = "all/rip/rail"
_ids = count(1)


def new_id() -> str:
    """A command id that was not used before."""
    return f"c{next(_ids)}"


def moment_at(at_s: int) -> Moment:
    """A moment of a machine that was started once."""
    return Moment(at_s, "UTC", "boot", at_s * 1_000_000_000)


def make_request(units: int = 2) -> PlanRequest:
    """A request as the sample plan could have been made from."""
    calendar = Calendar(zone="UTC", opens_min=540, closes_min=1260, days=(0, 1, 2, 3, 4, 5, 6))
    return PlanRequest(
        build=BuildText("sample.yaml", "schema: 1\ntitle: Sample – “frame” ✓\n"),
        parents=(),
        settings=(("board", "3/4 in"),),
        units=units,
        display="in",
        shop=Shop("shed", calendar, clamps=4, drying_places=6, kerf=Length.inches("1/8")),
        conditions=Conditions(20.0, 50.0),
        rack=(),
        begin_s=BEGIN_S,
        seed=1,
    )


def first_events(plan: Plan, at_s: int = BEGIN_S) -> tuple[Event, ...]:
    """What a session begins with."""
    return begin_batch(plan, plan.build_title, digest(to_text(plan)), "b" * 64, at_s)


class MemoryJournal:
    """A journal without a disk, with the manners of the real one."""

    def __init__(self, plan: Plan | None = None, request: PlanRequest | None = None) -> None:
        first = plan if plan is not None else make_plan()
        self.plans = {1: first}
        self.stored: list[Envelope] = []
        self._request = request if request is not None else make_request()
        self.append(0, first_events(first), moment_at(BEGIN_S), "bench", "begin")

    def request(self) -> PlanRequest:
        """What the first plan was made from."""
        return self._request

    def plan(self, number: int) -> Plan:
        """A stored plan."""
        return self.plans[number]

    def events_after(self, version: int) -> tuple[Envelope, ...]:
        """Envelopes with a higher version."""
        return tuple(self.stored[version:])

    def events_of(self, command_id: str) -> tuple[Envelope, ...]:
        """What is stored for a command."""
        return tuple(one for one in self.stored if one.command_id == command_id)

    def snapshot(self) -> State | None:
        """Nothing is kept."""
        return None

    def keep_snapshot(self, state: State) -> None:
        """Nothing has to be kept in memory."""

    def append(
        self,
        expected_version: int,
        events: tuple[Event, ...],
        moment: Moment,
        face: str,
        command_id: str,
        plan: Plan | None = None,
    ) -> tuple[Envelope, ...]:
        """Stores events, or gives back those of a command that is stored already."""
        known = tuple(one for one in self.stored if one.command_id == command_id)
        if known or not events:
            return known if events else ()
        if expected_version != len(self.stored):
            raise VersionTaken
        made = tuple(
            Envelope(number, event, moment, face, command_id)
            for number, event in enumerate(events, expected_version + 1)
        )
        self.stored += made
        for event in events:
            if plan is not None and isinstance(event, PlanRevised):
                self.plans[event.number] = plan
        return made


@dataclass
class Play:
    """A batch played without journal or workbench: commands go straight to ``decide``."""

    plan: Plan = field(default_factory=make_plan)
    now_s: int = BEGIN_S
    envelopes: list[Envelope] = field(default_factory=list)
    state: State = field(default_factory=State)

    def __post_init__(self) -> None:
        self.store(first_events(self.plan, self.now_s), "begin")

    def store(self, events: tuple[Event, ...], command_id: str, at_s: int | None = None) -> None:
        """Events become true now, or at another moment that the clock told."""
        for event in events:
            moment = moment_at(self.now_s if at_s is None else at_s)
            envelope = Envelope(self.state.version + 1, event, moment, "test", command_id)
            self.envelopes.append(envelope)
            self.state = evolve(self.state, envelope)

    def ask(self, command: c.Command, at_s: int | None = None) -> tuple[Event, ...] | c.Refusal:
        """What follows from a command; what follows becomes true."""
        moment = moment_at(self.now_s if at_s is None else at_s)
        verdict = decide(self.state, self.plan, command, moment)
        if not isinstance(verdict, c.Refusal):
            self.store(verdict, command.id, at_s)
        return verdict

    def do(self, command: c.Command) -> tuple[Event, ...]:
        """The same, for a command that must be carried out."""
        verdict = self.ask(command)
        assert not isinstance(verdict, c.Refusal), verdict
        return verdict

    def refused(self, command: c.Command) -> c.Refusal:
        """The same, for a command that must be refused and change nothing."""
        before = self.state
        verdict = self.ask(command)
        assert isinstance(verdict, c.Refusal), verdict
        assert self.state == before
        assert verdict.text.endswith((".", "?", "`")), verdict
        return verdict

    def finish(self, step: str | None = None) -> tuple[Event, ...]:
        """Finishes a step, with its cautions answered and its numbers as planned."""
        target = step or self.state.at_bench
        assert target is not None
        self.do(c.AcknowledgeCaution(id=new_id(), step=target))
        if target.endswith("glue/square"):
            self.measure(target, Length.inches(0))
        return self.do(c.FinishStep(id=new_id(), step=target))

    def measure(self, step: str, value: Length) -> tuple[Event, ...]:
        """Reads the diagonals."""
        return self.do(c.TakeMeasure(id=new_id(), step=step, name="diagonals_differ", value=value))

    def finish_until(self, step: str) -> None:
        """Finishes step after step, a minute each and waiting where it must, until it comes."""
        while self.state.at_bench != step:
            if self.state.at_bench is None:
                self.now_s += 600
                self.do(c.HoldBatch(id=new_id()))
                self.do(c.ResumeBatch(id=new_id()))
            else:
                self.now_s += 60
                self.finish()

    def refold(self) -> State:
        """The state from the stored events alone."""
        return fold(self.envelopes)
