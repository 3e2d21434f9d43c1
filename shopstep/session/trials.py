"""Trials in scrap: from what was read to what is changed at the machine, and the words for it.

A slope's heel is its end on the table (at the gauge: along the stop), its toe the other end,
further out. A gap at one of them is light under a bevel gauge, read square to it: light at the toe
means that the blade stands too upright, light at the heel that it leans too far. Where the gauge
shows no light, the gap is that from the slope to its pencil line, even all along. Elementary
geometry; ``tests/test_trials.py`` holds it against lines in the plane.

Imports ``model``, the units and the readings of this room.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopstep.model.step import Check, Trial
from shopstep.session.state import Reading
from shopstep.units import ZERO, Angle, Length, format_angle, format_length
from shopstep.words import say, to_say

TOE, HEEL, EVEN = "toe", "heel", "even"
PLACES = (TOE, HEEL, EVEN)
"""Where the gap at a slope can be."""
WHERE_IT_IS = to_say(
    "Even means all along: the gauge lies flat, but the cut is off its pencil line."
)
_AT = to_say({TOE: " at the toe", HEEL: " at the heel", EVEN: " all along"})
_TURNS = {
    "tilt": to_say(("tilt the blade {by} more", "tilt the blade {by} less")),
    "gauge": to_say(
        ("turn the gauge {by} further off square", "turn the gauge {by} nearer to square")
    ),
}
"""What is done at a bevel where more is wanted, and where less."""
_MISSED = {
    "width": to_say(("too narrow", "too wide")),
    "depth": to_say(("too shallow", "too deep")),
    "place": to_say(("too near", "too far off")),
}
_OTHERWISE = to_say(("too small", "too large"))
_SAME = to_say("cut the scrap again and measure")
_OTHER = to_say("cut a new piece of scrap and measure")
_SAW_OFF, _ROUTER_OFF = to_say("saw off"), to_say("router off")


@dataclass(frozen=True, slots=True)
class _Move:
    """What is moved for a size: where too little was read, and where too much."""

    more: str
    less: str
    can_recut: bool = True
    """Whether the scrap that came out too small can be cut again; one too large is waste."""
    off: str = _SAW_OFF
    """No setting is changed while the machine runs."""


_MOVES = {
    "last_pass": _Move(
        "move the fence of the last pass {by} away from the blade",
        "move the fence of the last pass {by} towards the blade",
    ),
    "fence": _Move(
        "move the fence {by} away from the blade", "move the fence {by} towards the blade"
    ),
    "fence_place": _Move(
        "move the fence {by} away from the blade, for every pass",
        "move the fence {by} towards the blade, for every pass",
        can_recut=False,
    ),
    "shims": _Move("add {by} of shims to the dado set", "take {by} of shims out of the dado set"),
    "guide": _Move(
        "move the edge guide {by} away from the bit for the last pass",
        "move the edge guide {by} towards the bit for the last pass",
        off=_ROUTER_OFF,
    ),
    "guide_place": _Move(
        "move the edge guide {by} away from the bit, for every pass",
        "move the edge guide {by} towards the bit, for every pass",
        can_recut=False,
        off=_ROUTER_OFF,
    ),
    "key": _Move(
        "move the key {by} away from the cut", "move the key {by} towards the cut", can_recut=False
    ),
    "height": _Move("raise the blade {by}", "lower the blade {by}"),
    "depth": _Move("set the bit {by} deeper", "set the bit {by} shallower", off=_ROUTER_OFF),
    "stop": _Move(
        "move the stop {by} away from the cut",
        "move the stop {by} towards the cut",
        can_recut=False,
    ),
}
"""By what is corrected: the further fence, guide, key or stop stands off, the larger the size."""
SETTINGS = frozenset({*_MOVES, *_TURNS})
"""Every setting that a trial can correct."""


def asks_where(check: Check) -> bool:
    """Whether a reading of this check needs to be told where the gap is."""
    return check.trial is not None and check.trial.kind == "bevel"


def turn_by(trial: Trial, gap: Length, where: str) -> Angle:
    """How much further blade or gauge is turned from square; negative for less.

    ``gap`` is square to the bevel gauge, at the toe or the heel, a slope's length from where they
    touch. An even gap is no matter of the angle: 0.
    """
    turn = Angle.from_rise(gap, trial.leg)
    return {TOE: turn, HEEL: Angle(-turn.microdeg)}.get(where, Angle(0))


def shift_by(trial: Trial, gap: Length) -> Length:
    """How far fence or stop moves for an even gap, which is measured square to the slope."""
    return Length(round(gap.nm / math.cos(math.radians(trial.turned.microdeg / 1_000_000))))


def say_where(where: str) -> str:
    """ " at the toe", " at the heel", " all along"; empty where nothing is to be told."""
    return say(_AT.get(where, ""))


def say_correction(check: Check, reading: Reading, unit: str) -> str:
    """What is changed before the next try, as a clause; empty where there is nothing to say."""
    trial = check.trial
    if trial is None or check.value is None or reading.within:
        return ""
    if trial.kind == "bevel":
        return _say_bevel(trial, Length(reading.nm), reading.where, unit, reading.tries)
    move = _MOVES.get(trial.setting)
    if move is None:
        return ""
    off = Length(reading.nm) - check.value
    by = format_length(abs(off), unit)
    if off < ZERO:
        return _say_change(move.off, say(move.more, by=by), _SAME if move.can_recut else _OTHER)
    return _say_change(move.off, say(move.less, by=by), _OTHER)


def _say_change(off: str, change: str, then: str) -> str:
    return say("{off}, {change}, then {then}", off=say(off), change=change, then=say(then))


_HALF_FROM = 4
"""From this try on a slope is turned by half of what was read: on a short one, readings to 1/64 in
would else turn it to and fro for ever (our own rule; ``tests.test_trials`` is a saw that obeys)."""


def _say_bevel(trial: Trial, gap: Length, where: str, unit: str, tries: int) -> str:
    """At the toe wood is missing, so that scrap is waste; at the heel the toe is still to go."""
    if where == EVEN:
        by, thing = format_length(shift_by(trial, gap), unit), trial.placed_by
        return say(
            "{saw_off}, then, where wood is left outside the line, move the {thing} {by} towards "
            "the blade and {same}; where the line is cut away, {by} away from the blade, and "
            "{other}",
            saw_off=say(_SAW_OFF),
            thing=thing,
            by=by,
            same=say(_SAME),
            other=say(_OTHER),
        )
    turn = turn_by(trial, gap, where)
    if not turn.microdeg or trial.setting not in _TURNS:
        return ""
    more, less = _TURNS[trial.setting]
    done, then = (more, _OTHER) if turn > Angle(0) else (less, _SAME)
    by = format_angle(Angle(abs(turn.microdeg) // (2 if tries >= _HALF_FROM else 1)))
    return _say_change(_SAW_OFF, say(done, by=by), then)


def say_try(check: Check, reading: Reading, unit: str) -> str:
    """The whole sentence of a try that is outside: "Try 2: gap 1/16 in at the toe. Saw off, …"."""
    correction = say_correction(check, reading, unit)
    if not correction or check.trial is None or check.value is None:
        return ""
    read = format_length(Length(reading.nm), unit)
    told = say("gap {read}{where}", read=read, where=say_where(reading.where))
    if check.trial.kind != "bevel":
        off = Length(reading.nm) - check.value
        little, much = _MISSED.get(check.trial.kind, _OTHERWISE)
        told = f"{read}, {format_length(abs(off), unit)} {say(little if off < ZERO else much)}"
    return say(
        "Try {tries}: {told}. {correction}{correction_2}.",
        tries=reading.tries,
        told=told,
        correction=correction[0].upper(),
        correction_2=correction[1:],
    )
