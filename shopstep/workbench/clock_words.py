"""What is said about a clock that was moved. Imports ``session`` and the days of ``present``."""

from __future__ import annotations

from shopstep.present.moments import day_words, local_date
from shopstep.session.clockwork import HAIR_S, Told
from shopstep.session.state import State
from shopstep.units import format_span
from shopstep.words import say, to_say

CLOCK_WORDS = to_say("In words: `clock right`, or `clock wrong`.")


def clock_notice(told: Told, clock_s: int, state: State, zone: str) -> str:
    """What is to be said about the clock; empty while it goes as it should.

    ``clock_s``: what the machine's clock says, seconds since 1970 UTC.
    """
    if told.is_doubtful:
        says, last = (day_words(local_date(at_s, zone)) for at_s in (clock_s, state.last_s))
        return say(
            "The clock says {says}, the last entry is of {last}. Is the clock right?",
            says=says,
            last=last,
        )
    if told.offset_s > HAIR_S:
        return say(
            "This machine's clock is {offset} behind the session; times "
            "run on from the last entry. Set the clock.",
            offset=format_span(told.offset_s),
        )
    if told.offset_s < -HAIR_S:
        return say(
            "This machine's clock is {offset} ahead of the session, for "
            "it was moved; times run on as they really passed.",
            offset=format_span(-told.offset_s),
        )
    return ""
