"""One running session, as every face sees it: commands in, cards out, new plans in between.

Imports ``present`` for the card. What decides a command, and what makes a plan anew, is imported
with the first one: showing a card needs neither.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from shopstep.model.bench import BenchReading
from shopstep.model.plan import BuildText, Plan, PlanRefused, PlanRequest
from shopstep.model.step import Step
from shopstep.present.card import StepCard
from shopstep.present.card_for import card_for
from shopstep.session.clockwork import HAIR_S, Anchor, Told, tell_time
from shopstep.session.events import ClockNoticed, Envelope, Event, Moment
from shopstep.session.evolve import evolve
from shopstep.session.flow import ready_steps
from shopstep.session.revision import (
    Facts,
    describe_revision,
    facts_of,
    new_misfits,
    planned_facts,
    say_new,
)
from shopstep.session.state import State
from shopstep.words import say
from shopstep.workbench.clock_words import CLOCK_WORDS, clock_notice
from shopstep.workbench.ports import (
    Accepted,
    Clock,
    Journal,
    NoSurroundings,
    Planner,
    Surroundings,
    VersionTaken,
)
from shopstep.workbench.replies import (
    MOVED,
    asks_for_plan,
    note_of,
    plan_not_stored,
    revision_id,
    say_refused,
    several_builds,
)

if TYPE_CHECKING:
    from shopstep.session.commands import Command, MoveToBuild, Refusal

KEPT_EVERY = 500
"""Events after which the folded state is kept anew, so that opening stays fast."""
_TRIES = 200
"""How often a command is decided anew because another face wrote first."""
_REVISIONS = 3
"""How often a plan is made anew because the session moved while it was being made."""


class Workbench:
    """One running session, as every face sees it. Use from one thread."""

    def __init__(
        self,
        journal: Journal,
        clock: Clock,
        face: str,
        planner: Planner | None = None,
        surroundings: Surroundings | None = None,
    ) -> None:
        self._journal = journal
        self._surroundings: Surroundings = surroundings or NoSurroundings()
        self._clock = clock
        self._face = face
        self._planner = planner
        self._state = journal.snapshot() or State()
        self._kept_version = self._state.version
        self._anchor: Anchor | None = None
        self._told = Told(0, 0, False, None)
        """What the session's time was made of just now."""
        self._request = journal.request()
        self._read_events()
        self._plan_number = max(1, self._state.plan_number)
        self._plan = journal.plan(self._plan_number)
        self._in_vain: tuple[BenchReading, ...] | None = None
        """Readings that no plan can follow."""

    @property
    def state(self) -> State:
        """The state as last read; ``card`` and ``do`` read what other faces wrote."""
        return self._state

    @property
    def plan(self) -> Plan:
        """The plan that the state is about."""
        return self._plan

    def now_s(self) -> int:
        """Now (seconds since 1970 UTC), and never before the latest moment of the session."""
        return self._moment().at_s

    def _moment(self) -> Moment:
        """This moment in the session's time; see ``session.clockwork``."""
        moment = self._clock.now()
        self._told = tell_time(self._state, moment, self._anchor)
        self._anchor = self._told.anchor
        return replace(moment, at_s=self._told.at_s)

    def card(self) -> StepCard:
        """The card as it stands now, with what other faces did."""
        self._reload()
        return self._show()

    def better(self) -> StepCard | None:
        """See ``bettering``: the card under a better plan, told once; here there never is one."""

    def ready(self) -> tuple[Step, ...]:
        """The steps that are ready now, in plan order."""
        self._reload()
        return ready_steps(self._state, self._plan, self.now_s())

    def catch_up(self) -> None:
        """Makes the plan that a noted fact asks for, where that was cut off before it was stored.

        Where no plan fits the fact, or none can be stored, nothing changes: refusals say so at the
        bench. What a thermometer says counts as noted.
        """
        self._reload()
        air = self._surroundings.air()
        if air is not None and air != facts_of(self._state, self._plan).conditions:
            self.do(note_of(air, f"{self._state.version}/air"))
        if self._planner is not None and not self._is_followed():
            with suppress(PlanRefused):
                self._follow_possible(self._planner, f"{self._state.version}/late plan")

    def changes_since(self, version: int) -> tuple[Envelope, ...]:
        """All events with a higher version, in order."""
        self._reload()
        is_news = version < self._state.version
        return self._journal.events_after(max(version, 0)) if is_news else ()

    def do(self, command: Command) -> Accepted | Refusal:
        """Carries out a command; what it changes is on disk before this returns.

        A command that is stored already is not decided again.
        """
        from shopstep.session.commands import AnswerClock, Refusal, TakeNote

        for _ in range(_TRIES):
            self._reload()
            if known := self._journal.events_of(command.id):
                return Accepted(self._show(), known)
            moment = self._moment()
            if self._told.is_doubtful:
                is_late_note = isinstance(command, TakeNote) and self._state.is_over
                if not (isinstance(command, AnswerClock) or is_late_note):
                    return Refusal(self._clock_notice(), "clock", say(CLOCK_WORDS))
                moment = self._answered(command, moment)
            elif isinstance(command, AnswerClock):
                return Refusal(say("Nobody doubts the clock just now."), "clock")
            verdict = self._decide(command, moment)
            if isinstance(verdict, Refusal):
                return verdict
            try:
                if verdict:
                    self._append((*self._clock_events(), *verdict), moment, command.id)
            except VersionTaken:
                continue
            return self._conclude(command)
        return Refusal(say("Another screen writes all the time; try once more."), "busy")

    def _decide(self, command: Command, moment: Moment) -> tuple[Event, ...] | Refusal:
        from shopstep.session.decide import decide
        from shopstep.session.room import may_spread

        around = self._surroundings.look(moment.at_s)
        if may_spread(self._state, self._plan, command):
            around = replace(around, clamps_elsewhere=self._surroundings.clamps_elsewhere())
        return decide(self._state, self._plan, command, moment, around)

    def builds(self) -> tuple[BuildText, ...]:
        """The build that the session follows, and its parents, as they stand in it."""
        if self._state.texts:
            return tuple(BuildText(*named) for named in self._state.texts)
        more = (text for o in self._request.others for text in (o.build, *o.parents))
        return (self._request.build, *self._request.parents, *more)

    def plan_moved(self, texts: tuple[tuple[str, str], ...]) -> Plan:
        """The plan for what is left, from other build texts; PlanRefused where there is none."""
        if self._planner is None:
            raise PlanRefused(())
        self._reload()
        request = self._request_for(facts_of(self._state, self._plan), texts)
        return self._planner.revise(request, self._plan, self._moments(), self.now_s())

    def ahead(self) -> Plan:
        """The plan with times from now on, as far as the batch has really come; not stored."""
        if self._planner is None:
            raise PlanRefused(())
        self._reload()
        return self._planner.retime(self._plan, self._request.shop, self._moments(), self.now_s())

    def plan_tonight(self, until_s: int, *, quiet: bool) -> Plan:
        """The plan for what is left, with this day's work from now to ``until_s``; not stored.

        ``quiet``: no machine runs tonight. PlanRefused where there is no plan.
        """
        from shopstep.session.hours import day_until

        if self._planner is None:
            raise PlanRefused(())
        self._reload()
        now_s = self.now_s()
        request = self._request_for(self._known(), self._state.texts)
        tonight = day_until(request.shop.calendar, now_s, until_s, quiet=quiet)
        shop = replace(request.shop, calendar=tonight)
        return self._planner.revise(replace(request, shop=shop), self._plan, self._moments(), now_s)

    def move(self, command: MoveToBuild) -> Accepted | Refusal:
        """Goes over to another build text: the fact and its plan are stored together."""
        from shopstep.session.commands import Refusal

        for _ in range(_REVISIONS):
            self._reload()
            moment = self._moment()
            if self._told.is_doubtful:
                return Refusal(self._clock_notice(), "clock", say(CLOCK_WORDS))
            if self._request.others:
                return several_builds()
            verdict = self._decide(command, moment)
            if isinstance(verdict, Refusal):
                return verdict
            if not verdict:
                return Accepted(self._show(), ())
            old = self._plan
            try:
                plan = self.plan_moved(command.texts)
            except PlanRefused as refused:
                return say_refused(refused)
            revised = describe_revision(self._state, old, plan, say(MOVED))
            try:
                self._append((*verdict, revised), moment, command.id, plan)
            except VersionTaken:
                continue
            anew = say("The plan was made anew: {moved}.", moved=say(MOVED))
            return self._accepted(command, " ".join([anew, *new_misfits(old, plan)]))
        return Refusal(say("Another screen writes all the time; try once more."), "busy")

    def _answered(self, command: Command, moment: Moment) -> Moment:
        """The moment that counts from now on: the clock's, or the one that ran on."""
        if not getattr(command, "right", True):
            return moment
        wall_s = self._clock.now().at_s + self._state.offset_s
        self._told = Told(wall_s, self._state.offset_s, False, None)
        self._anchor = None
        return replace(moment, at_s=wall_s)

    def _clock_events(self) -> tuple[Event, ...]:
        """What was found out about the clock, to be stored with the next entry."""
        moved_s = self._told.offset_s - self._state.offset_s
        return (ClockNoticed(self._told.offset_s),) if abs(moved_s) > HAIR_S else ()

    def _show(self, notice: str = "") -> StepCard:
        now_s = self.now_s()
        card = card_for(self._state, self._plan, now_s, notice or self._clock_notice())
        return replace(card, clock_doubt=self._told.is_doubtful)

    def _clock_notice(self) -> str:
        return clock_notice(self._told, self._clock.now().at_s, self._state, self._plan.zone)

    def _conclude(self, command: Command) -> Accepted | Refusal:
        if asks_for_plan(command):
            return self._revise_plan(command)
        if self._planner is not None and self._lags_readings():
            return self._follow_readings(self._planner, command)
        return self._accepted(command)

    def _lags_readings(self) -> bool:
        """Whether something was read that the plan does not follow, and not in vain before."""
        readings = facts_of(self._state, self._plan).readings
        return readings not in (self._plan.readings, self._in_vain)

    def _follow_readings(self, planner: Planner, command: Command) -> Accepted:
        """The step is done whatever comes of its number; what the plan makes of it is said."""
        try:
            notice = self._follow_facts(planner, revision_id(command))
        except PlanRefused as refused:
            self._in_vain = facts_of(self._state, self._plan).readings
            notice = say("The plan stays as it is: {refused}", refused=say_refused(refused).text)
        return self._accepted(command, notice)

    def _reload(self) -> None:
        self._read_events()
        if self._state.plan_number > self._plan_number:
            self._plan_number = self._state.plan_number
            self._plan = self._journal.plan(self._plan_number)

    def _read_events(self) -> None:
        for envelope in self._journal.events_after(self._state.version):
            self._state = evolve(self._state, envelope)
        if self._state.version - self._kept_version >= KEPT_EVERY:
            self._journal.keep_snapshot(self._state)
            self._kept_version = self._state.version

    def _accepted(self, command: Command, notice: str = "") -> Accepted:
        ids = (command.id, revision_id(command))
        made = tuple(one for id_ in ids for one in self._journal.events_of(id_))
        return Accepted(self._show(notice), made)

    def _append(
        self,
        events: tuple[Event, ...],
        moment: Moment,
        command_id: str,
        plan: Plan | None = None,
    ) -> None:
        version = self._state.version
        self._journal.append(version, events, moment, self._face, command_id, plan)
        self._reload()

    def _revise_plan(self, command: Command) -> Accepted | Refusal:
        """A new plan for the noted air; one that is based on an older version is dropped."""
        notice = ""
        if self._planner is not None:
            try:
                notice = self._follow_possible(self._planner, revision_id(command))
            except PlanRefused as refused:
                return say_refused(refused)
        return self._accepted(command, notice)

    def _follow_possible(self, planner: Planner, plan_id: str) -> str:
        """Follows all that is known, or all but readings where no plan follows those."""
        try:
            return self._follow_facts(planner, plan_id)
        except PlanRefused:
            readings = facts_of(self._state, self._plan).readings
            if readings in (self._plan.readings, self._in_vain):
                raise
            self._in_vain = readings
        try:
            return self._follow_facts(planner, plan_id)
        except PlanRefused:
            self._in_vain = None
            raise

    def _known(self) -> Facts:
        """All that is known, but for readings in vain."""
        facts = facts_of(self._state, self._plan)
        if facts.readings == self._in_vain:
            return replace(facts, readings=self._plan.readings)
        return facts

    def _follow_facts(self, planner: Planner, plan_id: str) -> str:
        """Revises the plan until it fits all that is known; what there is to say about it."""
        for _ in range(_REVISIONS):
            if self._is_followed():
                return ""
            old, facts = self._plan, self._known()
            request = self._request_for(facts, self._state.texts)
            plan = planner.revise(request, old, self._moments(), self.now_s())
            revised = describe_revision(self._state, old, plan, say_new(facts, old))
            if revised.plan_hash == self._state.plan_hash:
                return ""
            try:
                self._append((revised,), self._moment(), plan_id, plan)
            except VersionTaken:
                self._reload()
                continue
            except Exception as problem:  # a full disk has room for the fact, and not for a plan
                return plan_not_stored(problem)
            anew = say("The plan was made anew: {reason}.", reason=revised.reason)
            return " ".join([anew, *new_misfits(old, plan)])
        return say("The plan could not be made anew while others work; note the air once more.")

    def _request_for(self, facts: Facts, texts: tuple[tuple[str, str], ...]) -> PlanRequest:
        """What the first plan was made from, with what is known since."""
        builds = tuple(BuildText(*named) for named in texts)
        rack = self._surroundings.look(self.now_s()).rack
        return replace(
            self._request,
            rack=self._request.rack if rack is None else rack,
            build=builds[0] if builds else self._request.build,
            parents=builds[1:] if builds else self._request.parents,
            conditions=facts.conditions,
            remakes=facts.remakes,
            readings=facts.readings,
            read_labels=facts.labels,
        )

    def _is_followed(self) -> bool:
        """Whether the plan was made for all that is known, readings in vain aside."""
        return self._known() == planned_facts(self._plan)

    def _moments(self) -> dict[str, tuple[int, int]]:
        """When each finished step was really begun and finished, as far as it was seen."""
        spent, finished = self._state.spent, self._state.finished
        return {step: (end_s - spent.get(step, 0), end_s) for step, end_s in finished.items()}
