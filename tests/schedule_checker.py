"""An independent judge of schedules: shares no code with ``shopstep.sequence``.

Reads a schedule moment by moment and says in words what it breaks.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from shopstep.model.plan import Calendar, Shop
from shopstep.model.step import Hold, Step, Wait

MOSTS = ("open", "within")
"""Kinds of wait that limit how late something comes; all others are leasts."""


def violations(
    given: tuple[Step, ...],
    timed: tuple[Step, ...],
    waits: tuple[Wait, ...],
    holds: tuple[Hold, ...],
    shop: Shop,
    begin_s: int,
    fixed: Mapping[str, tuple[int, int]] | None = None,
) -> list[str]:
    """Everything that is wrong with ``timed`` as a schedule of ``given``; empty where it is right.

    Steps in ``fixed`` may lie anywhere, but must have kept their times; what joins two of them is
    history and not judged.
    """
    kept = dict(fixed or {})
    start = {step.id: step.start_s for step in timed}
    end = {step.id: step.end_s for step in timed}
    if sorted(start) != sorted(step.id for step in given) or len(timed) != len(given):
        return ["the schedule has other steps than it was given"]
    return [
        *_wrong_times(given, timed, start, end, begin_s, kept),
        *_overlaps(timed, kept),
        *_outside_hours(timed, shop.calendar, kept),
        *_broken_order(given, waits, start, end, kept),
        *_open_too_long(waits, start, end, kept),
        *_put_off_too_long(waits, start, end, kept),
        *_in_the_dark(timed, shop.calendar, kept),
        *_parted(timed, waits, start, end, shop.calendar, kept),
        *_too_much_taken(holds, shop, start, kept),
        *_nobody_to_help(timed, shop, kept),
    ]


def _wrong_times(
    given: tuple[Step, ...],
    timed: tuple[Step, ...],
    start: dict[str, int],
    end: dict[str, int],
    begin_s: int,
    kept: dict[str, tuple[int, int]],
) -> list[str]:
    wrong = []
    for step in given:
        if step.id in kept:
            if (start[step.id], end[step.id]) != kept[step.id]:
                wrong.append(f"{step.id} is fixed and was moved")
        elif end[step.id] - start[step.id] != step.duration_s:
            wrong.append(f"{step.id} does not take its duration")
        elif start[step.id] < begin_s:
            wrong.append(f"{step.id} starts before the beginning")
    starts = [step.start_s for step in timed]
    if starts != sorted(starts):
        wrong.append("the steps do not stand in the order of their starts")
    return wrong


def _overlaps(timed: tuple[Step, ...], kept: dict[str, tuple[int, int]]) -> list[str]:
    wrong = []
    for i, one in enumerate(timed):
        for other in timed[i + 1 :]:
            both_done = one.id in kept and other.id in kept
            apart = one.end_s <= other.start_s or other.end_s <= one.start_s
            if not both_done and not apart:
                wrong.append(f"{one.id} and {other.id} are done at the same time")
    return wrong


def _outside_hours(
    timed: tuple[Step, ...], calendar: Calendar, kept: dict[str, tuple[int, int]]
) -> list[str]:
    zone = ZoneInfo(calendar.zone)
    wrong = []
    for step in timed:
        if step.id in kept:
            continue
        first = datetime.fromtimestamp(step.start_s, zone)
        last = datetime.fromtimestamp(step.end_s, zone)
        hours = _hours_of(calendar, first)
        if hours is None:
            wrong.append(f"{step.id} lies on a day without hours: {first}")
            continue
        opens_min, closes_min, quiet_min = hours
        midnight = first.replace(hour=0, minute=0, second=0)
        closes = midnight + timedelta(minutes=closes_min)  # wall clock, not elapsed time
        opens = midnight + timedelta(minutes=opens_min)
        begins = opens.timestamp() + calendar.start_up_min * 60
        ends = closes.timestamp() - calendar.clean_up_min * 60
        if step.start_s < begins or step.end_s > ends:
            wrong.append(f"{step.id} lies outside the hours: {first} to {last}")
        if step.resources and step.start_s > ends - 15 * 60:
            wrong.append(f"{step.id} begins at a machine in the last quarter of an hour: {first}")
        quiet = None if quiet_min is None else midnight + timedelta(minutes=quiet_min)
        if step.resources and quiet is not None and step.end_s > quiet.timestamp():
            wrong.append(f"{step.id} runs a machine in the quiet hours: to {last}")
    return wrong


def _hours_of(calendar: Calendar, moment: datetime) -> tuple[int, int, int | None] | None:
    """Opening, closing and quiet minute of that day; None where the shop is closed."""
    for other in calendar.other_days:
        if other.day == moment.date().isoformat():
            if other.opens_min is None or other.closes_min is None:
                return None
            return other.opens_min, other.closes_min, other.quiet_from_min
    if moment.weekday() not in calendar.days:
        return None
    return calendar.opens_min, calendar.closes_min, calendar.quiet_from_min


def _broken_order(
    given: tuple[Step, ...],
    waits: tuple[Wait, ...],
    start: dict[str, int],
    end: dict[str, int],
    kept: dict[str, tuple[int, int]],
) -> list[str]:
    leasts = [(need, step.id, 0) for step in given for need in step.needs]
    leasts += [(w.after, w.before, w.seconds) for w in waits if w.kind not in MOSTS]
    return [
        f"{later} starts {start[later] - end[earlier]} s after {earlier}, {least} s is the least"
        for earlier, later, least in leasts
        if later not in kept and start[later] < end[earlier] + least
    ]


def _open_too_long(
    waits: tuple[Wait, ...],
    start: dict[str, int],
    end: dict[str, int],
    kept: dict[str, tuple[int, int]],
) -> list[str]:
    wrong = []
    for wait in waits:
        if wait.kind != "open" or wait.before in kept:
            continue
        if end[wait.before] > start[wait.after] + wait.seconds:
            wrong.append(f"{wait.after} to {wait.before} is open for too long")
        if start[wait.before] < end[wait.after]:
            wrong.append(f"{wait.before} closes what {wait.after} has not spread yet")
    return wrong


def _put_off_too_long(
    waits: tuple[Wait, ...],
    start: dict[str, int],
    end: dict[str, int],
    kept: dict[str, tuple[int, int]],
) -> list[str]:
    """Longest waits between steps that both were still to be planned."""
    return [
        f"{w.before} starts {start[w.before] - end[w.after]} s after {w.after}, {w.seconds} s is "
        "the most"
        for w in waits
        if w.kind == "within" and not {w.before, w.after} & set(kept)
        if start[w.before] - end[w.after] > w.seconds
    ]


def _in_the_dark(
    timed: tuple[Step, ...], calendar: Calendar, kept: dict[str, tuple[int, int]]
) -> list[str]:
    """Work outdoors that does not lie between the two minutes of the day; wall clock."""
    if calendar.daylight is None:
        return []
    zone = ZoneInfo(calendar.zone)
    wrong = []
    for step in timed:
        if not step.outdoors or step.id in kept:
            continue
        first = datetime.fromtimestamp(step.start_s, zone)
        midnight = first.replace(hour=0, minute=0, second=0)
        dawn, dusk = (
            (midnight + timedelta(minutes=minute)).timestamp() for minute in calendar.daylight
        )
        if step.start_s < dawn or step.end_s > dusk:
            wrong.append(f"{step.id} is done outdoors in the dark: {first}")
    return wrong


def _parted(
    timed: tuple[Step, ...],
    waits: tuple[Wait, ...],
    start: dict[str, int],
    end: dict[str, int],
    calendar: Calendar,
    kept: dict[str, tuple[int, int]],
) -> list[str]:
    """Steps that should follow another at once, and do not: idle time or a night between."""
    zone = ZoneInfo(calendar.zone)
    wrong = []
    for step in timed:
        if step.behind is None or step.behind in kept or step.id in kept:
            continue
        earlier, later = end[step.behind], start[step.id]
        days = {datetime.fromtimestamp(moment, zone).date() for moment in (earlier - 1, later)}
        inside = [s for s in timed if earlier <= s.start_s and s.end_s <= later]
        idle = later - earlier - sum(s.end_s - s.start_s for s in inside)
        must_wait = any(w.kind not in MOSTS and w.seconds and w.before == step.id for w in waits)
        if len(days) > 1 or later < earlier or (idle and not must_wait):
            wrong.append(f"{step.id} does not follow {step.behind} at once")
    return wrong


def _too_much_taken(
    holds: tuple[Hold, ...], shop: Shop, start: dict[str, int], kept: dict[str, tuple[int, int]]
) -> list[str]:
    """More taken at a moment than there is; of clamps also joint by joint, by their reach."""
    wrong = []
    counted = [("clamps", shop.clamps), ("drying_places", shop.drying_places)]
    if shop.bench_places is not None:
        counted.append(("bench_places", shop.bench_places))
    for hold in holds:
        if start[hold.last] < start[hold.first] and hold.last not in kept:
            wrong.append(f"{hold.resource} are given back at {hold.last} before {hold.first}")
        if hold.first in kept:
            continue
        moment = start[hold.first]
        now = [h for h in holds if start[h.first] <= moment < start[h.last]]
        for resource, have in counted:
            taken = sum(h.amount for h in now if h.resource == resource)
            if resource == hold.resource and taken > have:
                wrong.append(f"{taken} {resource} are taken at {hold.first}, {have} there are")
        if hold.resource == "clamps" and shop.clamp_sets and not _can_hand_out(now, shop):
            wrong.append(f"not every joint finds clamps that reach far enough at {hold.first}")
    return wrong


def _can_hand_out(holds: list[Hold], shop: Shop) -> bool:
    """Hands out the clamps one by one: the longest need first, the shortest that will do."""
    left = sorted(each.reach.nm for each in shop.clamp_sets for _ in range(each.count))
    needs = [h.reach.nm for h in holds if h.resource == "clamps" for _ in range(h.amount)]
    for need in sorted(needs, reverse=True):
        found = next((reach for reach in left if reach >= need), None)
        if found is None:
            return False
        left.remove(found)
    return True


def _nobody_to_help(
    timed: tuple[Step, ...], shop: Shop, kept: dict[str, tuple[int, int]]
) -> list[str]:
    """Steps for two people of which some minute lies outside every time of the helper."""
    zone = ZoneInfo(shop.calendar.zone)
    wrong = []
    for step in timed:
        if step.people < 2 or step.id in kept or not shop.helper:
            continue
        midnight = datetime.fromtimestamp(step.start_s, zone).replace(hour=0, minute=0, second=0)
        there = [
            ((midnight + timedelta(minutes=time.from_min)).timestamp(),
             (midnight + timedelta(minutes=time.to_min)).timestamp())
            for time in shop.helper
            if midnight.weekday() in time.days
        ]  # fmt: skip
        at = float(step.start_s)
        for first, last in sorted(there):
            if first <= at < last:
                at = last
        if at < step.end_s:
            wrong.append(f"{step.id} needs two people and nobody is there to help")
    return wrong
