"""What is set by tries in scrap: which number is read there, and what it corrects.

A slope is held against a bevel gauge and its pencil line; of a channel that something goes into
the width is read, of a finger its width. All other settings are read off the machine's scales.
Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import isqrt

from shopstep.milling.bevels import slope_at_saw
from shopstep.milling.clauses import feature_of
from shopstep.milling.faces import say_face
from shopstep.milling.feature_checks import DADO_SET
from shopstep.model.feature import Bevel
from shopstep.model.joint import Joint
from shopstep.model.operation import Operation, Setting, Setup
from shopstep.model.part import Part
from shopstep.model.step import Check, Trial
from shopstep.units import SIXTY_FOURTH, ZERO, Angle, Length, format_length
from shopstep.words import say, to_say

CLOSE: Length = SIXTY_FOURTH
"""A gap or a width may be off by so much: the finest mark of a rule (common practice)."""
_TURNED = {"tilt": "tilt", "angle": "gauge"}
"""Settings that turn a bevel's cut, and what a trial calls them."""
_PLACED = {"bevel_rip": "fence", "mitre": "stop"}
_JOINT_OF = {"groove": "groove", "rout": "groove", "dado": "dado", "fingers": "box"}
"""Kind of joint that a kind of work cuts the channel of."""
_READ = {
    "groove": ("groove_width", to_say("width of the groove in the scrap, for the {member}")),
    "rout": ("groove_width", to_say("width of the groove in the scrap, for the {member}")),
    "dado": ("dado_width", to_say("width of the dado in the scrap, for the {member}")),
    "fingers": ("finger_width", to_say("width of one finger in the scrap")),
}
"""By kind of work: what the check is called, and what is read."""
_CORRECTS = {
    ("groove", "width"): "last_pass",
    ("groove", "depth"): "height",
    ("groove", "place"): "fence_place",
    ("rabbet", "width"): "fence",
    ("rabbet", "depth"): "height",
    ("rabbet_end", "width"): "fence",
    ("rabbet_end", "depth"): "height",
    ("dado", "width"): "shims",
    ("dado", "depth"): "height",
    ("dado", "place"): "stop",
    ("fingers", "width"): "key",
    ("rout", "width"): "guide",
    ("rout", "depth"): "depth",
    ("rout", "place"): "guide_place",
    ("rout_rabbet", "depth"): "depth",
}
"""By kind of work and kind of size: the setting that a try in scrap corrects."""


def size_trial(setup: Setup, size: str) -> Trial | None:
    """How a ``width``, ``depth`` or ``place`` is put right at this setup; None where it is not.

    A groove as wide as its blade, and a dado wider than a dado set, have no width to set.
    """
    if size == "width" and not _is_width_set(setup):
        return None
    setting = _CORRECTS.get((setup.kind, size))
    return Trial(size, setting) if setting is not None else None


def _is_width_set(setup: Setup) -> bool:
    if setup.kind == "groove":
        return any(setting.name == "last pass" for setting in setup.settings)
    return setup.kind != "dado" or _width(setup.settings) <= DADO_SET


def _width(settings: tuple[Setting, ...]) -> Length:
    values = [s.value for s in settings if s.name == "width" and isinstance(s.value, Length)]
    return values[0] if values else ZERO


def channel_trials(
    setup: Setup, operations: tuple[Operation, ...], joints: tuple[Joint, ...]
) -> tuple[Check, ...]:
    """The width to be read in scrap, where this setup cuts a channel that something goes into."""
    fitting = [joint for joint in joints if _is_cut_for(joint, setup, operations)]
    trial = size_trial(setup, "width") if setup.kind in _READ and fitting else None
    if trial is None:
        return ()
    name, text = _READ[setup.kind]
    told = say(text, member=fitting[0].member.replace("_", " "))
    return (Check(name, told, _width(setup.settings), CLOSE, trial=trial),)


def _is_cut_for(joint: Joint, setup: Setup, operations: tuple[Operation, ...]) -> bool:
    """Whether one of these operations cuts this joint's channel; a box joint names its ends."""
    if joint.kind != _JOINT_OF.get(setup.kind):
        return False
    return any(
        operation.part in (joint.into, joint.member)
        and (name == joint.name or (joint.kind == "box" and name.startswith(f"{joint.name}_")))
        for operation in operations
        for name in [operation.id.rpartition("/")[2]]
    )


def bevel_trials(
    setup: Setup, operations: tuple[Operation, ...], parts: Mapping[str, Part], display: str
) -> tuple[Check, ...]:
    """The gap to be read at a slope in scrap; ``parts`` is keyed by operation id.

    The gauge is set to the slope's two distances, as on the two legs of a square.
    """
    turned = next((s for s in setup.settings if s.name in _TURNED), None)
    first = operations[0]
    bevel = feature_of(first, parts[first.id])
    if turned is None or not isinstance(turned.value, Angle) or not isinstance(bevel, Bevel):
        return ()
    slope = slope_at_saw(parts[first.id], bevel)
    leg = Length(isqrt(slope.along.nm**2 + slope.up.nm**2))
    trial = Trial("bevel", _TURNED[turned.name], leg, turned.value, _PLACED[setup.kind])
    along, up = (format_length(each, display) for each in (slope.along, slope.up))
    text = say(
        "gap at the bevel gauge set {along} to {up}{ends}",
        along=along,
        up=up,
        ends=_say_ends(operations, parts),
    )
    return (Check("gap_bevel", text, ZERO, CLOSE, trial=trial),)


def _say_ends(operations: tuple[Operation, ...], parts: Mapping[str, Part]) -> str:
    """ "; heel: top face, toe: front edge"; nothing where the parts lie differently."""
    told = {
        say(
            "; heel: {face}, toe: {face_2}",
            face=say_face(part, slope.heel),
            face_2=say_face(part, slope.toe),
        )
        for operation in operations
        for part in [parts[operation.id]]
        for bevel in [feature_of(operation, part)]
        if isinstance(bevel, Bevel)
        for slope in [slope_at_saw(part, bevel)]
    }
    return told.pop() if len(told) == 1 else ""
