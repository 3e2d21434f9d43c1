"""What a milling sentence has to work out: what is set, what stays as before, who lies how.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable

from shopstep.milling.drafts import BLADE, GUARD_OFF, SHORT
from shopstep.milling.faces import axis_of, end_faces, extent_across, say_face
from shopstep.milling.grooves import ramp_length
from shopstep.model.feature import Feature, Groove, Holes, Notch, Rabbet
from shopstep.model.operation import Operation, Setting, Setup
from shopstep.model.part import Part
from shopstep.units import ZERO, Angle, Length, format_angle, format_length
from shopstep.words import say, say_count, to_say

NEARLY_SQUARE = Length.inches("1/8")
"""Sides that differ by less are easily taken for each other."""
_FROM_STICK = ("slice", "rip", "rip_thin", "crosscut", "crosscut_hand")
_WITHOUT_FENCE = ("notch", "dado", "fingers")
_OFF = to_say("Saw unplugged, guard and riving knife off.")


def list_titles(parts: Iterable[Part]) -> str:
    """ "side rail", "side rail and back rail", "3 parts"; with the hand where there is one."""
    owned = {(part.name, part.hand): part for part in parts}
    hands = {name: {h for n, h in owned if n == name} for name, _ in owned}
    titles = list(
        dict.fromkeys(p.label if len(hands[p.name]) == 1 else p.title for p in owned.values())
    )
    return (
        say(" and ").join(titles) if len(titles) < 3 else say("{titles} parts", titles=len(titles))
    )


def work_out(
    setup: Setup,
    parts: tuple[Part, ...],
    display: str,
    before: Setup | None,
    brief: bool = False,
) -> dict[str, str]:
    """Every name that a pattern of ``wordings`` can hold, for one setup.

    ``brief`` leaves out what the cards and the numbers of the step say as well.
    """
    told = {setting.name: say_value(setting, display) for setting in setup.settings}
    told["parts"] = list_titles(parts)
    told["turned"] = (
        say("blade tilted {tilt}, gauge square", tilt=told["tilt"])
        if "tilt" in told
        else say("gauge {angle} off square", angle=told.get("angle", ""))
    )
    told["pencil"] = (
        say(" Pencil the centres {pitch} apart.", pitch=told["pitch"]) if "pitch" in told else ""
    )
    told["sizes"] = ", ".join(f"{s.name} {told[s.name]}" for s in setup.settings)
    if setup.kind in GUARD_OFF:
        told |= _work_out_bare(setup, display, told, before)
        told |= {"feather": "", "passes": ""} if brief else {}
    return told


def _work_out_bare(
    setup: Setup, display: str, told: dict[str, str], before: Setup | None
) -> dict[str, str]:
    """Of cuts without guard: what is taken off and set, and how a stopped groove ends."""
    stopped = setup.kind == "groove" and "stop" in told
    depth = next(s.value for s in setup.settings if s.name == "height")
    ramp = format_length(ramp_length(depth), display, 16) if isinstance(depth, Length) else ""
    return {
        "off": _say_off(setup, before),
        "set": _say_set(setup, told, before),
        "feather": (
            "" if _is_groove(before) else say(" Featherboard on the table, before the blade.")
        ),
        "halt": say(" At the block: saw off, wait, lift.") if stopped else "",
        "passes": say(" Last pass: fence {fence}.", fence=told["last pass"])
        if "last pass" in told
        else "",
        "dado": say(" A dado set of its width needs only one pass.") if "last pass" in told else "",
        "round": (
            say(
                " The blade is round: the last {ramp} before the stop are not full depth "
                "({blade} blade).",
                ramp=ramp,
                blade=format_length(BLADE, display),
            )
            if stopped
            else ""
        ),
    }


def _say_off(setup: Setup, before: Setup | None) -> str:
    """Guard and riving knife, and what the setup before leaves on the saw."""
    if before is None:
        return say(_OFF)
    if _is_groove(before) and setup.kind in _WITHOUT_FENCE:
        return say("Guard still off, fence and featherboard away.")
    return say("Guard still off.")


def _is_groove(setup: Setup | None) -> bool:
    return setup is not None and setup.kind == "groove"


def _say_set(setup: Setup, told: dict[str, str], before: Setup | None) -> str:
    """Fence, height and stop block of a groove; what is as before is said so."""
    earlier = before.settings if before and _is_groove(before) else ()
    stays = {setting.name for setting in setup.settings if setting in earlier}
    kept = say(" and ").join(name for name in ("fence", "height", "stop") if name in stays)
    touching = any(s.name == "fence" and s.value == ZERO for s in setup.settings)
    patterns = {
        "fence": (
            say("scrap board on the fence, touching the blade")
            if touching
            else say("fence {fence} right of the blade")
        ),
        "height": say("height {height}"),
        "stop": say("stop block {stop} beyond the blade's near side"),
    }
    new = [p.format_map(told) for name, p in patterns.items() if name in told and name not in stays]
    if "stop" not in told and any(setting.name == "stop" for setting in earlier):
        new.append(say("stop block away"))
    as_before = [say("{kept} as before", kept=kept)] if kept else []
    said = ", ".join(as_before + new if "fence" in stays else new + as_before)
    return f"{said[0].upper()}{said[1:]}."


def say_value(setting: Setting, display: str) -> str:
    """A setting as people write it."""
    value: Length | Angle = setting.value
    if isinstance(value, Angle):
        return format_angle(value)
    return format_length(value, display)


def own_clauses(operation: Operation, part: Part, display: str) -> list[str]:
    """What is said of one operation beside its note, because it holds a number."""
    clauses = []
    if operation.kind in _FROM_STICK and part.length < SHORT:
        clauses.append(say("stick {short} or longer", short=format_length(SHORT, display)))
    clauses += _say_left_on(operation, part, display)
    feature = feature_of(operation, part)
    if isinstance(feature, Notch):
        clauses += _say_standing(part, feature, display)
    if isinstance(feature, Holes):
        clauses.append(say_count("{n} hole each", "{n} holes each", feature.count))
    if isinstance(feature, Groove | Rabbet) and operation.kind in ("rout", "rout_rabbet"):
        clauses += _say_uncut(part, feature, display)
    return clauses


_SIZES_CUT = {
    "rip": (1,),
    "slice": (1,),
    "sheet_cut": (0, 1),
    "straightedge": (0, 1),
    "crosscut": (0,),
    "crosscut_hand": (0,),
    "knife_cut": (0, 1),
}
"""Which size a kind of work gives a part: 0 its length, 1 its width."""
_FEATURE_OF = {
    "drill": "holes",
    "bevel_rip": "bevel",
    "mitre": "bevel",
    "rout": "groove",
    "rabbet_end": "rabbet",
    "rout_rabbet": "rabbet",
}
"""Kind of feature that a kind of work cuts, where it is called otherwise."""


def _say_left_on(operation: Operation, part: Part, display: str) -> list[str]:
    """What this cut leaves on beyond the finished size, and where."""
    roles = _SIZES_CUT.get(operation.kind, ())
    return [
        say(
            "{extra} of it left on at the {face}",
            extra=format_length(allowance.extra, display),
            face=say_face(part, allowance.face),
        )
        for allowance in part.allowances
        if part.runs.index(axis_of(allowance.face)) in roles
    ]


def feature_of(operation: Operation, part: Part) -> Feature | None:
    """The feature that an operation cuts; None where it is not one of those told apart here."""
    kind = _FEATURE_OF.get(operation.kind, operation.kind)
    return next(
        (
            feature
            for feature in part.features
            if feature.kind == kind and operation.id.endswith(f"/{feature.name}")
        ),
        None,
    )


def _say_standing(part: Part, notch: Notch, display: str) -> list[str]:
    """How high the part stands, where its section is nearly square."""
    if abs(part.width - part.thickness) >= NEARLY_SQUARE:
        return []
    height = format_length(extent_across(part, notch.reference), display)
    return [say("standing {height} high", height=height)]


def _say_uncut(part: Part, groove: Groove | Rabbet, display: str) -> list[str]:
    stops = zip(end_faces(part), (groove.stop_start, groove.stop_end), strict=True)
    return [
        say(
            "{stop} uncut at the {face}",
            stop=format_length(stop, display),
            face=say_face(part, end),
        )
        for end, stop in stops
        if stop
    ]
