"""The session's time: what a clock says, held against what was written down with the last entry.

Within one start of the machine its steady clock tells how much time really passed, whatever was
done to the clock on the wall: a wait is never shortened by it and an open time never lengthened.
Across starts only the wall clock can tell. There it never runs before the last entry, and a leap of
more than ``LEAP_S`` is believed only when a person says so. Imports the events and the state.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.session.events import Moment
from shopstep.session.state import State

HAIR_S = 60
"""Less is a hair between two machines, or a clock that is put right a little."""
LEAP_S = 60 * 86400
"""A longer pause than this is asked about (common practice, no source)."""
_NS = 1_000_000_000


@dataclass(frozen=True, slots=True)
class Anchor:
    """A moment of this start of the machine that session time is counted on from."""

    at_s: int
    """Session time."""
    monotonic_ns: int
    is_doubtful: bool
    """The clock had leapt when it was dropped."""


@dataclass(frozen=True, slots=True)
class Told:
    """What time it is for the session."""

    at_s: int
    """Session time, seconds since 1970 UTC; never before the last entry."""
    offset_s: int
    """Session time less what this machine's clock says."""
    is_doubtful: bool
    """The clock leapt, and nobody said yet whether it is right."""
    anchor: Anchor | None
    """To be handed back the next time."""


def tell_time(state: State, now: Moment, anchor: Anchor | None) -> Told:
    """The session's time at a moment of this machine's clock.

    ``anchor``: what the last call gave back in this run of the program.
    """
    if state.version == 0:
        return Told(now.at_s, 0, False, None)
    if _is_same_start(state, now):
        held = Anchor(state.last_s, state.last_monotonic_ns, False)
    elif anchor is not None and anchor.at_s >= state.last_s:
        held = anchor
    else:
        held = _drop_anchor(state, now)
    wall_s = now.at_s + state.offset_s
    real_s = held.at_s + max(0, now.monotonic_ns - held.monotonic_ns) // _NS
    believed = not held.is_doubtful and abs(wall_s - real_s) <= HAIR_S
    at_s = max(wall_s if believed else real_s, state.last_s)
    return Told(at_s, at_s - now.at_s, held.is_doubtful, held)


def _drop_anchor(state: State, now: Moment) -> Anchor:
    """The first sight of a clock in this start: believed unless it is behind, or leapt."""
    wall_s = now.at_s + state.offset_s
    leapt = wall_s > state.last_s + LEAP_S
    at_s = state.last_s if leapt else max(wall_s, state.last_s)
    return Anchor(at_s, now.monotonic_ns, leapt)


def _is_same_start(state: State, now: Moment) -> bool:
    return (
        bool(now.boot_id)
        and now.boot_id == state.last_boot
        and now.monotonic_ns >= state.last_monotonic_ns
    )
