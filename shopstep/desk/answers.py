"""The desk: answers for everything that comes before the bench.

Imports ``session`` for the first event, ``present`` for what counts of several readings, ``model``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import TYPE_CHECKING

from shopstep.model.codec import build_digest, digest, to_text
from shopstep.model.interface import FitReport
from shopstep.model.measure import Questionnaire, Reading
from shopstep.model.plan import (
    BuildFileError,
    BuildSummary,
    BuildText,
    Conditions,
    Finding,
    Limit,
    OtherBuild,
    Plan,
    PlanRequest,
    Prefer,
    Shop,
    Where,
)
from shopstep.model.price import Priced
from shopstep.model.proof import Proof
from shopstep.model.reason import Reason
from shopstep.present.readings import origin_words, pick_value
from shopstep.units import write_exact

if TYPE_CHECKING:
    from shopstep.session.events import Event


from shopstep.desk.calling import CallNames, build_tags, call_names
from shopstep.desk.ports import (
    Measurements,
    NoPast,
    NothingMeasured,
    Past,
    Planner,
    Profile,
    Profiles,
    Rack,
    Shelf,
)
from shopstep.desk.varying import WhatIf, what_if
from shopstep.words import say, say_count


@dataclass(frozen=True, slots=True)
class Wish:
    """What a person asks to have planned, as typed."""

    build: str
    also: tuple[tuple[str, int], ...] = ()
    """Further builds for the same evenings, each with its units."""
    settings: tuple[tuple[str, str], ...] = ()
    units: int = 1
    shop: str | None = None
    temperature_c: float | None = None
    humidity_percent: float | None = None
    display: str | None = None
    only: tuple[str, ...] = ()
    """Names of the parts to make; empty: all."""
    limits: tuple[tuple[str, str], ...] = ()
    """The keeper's own ranges by fit, as typed."""
    night_c: float | None = None
    labels: tuple[tuple[str, str], ...] = ()
    """What labels say, as typed; before what the shop keeps."""
    prefer: str | None = None
    """What counts first in the order of the steps; None: as the shop has it."""
    quiet_from_min: int | None = None
    """No machine after this minute of the day; None: as the shop has it."""
    guessed_times: bool = False
    """Plan with the guessed times, although there are own ones."""
    prices: tuple[tuple[str, str], ...] = ()
    """What stock costs, as typed; before what the shop keeps."""
    uses_rack: bool = True
    """Cut from what lies on the keeper's rack before anything is bought."""


@dataclass(frozen=True, slots=True)
class Asking:
    """What a build asks for, and what a shop has kept of it."""

    shop: str
    zone: str
    """IANA name of the shop's time zone."""
    asks: Questionnaire
    kept: Mapping[str, tuple[Reading, ...]]
    """All that the shop has kept, also for other builds."""


@dataclass(frozen=True, slots=True)
class Start:
    """All that a new session file holds at its beginning."""

    request: PlanRequest
    plan: Plan
    events: tuple[Event, ...]


class Desk:
    """Answers for everything that comes before the bench."""

    def __init__(
        self,
        shelf: Shelf,
        profiles: Profiles,
        rack: Rack,
        planner: Planner,
        measurements: Measurements | None = None,
        past: Past | None = None,
    ) -> None:
        self._shelf = shelf
        self._profiles = profiles
        self._rack = rack
        self._planner = planner
        self._measurements = measurements or NothingMeasured()
        self._past = past or NoPast()

    def builds(self) -> tuple[BuildSummary, ...]:
        """The builds on the shelf."""
        return self._shelf.entries()

    def shops(self) -> tuple[str, ...]:
        """Names of the keeper's shops, the usual one first; also those only measured for."""
        return tuple(dict.fromkeys((*self._profiles.names(), *self._measurements.shops())))

    def request(self, wish: Wish, begin_s: int) -> PlanRequest:
        """The full request for a wish: texts, measurements, shop, air, rack.

        A measurement given with the wish comes first, then what the shop has kept. Of several
        builds each gets the settings that it asks for.
        """
        if wish.also:
            return self._request_of_several(wish, begin_s)
        build, parents = self._shelf.find(wish.build)
        profile = self.profile(wish.shop)
        display = wish.display if wish.display is not None else profile.display
        air = profile.conditions
        used, origins = self._kept_settings(wish, profile.shop.name, build, parents, display)
        return PlanRequest(
            build=build,
            parents=parents,
            settings=(*wish.settings, *used),
            units=wish.units,
            display=display,
            shop=_wished_shop(profile.shop, wish),
            conditions=Conditions(
                air.temperature_c if wish.temperature_c is None else wish.temperature_c,
                air.humidity_percent if wish.humidity_percent is None else wish.humidity_percent,
                air.night_c if wish.night_c is None else wish.night_c,
            ),
            labels=(*wish.labels, *self._kept_labels(profile, build, parents)),
            rack=self._rack.pieces() if wish.uses_rack else (),
            kept_rack=self._rack.identity() if wish.uses_rack else "",
            begin_s=begin_s,
            seed=0,
            origins=origins,
            only=wish.only,
            limits=(
                *(Limit(fit, text) for fit, text in wish.limits),
                *(Limit(fit, text, typed=False) for fit, text in profile.limits),
            ),
            prices=(
                *(Priced(name, text) for name, text in wish.prices),
                *(Priced(name, text, typed=False) for name, text in profile.prices),
            ),
        )

    def _request_of_several(self, wish: Wish, begin_s: int) -> PlanRequest:
        """One request for all builds; the first one's display and labels."""
        names = (wish.build, *(name for name, _ in wish.also))
        ids = [self.build_id(name) for name in names]
        called, tags = call_names(names, ids), build_tags(ids)
        one, *others = self._requests(names, replace(wish, also=()), begin_s, called)
        labels = dict.fromkeys(told for request in (one, *others) for told in request.labels)
        return replace(
            one,
            labels=tuple(labels),
            others=tuple(
                OtherBuild(tag, r.build, r.parents, r.settings, units, r.origins)
                for tag, r, (_, units) in zip(tags[1:], others, wish.also, strict=True)
            ),
        )

    def _kept_labels(
        self, profile: Profile, build: BuildText, parents: tuple[BuildText, ...]
    ) -> tuple[tuple[str, str], ...]:
        """Of the labels that the shop keeps, those of glues and paints that the build uses."""
        if not profile.labels:
            return ()
        used = self._planner.supplies(build, parents)
        return tuple(told for told in profile.labels if told[0].partition(".")[0] in used)

    def _kept_settings(
        self,
        wish: Wish,
        shop: str,
        build: BuildText,
        parents: tuple[BuildText, ...],
        display: str,
    ) -> tuple[tuple[tuple[str, str], ...], tuple[tuple[str, str], ...]]:
        """Kept values that the build asks for and nobody gave, exactly; and their origins."""
        kept = self._measurements.kept(shop)
        if not kept:
            return (), ()
        asks = self._planner.ask_measurements(build, parents, wish.settings, display)
        given = dict(wish.settings)
        used = [
            (question, kept[question.name])
            for question in asks.questions
            if question.name in kept and question.name not in given
        ]
        return (
            tuple((q.name, write_exact(pick_value(found, q.several))) for q, found in used),
            tuple((q.name, origin_words(found, q.several, asks.display)) for q, found in used),
        )

    def profile(self, name: str | None) -> Profile:
        """A shop by name, or the usual one.

        A name that measurements are kept under, but no settings, is the usual shop with other
        measurements: "neighbour's eights". BuildFileError where the name stands for neither.
        """
        try:
            return self._profiles.profile(name)
        except BuildFileError as unknown:
            if name is None or unknown.where.name != name or not self._measurements.kept(name):
                raise
            return self._renamed(name)

    def _renamed(self, name: str) -> Profile:
        profile = self._profiles.profile(None)
        return replace(profile, shop=replace(profile.shop, name=name))

    def asking(self, wish: Wish, *, is_new: bool = False) -> Asking:
        """What a build asks for and what its shop has kept; ``is_new`` lets a name begin here."""
        build, parents = self._shelf.find(wish.build)
        profile = self._shop_to_measure_for(wish.shop, is_new)
        display = wish.display if wish.display is not None else profile.display
        asks = self._planner.ask_measurements(build, parents, (), display, explain=True)
        shop = profile.shop
        return Asking(shop.name, shop.calendar.zone, asks, self._measurements.kept(shop.name))

    def kept(self, shop: str | None) -> Asking:
        """All that a shop has kept, without a build that asks."""
        profile = self.profile(shop)
        asks = Questionnaire("", profile.display or "in", ())
        name = profile.shop.name
        return Asking(name, profile.shop.calendar.zone, asks, self._measurements.kept(name))

    def _shop_to_measure_for(self, name: str | None, is_new: bool) -> Profile:
        try:
            return self.profile(name)
        except BuildFileError as unknown:
            if name is None or unknown.where.name != name:
                raise
            if is_new:
                return self._renamed(name)
            raise BuildFileError(
                say(
                    "{unknown} (to begin measurements under this name, add --new)",
                    unknown=unknown.text,
                ),
                unknown.where,
            ) from None

    def keep(self, shop: str, readings: tuple[Reading, ...]) -> None:
        """Keep readings for a shop; on disk on return."""
        self._measurements.keep(shop, readings)

    def put_away(self, shop: str, name: str, at_s: int) -> int:
        """Let the kept readings of a measurement count no more; how many there were."""
        return self._measurements.put_away(shop, name, at_s)

    def plan(self, wish: Wish, begin_s: int) -> Plan:
        """The plan for a wish, from a moment on."""
        return self._planner.make_plan(self._request_with_past(wish, begin_s))

    def explain(self, wish: Wish, begin_s: int, step: str) -> tuple[Plan, tuple[Reason, ...]]:
        """The plan, and why a step of it does not start earlier; BuildFileError for no step."""
        request = self._request_with_past(wish, begin_s)
        plan = self._planner.make_plan(request)
        known = [each.id for each in plan.steps]
        if step not in known:
            near = get_close_matches(step, known, n=1, cutoff=0.0)
            raise BuildFileError(
                say(
                    "there is no step '{step}' in this plan; nearest is '{near}'",
                    step=step,
                    near=near[0],
                ),
                Where("--why", 0, step),
            )
        return plan, self._planner.explain_chain(plan, request.shop, step)

    def vary(self, wish: Wish, begin_s: int) -> tuple[Plan, tuple[WhatIf, ...]]:
        """The plan, and what a little more of one thing would make of it."""
        request = self._request_with_past(wish, begin_s)
        plan = self._planner.make_plan(request)
        return plan, what_if(request, plan, self._planner)

    def _request_with_past(self, wish: Wish, begin_s: int) -> PlanRequest:
        """The request with the keeper's own times, unless guesses are asked for, and notes."""
        times = () if wish.guessed_times else self._past.times()
        return replace(self.request(wish, begin_s), times=times, to_get=self._past.to_get())

    def build_id(self, build: str) -> str:
        """The id of a build by file or name; BuildFileError where there is none."""
        text, parents = self._shelf.find(build)
        return self._planner.build_id(text, parents)

    def check(self, wish: Wish, begin_s: int) -> tuple[Finding, ...]:
        """Every finding for a wish."""
        return self._planner.check_build(self.request(wish, begin_s))

    def prove(self, wish: Wish, begin_s: int) -> Proof:
        """The proof of one unit from its solids."""
        return self._planner.prove_build(self.request(wish, begin_s))

    def compare(self, old: str, new: str, wish: Wish, begin_s: int) -> tuple[Plan, Plan]:
        """The plans of two builds at the same measurements; ``wish.build`` is passed over."""
        alike = replace(wish, uses_rack=False)
        return self._planner.plan_alike(*self._requests((old, new), alike, begin_s))

    def fit(self, builds: tuple[str, ...], wish: Wish) -> FitReport:
        """Whether builds go together at the same measurements; ``wish.build`` is passed over."""
        return self._planner.fit_builds(self._requests(builds, replace(wish, uses_rack=False), 0))

    def _requests(
        self, builds: tuple[str, ...], wish: Wish, begin_s: int, names: CallNames = ()
    ) -> tuple[PlanRequest, ...]:
        """A request for each build, with those of the settings that it asks for.

        ``names``: what each can be called by in a setting for it alone.
        """
        texts = tuple(self._shelf.find(build) for build in builds)
        sorted_settings = self._planner.sort_settings(texts, wish.settings, names)
        return tuple(
            self.request(replace(wish, build=build, settings=settings), begin_s)
            for build, settings in zip(builds, sorted_settings, strict=True)
        )

    def start(self, wish: Wish, begin_s: int) -> Start:
        """Plan a wish and say what its session begins with."""
        from shopstep.session.decide import begin_batch

        request = self._request_with_past(wish, begin_s)
        plan = self._planner.make_plan(request)
        events = begin_batch(
            plan,
            title=_batch_title(plan, request),
            plan_hash=digest(to_text(plan)),
            build_digest=build_digest(request.build, followed_texts(request)[1:]),
            now_s=begin_s,
        )
        return Start(request, plan, events)


def _wished_shop(shop: Shop, wish: Wish) -> Shop:
    """The shop as it is wished for this plan."""
    calendar = shop.calendar
    if wish.quiet_from_min is not None:
        calendar = replace(calendar, quiet_from_min=wish.quiet_from_min)
    prefer = shop.prefer if wish.prefer is None else Prefer(wish.prefer)
    return replace(shop, calendar=calendar, prefer=prefer)


def _batch_title(plan: Plan, request: PlanRequest) -> str:
    parts = {part.name: part.title for part in plan.parts}
    only = ", ".join(parts[name] for name in request.only)
    told = [(made.title, len(made.units)) for made in plan.makes] or [
        (plan.build_title, plan.units)
    ]
    titles = "; ".join(
        say_count("{title}, {n} unit", "{title}, {n} units", n, title=title) for title, n in told
    )
    return f"{titles}{say(', only {only}', only=only) if only else ''}"


def followed_texts(request: PlanRequest) -> tuple[BuildText, ...]:
    """All build files that a request rests on, the first one's own in front."""
    others = tuple(text for other in request.others for text in (other.build, *other.parents))
    return (request.build, *request.parents, *others)
