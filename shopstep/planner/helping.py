"""What is said about steps for two people: whom to ask for when, and where nobody is there.

Imports the room sequence and ``model``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from zoneinfo import ZoneInfo

from shopstep.days import near_day, time_text
from shopstep.model.plan import Finding, Level, Shop, Where
from shopstep.model.step import Step, StepKind
from shopstep.sequence.helping import helped_start, helper_on, helper_words
from shopstep.sequence.hours import evenings
from shopstep.words import say

HELP_RULES = ("two_people", "helper_away")
"""Rules of the findings that are told here."""


def tell_help(
    kinds: Iterable[StepKind],
    steps: tuple[Step, ...],
    shop: Shop,
    finished: Mapping[str, tuple[int, int]],
) -> tuple[Finding, ...]:
    """A NOTE where the shop names no helper's times; a WARN where one is away all the same.

    ``steps`` have their times; those that are finished are passed over.
    """
    ahead = [step for step in steps if step.people > 1 and step.id not in finished]
    if not ahead:
        return ()
    titles = {kind.id: kind.title for kind in kinds}
    if shop.helper:
        return tuple(
            _away(step, titles[step.kind], shop) for step in ahead if not _is_helped(step, shop)
        )
    return (_ask(ahead, titles, steps, shop),)


def _is_helped(step: Step, shop: Shop) -> bool:
    zone = shop.calendar.zone
    day = datetime.fromtimestamp(step.start_s, ZoneInfo(zone)).date()
    times = helper_on(shop.helper, zone, day)
    return helped_start(times, step.start_s, ((0, step.duration_s),)) == step.start_s


def _away(step: Step, title: str, shop: Shop) -> Finding:
    at = _when(step, shop)
    text = say(
        "'{title}' ({step_id}) cannot wait, and at {at} no helper is there: {helper}.",
        title=title,
        step_id=step.id,
        at=at,
        helper=helper_words(shop.helper),
    )
    where = Where(name=step.id)
    return Finding(Level.WARN, "helper_away", text, where, say("Ask somebody for then."))


def _ask(
    ahead: list[Step], titles: Mapping[str, str], steps: tuple[Step, ...], shop: Shop
) -> Finding:
    numbers = {
        step.id: number
        for number, evening in enumerate(evenings(steps, shop.calendar), 1)
        for step in evening.steps
    }
    first = ahead[0]
    count = say("1 step needs") if len(ahead) == 1 else say("{ahead} steps need", ahead=len(ahead))
    others = sorted({numbers[step.id] for step in ahead} - {numbers[first.id]})
    more = say("; more on evening {map}", map=", ".join(map(str, others))) if others else ""
    text = say(
        "{count} a second pair of hands: first '{titles}', evening {numbers}, {when}{more}.",
        count=count,
        titles=titles[first.kind],
        numbers=numbers[first.id],
        when=_when(first, shop),
        more=more,
    )
    where = Where(name=first.id)
    return Finding(Level.NOTE, "two_people", text, where, say("Ask somebody for then."))


def _when(step: Step, shop: Shop) -> str:
    """``Sat 29 Nov 14:20``."""
    at = datetime.fromtimestamp(step.start_s, ZoneInfo(shop.calendar.zone))
    return f"{near_day(at.date())} {time_text(at)}"
