"""Room for a glue-up: it closes before the shop does, and with clamps enough; else it waits.

Imports the plan from ``model``, and commands, events, around and refusals of this room.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from shopstep.days import time_text
from shopstep.model.plan import Plan
from shopstep.model.resources import count_reaching, set_words, with_more
from shopstep.model.step import GlueRole, Step
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.around import (
    clamp_sets_of,
    clamps_for,
    clamps_of,
    clamps_on,
    glue_up,
    reaches_to_ask,
    seconds_of,
    until_of,
)
from shopstep.session.flow import index_plan
from shopstep.session.refusals import name_step
from shopstep.session.situation import Situation
from shopstep.session.state import State
from shopstep.session.timers import local_clock, timer_of, zone_of
from shopstep.units import Length, format_length, format_span
from shopstep.words import say

MOST_CLAMPS = 1000
HALF_HOUR_S = 1800

LONGEST_EVENING_S = 12 * 3600
"""A time of day that comes later than this is not meant for this evening (our rule)."""


def may_spread(state: State, plan: Plan, command: c.Command) -> bool:
    """Whether a command may put the first glue of a step on."""
    if not isinstance(command, c.StartSpreading | c.FinishStep):
        return False
    step_id = command.step or state.at_bench
    index = index_plan(plan)
    step = index.steps.get(step_id) if step_id is not None else None
    return (
        step is not None
        and step.id not in state.spread
        and index.kind_of(step).role is GlueRole.SPREAD
    )


def check_room(situation: Situation, step: Step) -> c.Refusal | None:
    """Before the first glue of a glue-up: time enough until closing, and clamps enough.

    Glue that is on already is never refused: it has to be closed.
    """
    spreads = situation.kind_of(step).role is GlueRole.SPREAD
    if not spreads or step.id in situation.state.spread:
        return None
    if step.behind is not None and step.behind in situation.state.finished:
        return None  # in the middle of a glue-up that was let begin
    steps = glue_up(situation.plan, step)
    return _check_hours(situation, steps) or _check_clamps(situation, steps)


def _check_hours(situation: Situation, steps: tuple[Step, ...]) -> c.Refusal | None:
    until_s = until_of(situation.state, situation.around, situation.now_s)
    needed_s = seconds_of(steps)
    if until_s is None or situation.now_s + needed_s <= until_s:
        return None
    now_s, zone = situation.now_s, situation.plan.zone
    closes = local_clock(until_s // 60 * 60, now_s, zone)
    left_s = until_s - now_s
    left = say("in {span}", span=format_span(left_s)) if left_s > 0 else say("and that is past")
    end_s = -(-(now_s + needed_s) // HALF_HOUR_S) * HALF_HOUR_S
    stay = f"{datetime.fromtimestamp(end_s, zone_of(zone)):%H:%M}"
    return c.Refusal(
        say(
            "The shop closes at {closes}, {left}; from the first glue to the end of what follows "
            "at once it takes {needed}. Take another step (under More), hold until "
            "tomorrow, or say until when you stay.",
            closes=closes,
            left=left,
            needed=format_span(needed_s),
        ),
        "closing",
        say("In words: `until {stay}`.", stay=stay),
    )


def _check_clamps(situation: Situation, steps: tuple[Step, ...]) -> c.Refusal | None:
    have = clamps_of(situation.state, situation.around)
    if have is None:
        return None
    sets = clamp_sets_of(situation.state, situation.around)
    for reach in reaches_to_ask(situation.plan, steps, situation.around):
        refusal = _check_reach(situation, steps, reach, count_reaching(have, sets, reach))
        if refusal is not None:
            return refusal
    return None


def _check_reach(
    situation: Situation, steps: tuple[Step, ...], reach: Length, have: int
) -> c.Refusal | None:
    """Of the clamps that reach so far, enough are free; at 0 of all clamps."""
    plan = situation.plan
    needed = clamps_for(plan, steps, reach)
    on = [hold for hold in clamps_on(situation.state, plan) if hold.reach >= reach]
    away = [each for each in situation.around.clamps_elsewhere if each.reach >= reach]
    elsewhere = sum(each.count for each in away)
    used = sum(hold.amount for hold in on) + elsewhere
    if used + needed <= have:
        return None
    way = _first_off(situation, reach)
    if elsewhere:
        way = say("{elsewhere} hold another batch. {way}", elsewhere=elsewhere, way=way)
    enough = _counted(situation, used + needed - have, reach)
    long = say(" of {reach} reach", reach=format_length(reach, plan.display)) if reach else ""
    return c.Refusal(
        say(
            "This glue-up needs {needed} clamps{long}, and {free} of {have} are free. "
            "{way}If there are more, count them.",
            needed=needed,
            long=long,
            free=max(0, have - used),
            have=have,
            way=way,
        ),
        "clamps",
        say("In words: `clamps {enough}`.", enough=enough),
        enough if reach else "",
    )


def _counted(situation: Situation, more: int, reach: Length) -> str:
    """How it is said that there are so many more of a reach."""
    sets = clamp_sets_of(situation.state, situation.around)
    if not reach:
        return str((clamps_of(situation.state, situation.around) or 0) + more)
    return set_words(with_more(sets, more, reach), situation.plan.display)


def _first_off(situation: Situation, reach: Length) -> str:
    """Which clamps come off first, and when."""
    now_s, zone = situation.now_s, situation.plan.zone
    moments = []
    for hold in clamps_on(situation.state, situation.plan):
        if hold.reach < reach:
            continue
        waits = situation.index.waits_before.get(hold.last, ())
        timers = [
            timer
            for wait in waits
            if wait.is_least and (timer := timer_of(situation.state, wait)) is not None
        ]
        due_s = max((timer.due_s for timer in timers), default=now_s)
        moments.append((due_s, hold.last))
    if not moments:
        return ""
    due_s, step_id = min(moments)
    when = say("at {clock}", clock=local_clock(due_s, now_s, zone)) if due_s > now_s else say("now")
    return say("First {step}, {when}. ", step=name_step(situation, step_id), when=when)


def stay_until(situation: Situation, command: c.StayUntil) -> tuple[e.Event, ...] | c.Refusal:
    """The next moment of that local time; for tonight, so within half a day."""
    at_s = next_moment(command.clock, situation.now_s, situation.plan.zone)
    if at_s is None:
        text = say("'{clock}' is no time of day; give one such as 21:30.", clock=command.clock)
        return c.Refusal(text, "bad_value")
    if at_s - situation.now_s > LONGEST_EVENING_S:
        why = why_not_tonight(command.clock, at_s, situation.now_s, situation.plan.zone)
        return c.Refusal(f"{why}.", "bad_value")
    return (e.HoursTold(at_s),)


def why_not_tonight(clock: str, at_s: int, now_s: int, zone: str) -> str:
    """Why a moment (UTC seconds) does not count for this evening, without its full stop."""
    now, then = (datetime.fromtimestamp(moment_s, zone_of(zone)) for moment_s in (now_s, at_s))
    if now.date() == then.date():
        hours = LONGEST_EVENING_S // 3600
        return say(
            "{clock} is more than {hours} hours ahead: it is {now}. Give a time that is nearer",
            clock=clock.strip(),
            hours=hours,
            now=time_text(now),
        )
    return say(
        "{clock} is past: it is {now}. Give a time that is still to come",
        clock=clock.strip(),
        now=time_text(now),
    )


def next_moment(clock: str, now_s: int, zone: str) -> int | None:
    """The next moment of a local time such as ``21:30``, in UTC seconds; None where it is none."""
    hour, colon, minute = clock.strip().partition(":")
    is_time = colon and hour.isdecimal() and minute.isdecimal() and len(minute) == 2
    if not is_time or int(hour) > 23 or int(minute) > 59:
        return None
    now = datetime.fromtimestamp(now_s, zone_of(zone))
    at = now.replace(hour=int(hour), minute=int(minute), second=0)
    if at.timestamp() <= now_s:
        at += timedelta(days=1)
    return int(at.timestamp())


def count_clamps(situation: Situation, command: c.CountClamps) -> tuple[e.Event, ...] | c.Refusal:
    """As many as there are, those on joints included."""
    if not 0 <= command.count <= MOST_CLAMPS:
        text = say(
            "{count} clamps? Count 0 to {most_clamps}.",
            count=command.count,
            most_clamps=MOST_CLAMPS,
        )
        return c.Refusal(text, "bad_value")
    counted = situation.state.clamps, situation.state.clamp_sets
    if (command.count, command.sets) == counted:
        return ()
    return (e.ClampsCounted(command.count, command.sets),)
