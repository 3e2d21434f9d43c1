"""The moments of ticks made on paper: as written down, and between those as the plan has them.

Imports steps from ``model``, and commands, refusals and situation of this room.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from shopstep.model.step import Step, Wait, WaitKind
from shopstep.session import commands as c
from shopstep.session.refusals import name_step
from shopstep.session.situation import Situation
from shopstep.session.timers import local_clock, zone_of
from shopstep.words import say, to_say

NOTHING = to_say("Nothing was entered.")
LONGEST_AGO_S = 16 * 3600
"""A time of day without its day lies no further back: later ones are likely still to come."""
_MINUTE_S = 60
_CLOCK = re.compile(r"(?:(\d{4})-(\d\d?)-(\d\d?)[ T]+)?(\d\d?):(\d\d)")


@dataclass(frozen=True, slots=True)
class Placed:
    """When a step was finished, and, where it spread glue, when that began."""

    at_s: int
    since_s: int
    is_told: bool = False
    """Whether ``since_s`` was written down."""


@dataclass(frozen=True, slots=True)
class Told:
    """What was written down: moments in seconds since 1970 UTC, by step."""

    finished: Mapping[str, int]
    since: Mapping[str, int]
    """By the step that spreads."""


def starts_wait(wait: Wait) -> bool:
    """Whether what comes after has to wait from the end of the first step."""
    return wait.is_least


def read_times(
    situation: Situation, times: Iterable[c.ToldTime], steps: tuple[Step, ...], joints: set[str]
) -> Told | c.Refusal:
    """The moments in what was written; a refusal for one that cannot be."""
    finished: dict[str, int] = {}
    since: dict[str, int] = {}
    ticked = {step.id: step for step in steps}
    for told in times:
        at_s = _read(situation, told.step, told.clock)
        if isinstance(at_s, c.Refusal):
            return at_s
        finished[told.step] = at_s
        if not told.since:
            continue
        since_s = _read(situation, told.step, told.since)
        if isinstance(since_s, c.Refusal):
            return since_s
        spreads = _spread_by(situation, told.step) if told.step in joints else []
        if not spreads or any(spread not in ticked for spread in spreads):
            name = name_step(situation, told.step)
            text = say(
                "{name}: when its glue went on is known already, or none did. {nothing}",
                name=name,
                nothing=say(NOTHING),
            )
            return c.Refusal(text, "bad_value")
        if since_s > at_s:
            name = name_step(situation, told.step)
            text = say(
                "{name}: it was closed at {clock}, before its glue went on. {nothing}",
                name=name,
                clock=told.clock,
                nothing=say(NOTHING),
            )
            return c.Refusal(text, "bad_value")
        for spread in spreads:
            since[spread] = since_s
            finished[spread] = min(at_s, since_s + ticked[spread].duration_s)
    return Told(finished, since)


def _spread_by(situation: Situation, close: str) -> list[str]:
    waits = situation.index.waits_before.get(close, ())
    return [wait.after for wait in waits if wait.kind is WaitKind.OPEN]


def _read(situation: Situation, step: str, clock: str) -> int | c.Refusal:
    """One moment: a clock time, or with its day."""
    name, zone, now_s = name_step(situation, step), situation.plan.zone, situation.now_s
    at_s = moment_in(clock, now_s, zone)
    if at_s is None:
        text = say(
            "{name}: '{clock}' is no time; write 19:42, or with its day 2026-01-14 19:42.",
            name=name,
            clock=clock,
        )
        return c.Refusal(f"{text} {say(NOTHING)}", "bad_value")
    if at_s > now_s:
        text = say(
            "{name}: {clock} is still to come; of another day write 2026-01-14 19:42.",
            name=name,
            clock=clock,
        )
        return c.Refusal(f"{text} {say(NOTHING)}", "bad_value")
    started_s = situation.state.started_s
    if at_s < started_s // _MINUTE_S * _MINUTE_S:
        began = local_clock(started_s // _MINUTE_S * _MINUTE_S, now_s, zone)
        text = say(
            "{name}: {clock} is before the session began ({began}). {nothing}",
            name=name,
            clock=clock,
            began=began,
            nothing=say(NOTHING),
        )
        return c.Refusal(text, "bad_value")
    return at_s


def moment_in(clock: str, now_s: int, zone: str) -> int | None:
    """The moment of a written time (seconds since 1970 UTC), maybe after now; None for no time.

    Without a day it is the last such time of day, or, where that is ``LONGEST_AGO_S`` ago, the
    next.
    """
    match = _CLOCK.fullmatch(clock.strip())
    if match is None:
        return None
    year, month, day, hour, minute = match.groups()
    now = datetime.fromtimestamp(now_s, zone_of(zone))
    try:
        today = now.replace(hour=int(hour), minute=int(minute), second=0, microsecond=0, fold=0)
        if year is not None:
            named = today.replace(year=int(year), month=int(month), day=int(day))
            return int(named.timestamp())
    except ValueError:
        return None
    at_s = int(today.timestamp())
    yesterday_s = at_s - 86400
    is_last_night = at_s > now_s and now_s - yesterday_s <= LONGEST_AGO_S
    return yesterday_s if is_last_night else at_s


def place_times(
    situation: Situation, steps: tuple[Step, ...], told: Told
) -> dict[str, Placed] | c.Refusal:
    """A moment for each step, in their order; a refusal where what was written cannot be.

    What nobody wrote down stands as late as the next written moment lets it by the plan's times;
    after the last one it follows by those times, and never after now.
    """
    latest = _latest(steps, told)
    done = dict(situation.state.finished)
    placed: dict[str, Placed] = {}
    before_s, before = situation.state.started_s, ""
    last_s = max(done.values(), default=before_s)
    for step in steps:
        least_s, why = _earliest(situation, step, done)
        if before_s > least_s:
            least_s, why = before_s, before
        at_s = told.finished.get(step.id)
        if at_s is None:
            soon_s = max(least_s, last_s) + step.duration_s
            wanted_s = latest[step.id] if step.id in latest else min(soon_s, situation.now_s)
            at_s = max(wanted_s, least_s)
        too_early = step.id in told.finished and at_s <= least_s - _MINUTE_S
        if too_early or least_s > situation.now_s:
            return _refuse_early(situation, step, why, least_s, at_s)
        at_s = max(at_s, least_s)
        usual_s = max(at_s - step.duration_s, min(least_s, at_s))
        placed[step.id] = Placed(
            at_s, told.since.get(step.id, usual_s), is_told=step.id in told.since
        )
        done[step.id] = before_s = at_s
        before = step.id
    return placed


def _latest(steps: tuple[Step, ...], told: Told) -> dict[str, int]:
    """The latest moment of each step before one that was written down."""
    latest: dict[str, int] = {}
    limit_s: int | None = None
    for step in reversed(steps):
        limit_s = told.finished.get(step.id, limit_s)
        if limit_s is not None:
            latest[step.id] = limit_s
            limit_s -= step.duration_s
    return latest


def _earliest(situation: Situation, step: Step, done: Mapping[str, int]) -> tuple[int, str]:
    """When all that the step needs and waits for is over, and the step that it is for."""
    moments = [(done[need], need) for need in step.needs if need in done]
    for wait in situation.index.waits_before.get(step.id, ()):
        if wait.is_least and wait.after in done:
            moments.append((done[wait.after] + wait.seconds, wait.after))
    return max(moments, default=(situation.state.started_s, ""))


def _refuse_early(situation: Situation, step: Step, why: str, least_s: int, at_s: int) -> c.Refusal:
    """A step that was written down, or that now is, before what must come before it is over."""
    now_s, zone = situation.now_s, situation.plan.zone
    name, least = name_step(situation, step.id), local_clock(least_s, now_s, zone)
    after = say(" ({step} comes first)", step=name_step(situation, why)) if why else ""
    if least_s > now_s:
        text = say(
            "{name} cannot be done before {least}{after}; that is still to come.",
            name=name,
            least=least,
            after=after,
        )
        return c.Refusal(f"{text} {say(NOTHING)}", "waiting")
    told = local_clock(at_s, now_s, zone)
    text = say(
        "{name} was not yet possible at {told}, only from {least}{after}: times are out of",
        name=name,
        told=told,
        least=least,
        after=after,
    )
    return c.Refusal(
        say("{text} order or a wait was cut short. {nothing}", text=text, nothing=say(NOTHING)),
        "bad_value",
    )
