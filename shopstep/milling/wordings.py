"""The words of each kind of machine work: a table of patterns, and what settings are called.

In braces stand names of settings, ``parts``, and what ``words`` works out. Sentences are short:
they are read two steps from the screen. Imports nothing of the project.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.words import to_say

SCRAP = to_say("Cut one in scrap first and measure it.")
TOOTH = to_say("blade a tooth above the wood")
GAUGE = to_say(
    "The bevel gauge is set to the pencil line, its stock on the heel's face: light at one end "
    "comes of the angle, an even gap to the line of the place."
)


@dataclass(frozen=True, slots=True)
class Wording:
    """How one kind of work is told: lead, how the parts lie, the parts, tail."""

    title: str
    lead: str
    verb: str
    """Stands before the parts where nothing is to be said of how they lie."""
    why: str
    check: str
    """A question that yes answers; empty where there is nothing to look at."""
    tail: str = ""
    with_length: bool = False
    """Whether the finished length of each part is told, to choose the stock by."""


WORDINGS = {
    "slice": Wording(
        "Slice off {stop}",
        f"{TOOTH.capitalize()}; block {{stop}} left of the teeth, just before them. Each time: "
        "edge to block, fence to board; the slice falls left. Scrap first.",
        "Cut",
        "Slices come first, while the whole board is there to hold them by. Caught between blade "
        "and fence a thin one is thrown back.",
        "Is the slice {stop} thick?",
        with_length=True,
    ),
    "rip": Wording(
        "Rip to {fence}",
        f"Fence at {{fence}}, {TOOTH}. Straight edge to the fence. {SCRAP}",
        "Rip",
        "One fence setting for all pieces makes them equal.",
        "Is the ripped scrap {fence} wide?",
        with_length=True,
    ),
    "rip_thin": Wording(
        "Rip on edge to {fence}",
        "Fence {fence} with a tall face, blade a tooth above {height}. Featherboard on the table, "
        f"before the blade. {SCRAP}",
        "Rip",
        "A thin strip caught between blade and fence is thrown back.",
        "Is the piece between blade and fence {fence} thick?",
        with_length=True,
    ),
    "sheet_cut": Wording(
        "Cut the sheet to {fence}",
        "Fence {fence}, blade a tooth above the sheet. Nick an edge and measure before you cut.",
        "Cut",
        "An edge shorter than the way to the fence lets the sheet turn into the blade.",
        "Is the cut piece {fence} across?",
    ),
    "straightedge": Wording(
        "Cut the sheet to {length}",
        "Sheet on battens, both sides of the cut held up. Pencil {length} across, clamp a "
        "straightedge, run a circular saw along it.",
        "Cut",
        "No edge is long enough to guide this cut along the saw's fence.",
        "Is the cut piece {length} across?",
    ),
    "crosscut": Wording(
        "Crosscut to {stop}",
        f"Gauge stop {{stop}}, {TOOTH}. Square one end first. {SCRAP}",
        "Crosscut",
        "Equal lengths make a square frame.",
        "Is the first piece {stop} long?",
    ),
    "crosscut_hand": Wording(
        "Saw {stop} pieces by hand",
        "Hand saw and bench hook. Pencil {stop} square round the stick, saw on the waste side, "
        "one after the other.",
        "Saw",
        "At the table saw nothing this short can be held.",
        "Is the first piece {stop} long?",
    ),
    "groove": Wording(
        "Groove the {parts}",
        "{off} {set}{feather} Scrap first.",
        "Groove",
        "Cut from one edge at one setting, all grooves lie alike.{dado}{round}",
        "Does what goes into the scrap's groove slide in by hand?",
        tail="{halt}{passes}",
    ),
    "rabbet": Wording(
        "Rabbet the {parts}",
        "{off} Scrap board on the fence, dado set run up into it: {width} shows, height {height}. "
        "Scrap first.",
        "Rabbet",
        "Cut at one setting all steps are alike. The scrap board lets the set turn beside the "
        "fence without touching it.",
        "Is the step in the scrap {width} wide and {height} deep?",
    ),
    "rabbet_end": Wording(
        "Rabbet the ends: {parts}",
        "{off} Scrap board on the fence, dado set run up into it: {width} shows, height {height}. "
        "Gauge with a backer board behind. Scrap first.",
        "Rabbet",
        "Nothing is cut off, so nothing can be caught between set and fence. The backer keeps "
        "the far edge from tearing out.",
        "Does the board that goes there lie flush in the scrap's step?",
    ),
    "dado": Wording(
        "Dado the {parts}",
        "{off} Dado set {width} wide, height {height}. Stop on the gauge {stop} before the cut. "
        "Backer board behind. Scrap first.",
        "Cut",
        "The stop puts every channel at the same distance from its end.",
        "Does what goes into the scrap's dado slide in by hand?",
    ),
    "fingers": Wording(
        "Fingers: {parts}",
        "{off} Finger jig: dado set {width}, height {height}, key {width} off the "
        "cut. Scrap pair first.",
        "Cut",
        "Each slot goes over the key for the next cut, so all are spaced alike.",
        "Do the fingers of the two scraps push together by hand, ends flush?",
    ),
    "notch": Wording(
        "Notch the {parts}",
        "{off} Height {height}, stop {stop} to the blade's near side. Scrap first.",
        "Notch",
        "One stop block gives both sides, so the opening stands in the middle.",
        "Is the opening in the scrap {width} × {height}?",
        tail=" Cut, turn end for end, cut, clear between.",
    ),
    "bevel_rip": Wording(
        "Bevel the {parts}",
        f"Blade tilted {{tilt}}, {TOOTH.removeprefix('blade ')}. Fence {{fence}} at table level, "
        "on the side that the blade leans away from. Pencil the slope on scrap and try it.",
        "Bevel",
        f"The slope sheds water. {GAUGE}",
        "",
        tail=" The offcut falls free.",
    ),
    "mitre": Wording(
        "Cut the sloped end: {parts}",
        f"{TOOTH.capitalize()}, {{turned}}, stop {{stop}}. Pencil the slope on scrap and try it.",
        "Cut",
        f"Pieces cut at one setting slope alike. {GAUGE}",
        "",
        tail=" Clamp each one.",
    ),
    "rout": Wording(
        "Rout the {parts}",
        "Router with edge guide, groove {guide} from the edge, {width} wide, {depth} deep in "
        "several passes. Pencil where it ends. Scrap first.",
        "Rout",
        "At the saw the work would have to be lowered on to the turning blade.",
        "Does what goes into the scrap's groove slide in by hand?",
    ),
    "rout_rabbet": Wording(
        "Rout the {parts}",
        "Rabbeting bit, step {width} wide, {depth} deep in several passes. Pencil where it ends. "
        "Scrap first.",
        "Rout",
        "At the saw the work would have to be lowered on to the turning blade.",
        "Is the step in the scrap {width} wide and {depth} deep?",
    ),
    "recess": Wording(
        "Rout the pockets: {parts}",
        "Template for {length} × {height}, centred, pocket {guide} from the edge. Guide bush, "
        "{depth} deep in shallow passes. Scrap first.",
        "Rout",
        "At the saw the work would have to be lowered on to the turning blade.",
        "Is the pocket in the scrap {length} × {height}, {depth} deep?",
    ),
    "hand_cut": Wording(
        "Cut by hand: {parts}",
        "In a vice or bench hook. Pencil {sizes} on all faces, saw on the waste side, pare to "
        "the line.",
        "Cut",
        "At the table saw nothing this short can be held.",
        "Does the first one meet its pencil lines?",
    ),
    "drill": Wording(
        "Drill the {parts}",
        "Bit {bit}, fence {fence} from its middle, stop {stop} for the first hole.{pencil} Try it "
        "in scrap.",
        "Drill",
        "Fence and stop put every hole in the same place.",
        "Do the holes in the scrap stand where they should?",
    ),
    "snip": Wording(
        "Cut metal {length} × {width}",
        "Gloves on. Scribe {length} × {width} on the metal, square from one edge.",
        "Cut",
        "Long strokes that never close the snips leave no teeth in the edge.",
        "",
        tail=" File every edge.",
    ),
    "knife_cut": Wording(
        "Cut foam {length} × {width}",
        "Foam on scrap board. Pencil {length} × {width}, long sharp knife, several strokes.",
        "Cut",
        "A saw blade melts foam and fills the shop with its dust.",
        "Is the first piece {length} × {width}?",
    ),
    "shear": Wording(
        "Cut cloth {length} × {width}",
        "Mark {length} × {width} on the cloth.",
        "Cut",
        "Straight along the mesh the cloth stays flat.",
        "",
        tail=" Clip loose wire ends flush.",
    ),
}

_LABELS = to_say(
    {
        ("slice", "stop"): "block to blade",
        ("groove", "width"): "groove width",
        ("groove", "stop"): "stop beyond blade",
        ("notch", "width"): "opening",
        ("mitre", "angle"): "gauge off square",
        ("crosscut_hand", "stop"): "length",
        ("rabbet", "width"): "step width",
        ("rabbet_end", "width"): "step width",
        ("rout_rabbet", "width"): "step width",
        ("dado", "width"): "dado width",
        ("dado", "stop"): "stop to cut",
        ("fingers", "width"): "finger and key",
        ("recess", "height"): "pocket height",
        ("recess", "length"): "pocket length",
        ("recess", "guide"): "from the edge",
        ("hand_cut", "height"): "height",
        ("rout", "guide"): "from the edge",
        "stop start": "uncut at its start",
        "stop end": "uncut at its end",
        "height": "blade height",
        "tilt": "blade tilt",
        "stop": "stop block",
        "pitch": "between holes",
        "last pass": "last pass, fence",
    }
)

NAMES = to_say(
    (
        *(
            "rough cut",
            "edge",
            "guard",
            "mark",
            "slice",
            "rip",
            "rip thin",
            "sheet cut",
            "straightedge",
            "crosscut",
            "crosscut hand",
        ),
        *("groove", "rabbet", "rabbet end", "dado", "fingers", "notch", "bevel rip", "mitre"),
        *("rout", "rout rabbet", "recess", "hand cut", "drill", "snip", "knife cut", "shear"),
        *("fence", "height", "width", "depth", "length", "stop", "angle", "tilt", "pitch", "bit"),
        *("guide", "last pass", "stop start", "stop end"),
        *("table saw", "router", "drill press", "drill driver", "brad nailer", "staple gun"),
        *("hand saw", "hand plane", "chisel", "knife", "snips", "brush", "glue", "hand"),
        *("from piece", "to piece", "from pass", "to pass", "first pass to", "thickness"),
        *("pass", "passes", "board", "boards", "plane", "planer", "planed"),
        *("clamp", "cure", "open", "touch", "recoat", "dry through", "within"),
    )
)
"""Kinds of work, settings, tools and waits as lists name them; said where a list is shown."""


def say_setting(kind: str, name: str) -> str:
    """What people call a setting of that kind of work; it is translated where it is shown."""
    return _LABELS.get((kind, name)) or _LABELS.get(name) or name
