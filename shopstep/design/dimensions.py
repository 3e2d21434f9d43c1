"""Which physical size a name of the build stands for: a ripped width, a groove, a reading.

A dotted name says it itself (``door.width``). A plain size is what it is used for: ``foot`` where a
groove's offset says ``foot``. What is used for nothing of the kind is a place that is marked out.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from shopstep.design.allowances import width_text
from shopstep.design.build_file import BuildFile
from shopstep.design.schema import PartEntry
from shopstep.design.schema_features import FeatureEntry
from shopstep.design.schema_joints import JointEntry
from shopstep.design.values import Values
from shopstep.model.lever import Origin, SizeKind
from shopstep.model.plan import Measured
from shopstep.units import Length
from shopstep.words import say, to_say

_PLAIN = re.compile(r"[a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)?")


@dataclass(frozen=True, slots=True)
class Dimension:
    """What a name stands for in wood."""

    kind: SizeKind
    title: str
    origin: Origin = Origin.CUT
    material: str = ""
    across_grain: bool = False


@dataclass(slots=True)
class Dimensions:
    """Names of a build with what each stands for."""

    build: BuildFile
    named: dict[str, Dimension] = field(default_factory=dict)
    """Names that say it themselves."""
    used: dict[str, Dimension] = field(default_factory=dict)
    """Plain names, by what they are first used for."""
    held: dict[str, Length] = field(default_factory=dict)
    """Names that a check of the build's steps looks at, with its tolerance."""

    def find(self, name: str) -> Dimension:
        """What a name stands for; a place that is marked out where nothing else is known."""
        texts = self.build.entry.sizes
        here = name
        for _ in range(len(texts) + 1):
            found = self.named.get(here) or self.used.get(here)
            if found is not None:
                return found
            if not _PLAIN.fullmatch(texts.get(here, "")):
                break
            here = texts[here]
        return Dimension(SizeKind.PLACE, name.replace("_", " ").replace(".", " "))

    def use(self, text: str, dimension: Dimension) -> None:
        """A plain name is used as this dimension; the first use counts."""
        if _PLAIN.fullmatch(text):
            self.used.setdefault(text, dimension)


def list_dimensions(build: BuildFile, values: Values, measured: tuple[Measured, ...]) -> Dimensions:
    """What the names of a build stand for. ``measured`` tells readings from usual values."""
    found = Dimensions(build)
    _list_materials(build, found)
    _list_measurements(found, measured)
    for name, part in build.entry.parts.items():
        for key in ("length", "width", "thickness"):
            found.named[f"{name}.{key}"] = _part_dimension(found, part, key)
    _list_joints(build, found)
    _list_features(found)
    for name, part in build.entry.parts.items():
        found.use(part.length, found.named[f"{name}.length"])
        found.use(width_text(part, None), found.named[f"{name}.width"])
        found.use(part.thickness or "", found.named[f"{name}.thickness"])
    _list_checks(build, values, found)
    return found


_STOCK = {
    "board": SizeKind.BOARD_THICKNESS,
    "sheet": SizeKind.SHEET_THICKNESS,
    "roll": SizeKind.CLOTH_THICKNESS,
}
_CUTS = {
    ("board", "length"): SizeKind.CROSSCUT,
    ("board", "width"): SizeKind.RIP,
    ("board", "thickness"): SizeKind.THIN_RIP,
    ("roll", "length"): SizeKind.SHEAR,
    ("roll", "width"): SizeKind.SHEAR,
}


def _list_materials(build: BuildFile, found: Dimensions) -> None:
    for name, entry in build.entry.materials.items():
        stock = Dimension(
            _STOCK[entry.form],
            say("thickness of the {name}", name=name.replace("_", " ")),
            Origin.BOUGHT,
            name,
            entry.form == "board",
        )
        found.named[f"{name}.thickness"] = stock
        found.use(entry.thickness, stock)


def _list_measurements(found: Dimensions, measured: tuple[Measured, ...]) -> None:
    """A measurement is a reading where it was taken, else the stock or the box as bought."""
    for item in measured:
        words = item.name.replace("_", " ")
        stock = found.used.get(item.name, Dimension(SizeKind.EQUIPMENT, words, Origin.BOUGHT))
        if not item.usual:
            stock = replace(stock, kind=SizeKind.READING, origin=Origin.MEASURED)
        found.named[item.name] = replace(stock, title=words)
        for name, entry in found.build.entry.materials.items():
            if entry.thickness == item.name:
                found.named[f"{name}.thickness"] = replace(stock, title=words)


def _part_dimension(found: Dimensions, part: PartEntry, key: str) -> Dimension:
    if key == "thickness" and part.thickness is None:
        return found.named[f"{part.material}.thickness"]
    form = found.build.entry.materials[part.material].form
    return Dimension(
        _CUTS.get((form, key), SizeKind.SHEET_CUT),
        say("{key} of the {part_title}", key=key, part_title=part.title),
        Origin.CUT,
        part.material,
        form == "board" and key != "length",
    )


def _list_joints(build: BuildFile, found: Dimensions) -> None:
    for name, joint in build.entry.joints.items():
        spanned = _part_that_says(build, found, f"{name}.span")
        if spanned is not None:
            found.named[f"{name}.span"] = spanned
        if joint.kind in ("groove", "rabbet", "dado"):
            _list_channel(build, found, name, joint)
        elif joint.kind == "box":
            fingers = _in_wood(found, build.entry.parts[joint.into])
            pitch = replace(fingers, kind=SizeKind.GROOVE_WIDTH, title=say("width of the fingers"))
            found.named[f"{name}.pitch"] = pitch
            found.named[f"{name}.depth"] = found.named[f"{joint.into}.thickness"]
            found.use(joint.pitch, pitch)


def _list_channel(build: BuildFile, found: Dimensions, name: str, joint: JointEntry) -> None:
    """What a joint with a channel names: width, depth, place, and play, which is no cut itself."""
    wood = _in_wood(found, build.entry.parts[joint.into])
    member = build.entry.parts[joint.member].title
    channel = say("of the {member}'s {kind}", member=member, kind=joint.kind)
    along = replace(wood, across_grain=wood.across_grain and joint.kind != "dado")
    width = replace(
        along, kind=SizeKind.GROOVE_WIDTH, title=say("width {channel}", channel=channel)
    )
    depth = replace(wood, kind=SizeKind.GROOVE_DEPTH, title=say("depth {channel}", channel=channel))
    play = Dimension(SizeKind.CLEARANCE, say("play of the {member}", member=member))
    found.named[f"{name}.channel"], found.named[f"{name}.depth"] = width, depth
    found.named[f"{name}.play"] = found.named[f"{name}.ease"] = play
    found.use(getattr(joint, "depth", ""), depth)
    place = replace(
        along, kind=SizeKind.GROOVE_PLACE, title=say("place {channel}", channel=channel)
    )
    found.use(getattr(joint, "offset", ""), place)


def _part_that_says(build: BuildFile, found: Dimensions, text: str) -> Dimension | None:
    for name, part in build.entry.parts.items():
        for key in ("length", "width", "thickness"):
            if getattr(part, key) == text:
                return found.named[f"{name}.{key}"]
    return None


def _in_wood(found: Dimensions, part: PartEntry) -> Dimension:
    """A size across the grain of a part: it moves where the part is a board."""
    form = found.build.entry.materials[part.material].form
    return Dimension(SizeKind.PLACE, "", Origin.CUT, part.material, form == "board")


_Use = tuple[str, SizeKind, str, bool]
"""Field of the feature, what it is, its words, and whether it lies across the grain."""
_FEATURES: dict[str, tuple[_Use, ...]] = {
    "groove": (
        ("width", SizeKind.GROOVE_WIDTH, to_say("width of the groove"), True),
        ("depth", SizeKind.GROOVE_DEPTH, to_say("depth of the groove"), True),
        ("offset", SizeKind.GROOVE_PLACE, to_say("place of the groove"), True),
    ),
    "rabbet": (
        ("width", SizeKind.GROOVE_WIDTH, to_say("width of the rabbet"), True),
        ("depth", SizeKind.GROOVE_DEPTH, to_say("depth of the rabbet"), True),
    ),
    "dado": (
        ("width", SizeKind.GROOVE_WIDTH, to_say("width of the dado"), False),
        ("depth", SizeKind.GROOVE_DEPTH, to_say("depth of the dado"), True),
        ("offset", SizeKind.PLACE, to_say("place of the dado"), False),
    ),
    "fingers": (
        ("pitch", SizeKind.GROOVE_WIDTH, to_say("width of the fingers"), True),
        ("depth", SizeKind.GROOVE_DEPTH, to_say("length of the fingers"), False),
    ),
    "recess": (
        ("depth", SizeKind.GROOVE_DEPTH, to_say("depth of the recess"), True),
        ("offset", SizeKind.GROOVE_PLACE, to_say("place of the recess"), True),
    ),
    "holes": (
        ("diameter", SizeKind.HOLE, to_say("diameter of the holes"), False),
        ("offset", SizeKind.HOLE, to_say("place of the holes"), True),
    ),
    # bevels are left out: a slope is often as long as something else is high
    "notch": (
        ("height", SizeKind.NOTCH, to_say("height of the opening"), True),
        ("width", SizeKind.NOTCH, to_say("width of the opening"), False),
    ),
}


def _list_features(found: Dimensions) -> None:
    for part in found.build.entry.parts.values():
        for feature in part.features.values():
            _list_feature(found, part, feature)


def _list_feature(found: Dimensions, part: PartEntry, feature: FeatureEntry) -> None:
    wood = _in_wood(found, part)
    for key, kind, words, across in _FEATURES.get(feature.kind, ()):
        dimension = replace(
            wood,
            kind=kind,
            title=say("{words} in the {part}", words=say(words), part=part.title),
            across_grain=wood.across_grain and across,
        )
        found.use(getattr(feature, key), dimension)


def _list_checks(build: BuildFile, values: Values, found: Dimensions) -> None:
    for step, entry in build.entry.steps.items():
        for name, check in entry.checks.items():
            if check.value is None or not _PLAIN.fullmatch(check.value):
                continue
            path = ("steps", step, "checks", name, "tolerance")
            tolerance = values.length(check.tolerance, path)
            before = found.held.get(check.value, tolerance)
            found.held[check.value] = min(before, tolerance)
