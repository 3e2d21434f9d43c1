"""What cannot be cut into a part as it is drawn: a table by kind of feature.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from shopstep.milling.bevels import GAUGE_LIMIT, is_across_end, is_tilted, off_square
from shopstep.milling.channels import is_stopped_rabbet
from shopstep.milling.faces import extent_across, is_end
from shopstep.milling.fingers import last_finger, whole_widths
from shopstep.milling.grooves import needs_router
from shopstep.model.feature import Bevel, Dado, Fingers, Groove, Holes, Notch, Rabbet, Recess
from shopstep.model.part import Part
from shopstep.model.plan import Level
from shopstep.units import ZERO, Angle, Length, format_angle, format_length
from shopstep.words import say

_TILT_LIMIT = Angle.degrees(45)
_THIN_LIP = Length.inches("1/8")
"""A lip thinner than this breaks off (common practice, no source)."""
DADO_SET = Length.inches("13/16")
"""The widest that a dado set cuts at once (common practice, no source; its own sheet rules)."""
_FLOOR = Length.inches("1/4")
"""So much wood is left behind a pocket (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Bench:
    """What a check has to know besides the part and its feature."""

    kerf: Length
    display: str

    def say(self, length: Length) -> str:
        """The length in the person's unit."""
        return format_length(length, self.display)


Wrong = tuple[Level, str, str, str]
"""Level, rule, sentence and remedy."""


def _check_groove(part: Part, groove: Groove, bench: Bench) -> Iterator[Wrong]:
    across = extent_across(part, groove.reference)
    deep = extent_across(part, groove.face)
    if groove.width < bench.kerf:
        yield (
            Level.STOP,
            "groove_under_kerf",
            say(
                "groove {groove_name} of the {part_label} is {width} wide, but the "
                "blade takes {kerf}",
                groove_name=groove.name,
                part_label=part.label,
                width=bench.say(groove.width),
                kerf=bench.say(bench.kerf),
            ),
            say("make it at least as wide as the blade, or give the kerf of a thinner blade"),
        )
    if groove.offset + groove.width > across or groove.depth >= deep:
        yield _outside(part, groove.name, say("leaves the wood"))
    if groove.stop_start + groove.stop_end >= part.length:
        yield _outside(part, groove.name, say("is stopped before it begins"))
    elif needs_router(part, groove):
        yield _for_router(part, groove, bench)


def _for_router(part: Part, groove: Groove, bench: Bench) -> Wrong:
    if groove.stop_start and groove.stop_end:
        why = say("is stopped at both ends: at the saw it would be lowered on to the turning blade")
        other = say("let it run out at one end")
    else:
        why = say(
            "is stopped, and {length} is too short to push to a stop at the saw",
            length=bench.say(part.length),
        )
        other = say("let it run through")
    text = say(
        "groove {groove_name} of the {part_label} {why}",
        groove_name=groove.name,
        part_label=part.label,
        why=why,
    )
    return (
        Level.WARN,
        "groove_for_router",
        text,
        say("rout it, as the step says, or {other}", other=other),
    )


def _outside(part: Part, name: str, what: str) -> Wrong:
    text = say("{name} of the {part_label} {what}", name=name, part_label=part.label, what=what)
    return Level.STOP, "feature_outside", text, say("check its sizes against the size of the part")


def _check_bevel(part: Part, bevel: Bevel, bench: Bench) -> Iterator[Wrong]:
    if bevel.back > extent_across(part, bevel.edge) or bevel.drop > extent_across(part, bevel.face):
        yield _outside(part, bevel.name, say("leaves the wood"))
        return
    if not is_across_end(part, bevel):
        return
    limit = _TILT_LIMIT if is_tilted(part, bevel) else GAUGE_LIMIT
    turned = off_square(part, bevel)
    if turned > limit:
        yield (
            Level.WARN,
            "bevel_too_steep",
            say(
                "{bevel_name} of the {part_label} stands {turned} from square: no "
                "{is_tilted} further than "
                "about {limit}",
                bevel_name=bevel.name,
                part_label=part.label,
                turned=format_angle(turned),
                is_tilted=say("blade tilts")
                if is_tilted(part, bevel)
                else say("mitre gauge turns"),
                limit=format_angle(limit),
            ),
            say("saw and plane it by hand to a pencil line, or hold the part in a tapering jig"),
        )


def _check_holes(part: Part, holes: Holes, _bench: Bench) -> Iterator[Wrong]:
    row = holes.pitch.times(holes.count - 1) + holes.diameter
    radius = holes.diameter.over(2)
    across = extent_across(part, holes.reference)
    if row >= part.length or holes.offset < radius or holes.offset + radius > across:
        yield _outside(part, holes.name, say("leaves the wood"))


def _check_notch(part: Part, notch: Notch, bench: Bench) -> Iterator[Wrong]:
    if notch.width >= part.length or notch.height >= extent_across(part, notch.reference):
        yield _outside(part, notch.name, say("leaves nothing of the part"))
    elif notch.width < bench.kerf:
        yield _outside(part, notch.name, say("is narrower than the blade"))


def _check_rabbet(part: Part, rabbet: Rabbet, bench: Bench) -> Iterator[Wrong]:
    across, deep = extent_across(part, rabbet.edge), extent_across(part, rabbet.face)
    if rabbet.width >= across or rabbet.depth >= deep:
        yield _outside(part, rabbet.name, say("leaves nothing of the part"))
    elif rabbet.stop_start + rabbet.stop_end >= part.length:
        yield _outside(part, rabbet.name, say("is stopped before it begins"))
    elif is_stopped_rabbet(rabbet):
        text = say(
            "rabbet {rabbet_name} of the {part_label} is stopped: at the saw it would be lowered "
            "on to the turning blade",
            rabbet_name=rabbet.name,
            part_label=part.label,
        )
        yield (
            Level.WARN,
            "rabbet_for_router",
            text,
            say("rout it, as the step says, or let it run out"),
        )
    elif deep - rabbet.depth < _THIN_LIP or across - rabbet.width < _THIN_LIP:
        text = say(
            "rabbet {rabbet_name} of the {part_label} leaves a lip thinner than {thin_lip}",
            rabbet_name=rabbet.name,
            part_label=part.label,
            thin_lip=bench.say(_THIN_LIP),
        )
        yield Level.WARN, "thin_lip", text, say("make the step smaller, or the board thicker")


def _check_dado(part: Part, dado: Dado, bench: Bench) -> Iterator[Wrong]:
    if not is_end(part, dado.reference):
        text = say(
            "dado {dado_name} of the {part_label} runs across, but is told from an edge",
            dado_name=dado.name,
            part_label=part.label,
        )
        yield Level.STOP, "dado_along", text, say("tell it from an end, or make it a groove")
    elif dado.offset + dado.width > part.length or dado.depth >= extent_across(part, dado.face):
        yield _outside(part, dado.name, say("leaves the wood"))
    elif dado.width < bench.kerf:
        yield _outside(part, dado.name, say("is narrower than the blade"))
    elif dado.width > DADO_SET:
        text = say(
            "dado {dado_name} of the {part_label} is {width} wide, more than a "
            "dado set of {dado_set} cuts at once",
            dado_name=dado.name,
            part_label=part.label,
            width=bench.say(dado.width),
            dado_set=bench.say(DADO_SET),
        )
        fix = say(
            "cut it in passes: without the stop at the far line first, each next one over by less "
            "than the set's width, the last against the stop"
        )
        yield Level.WARN, "dado_in_passes", text, fix


def _check_fingers(part: Part, fingers: Fingers, bench: Bench) -> Iterator[Wrong]:
    if fingers.depth.times(2) >= part.length:
        yield _outside(part, fingers.name, say("leaves nothing of the part"))
    elif fingers.pitch < bench.kerf:
        yield _outside(part, fingers.name, say("is narrower than the blade"))
    elif last := last_finger(part, fingers):
        below, above = whole_widths(part, fingers)
        across = extent_across(part, fingers.reference)
        text = say(
            "the {part_label} is {across} wide: with fingers of "
            "{pitch} the last one is only {last}",
            part_label=part.label,
            across=bench.say(across),
            pitch=bench.say(fingers.pitch),
            last=bench.say(last),
        )
        fix = say(
            "it comes out whole at {below} and at {above}",
            below=bench.say(below),
            above=bench.say(above),
        )
        yield Level.WARN, "last_finger", text, fix


def _check_recess(part: Part, recess: Recess, bench: Bench) -> Iterator[Wrong]:
    far = recess.offset + recess.height
    left = extent_across(part, recess.face) - recess.depth
    if recess.length >= part.length or far >= extent_across(part, recess.reference) or left <= ZERO:
        yield _outside(part, recess.name, say("leaves the wood"))
    elif left < _FLOOR:
        text = say(
            "{recess_name} of the {part_label} leaves only {left} of wood behind it",
            recess_name=recess.name,
            part_label=part.label,
            left=bench.say(left),
        )
        yield Level.WARN, "thin_floor", text, say("leave at least {floor}", floor=bench.say(_FLOOR))


FEATURE_CHECKS: dict[str, Callable[[Part, Any, Bench], Iterator[Wrong]]] = {
    "groove": _check_groove,
    "bevel": _check_bevel,
    "holes": _check_holes,
    "notch": _check_notch,
    "rabbet": _check_rabbet,
    "dado": _check_dado,
    "fingers": _check_fingers,
    "recess": _check_recess,
}
