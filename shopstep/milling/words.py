"""The words of a milling step: headline, sentence, why, numbers and check.

A table by kind of work. Sentences are short: they are read two steps from the screen.
Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from shopstep.model.operation import Operation, Setting, Setup
from shopstep.model.part import Part
from shopstep.model.step import Check, Number
from shopstep.units import ZERO, Angle, Length, format_angle, format_length

CLAUSE = "; "
"""Stands between the clauses of an operation's note."""
SCRAP = "Cut one in scrap first and measure it."


@dataclass(frozen=True, slots=True)
class Wording:
    """How one kind of work is told. In braces: names of settings, or ``parts``."""

    title: str
    lead: str
    why: str
    check: str
    """A question that yes answers; empty where there is nothing to look at."""
    with_length: bool = False
    """Whether the finished length of each part is told, to choose the stock by."""


WORDINGS = {
    "rip": Wording(
        "Rip to {fence}",
        f"Fence at {{fence}}, blade a tooth above the wood. {SCRAP} Then rip",
        "One fence setting for all pieces makes them equal.",
        "Is the ripped scrap {fence} wide?",
        with_length=True,
    ),
    "rip_thin": Wording(
        "Rip thin, {thin}",
        f"{{how}}. {SCRAP} Then rip thin",
        "A thin strip caught between blade and fence is thrown back.",
        "Is {measured} {thin} thick?",
        with_length=True,
    ),
    "crosscut": Wording(
        "Crosscut to {cut}",
        f"{{how}}, one end cut square. {SCRAP} Then crosscut",
        "Equal lengths make a square frame.",
        "Is the first piece {cut} long?",
    ),
    "groove": Wording(
        "Groove the {parts}",
        "Saw unplugged for setting, guard and riving knife off, featherboard on. Fence {fence} "
        f"right of the blade, height {{height}}, groove {{width}} wide.{{stops}} {SCRAP} Then cut",
        "Every groove is cut from the same reference face. Where the saw's manual forbids "
        "lowering work on to the blade, cut stopped grooves on a router table.",
        "Does what goes into the scrap's groove slide in by hand?",
    ),
    "notch": Wording(
        "Notch the {parts}",
        "Saw unplugged for setting, guard and riving knife off. Stop block {stop}, height "
        f"{{height}}: an opening {{width}} wide. {SCRAP} Then cut",
        "One stop block gives both sides, so the opening stands in the middle.",
        "Is the opening in the scrap {width} × {height}?",
    ),
    "bevel_rip": Wording(
        "Bevel the {parts}",
        f"Tilt {{tilt}}, fence {{fence}} at table level. {SCRAP} Then cut",
        "The slope sheds water.",
        "Does the bevel on the scrap meet its pencil line?",
    ),
    "mitre": Wording(
        "Cut the sloped end: {parts}",
        f"{{how}}, stop block {{stop}}. {SCRAP} Then cut",
        "Pieces cut at one setting slope alike.",
        "Does the slope on the scrap meet its pencil line?",
    ),
    "drill": Wording(
        "Drill the {parts}",
        "Bit {bit}, fence {fence} from its middle, stop {stop}. Try it in scrap. Then drill",
        "Fence and stop put every hole in the same place.",
        "Do the holes in the scrap stand where they should?",
    ),
    "shear": Wording(
        "Cut cloth {length} × {width}",
        "Mark {length} × {width} on the cloth, then cut",
        "Straight along the mesh the cloth stays flat.",
        "",
    ),
}

_LABELS = {
    ("rip_thin", "stop"): "block to blade",
    ("groove", "width"): "groove width",
    ("notch", "width"): "opening",
    ("mitre", "angle"): "gauge off square",
    "height": "blade height",
    "tilt": "blade tilt",
    "stop": "stop block",
    "pitch": "between holes",
}


def make_title(setup: Setup, parts: Iterable[Part], display: str) -> str:
    """Short headline with a verb."""
    return WORDINGS[setup.kind].title.format_map(_fields(setup, parts, display))


def make_text(
    setup: Setup, operations: tuple[Operation, ...], parts: Mapping[str, Part], display: str
) -> str:
    """The full sentence: settings, then each part with its count, left and right apart."""
    wording = WORDINGS[setup.kind]
    lead = wording.lead.format_map(_fields(setup, parts.values(), display))
    shared = _shared_clauses(operations)
    by_note: dict[str, list[str]] = {}
    for operation in operations:
        note = CLAUSE.join(c for c in operation.note.split(CLAUSE) if c not in shared)
        length = display if wording.with_length else ""
        by_note.setdefault(note, []).append(_say_pieces(operation, parts[operation.id], length))
    listed = [
        f"{', '.join(pieces)}{f' ({note})' if note else ''}" for note, pieces in by_note.items()
    ]
    alike = CLAUSE.join(shared)
    return f"{lead}: {'; '.join(listed)}.{f' {alike[0].upper()}{alike[1:]}.' if alike else ''}"


def _shared_clauses(operations: tuple[Operation, ...]) -> list[str]:
    """What the notes of all operations say alike, so that it is told once."""
    notes = [operation.note.split(CLAUSE) for operation in operations]
    return [clause for clause in notes[0] if clause and all(clause in note for note in notes)]


def _say_pieces(operation: Operation, part: Part, display: str) -> str:
    length = f" {format_length(part.length, display)} long" if display else ""
    return f"{operation.count} × {part.label}{length}"


def make_checks(setup: Setup, parts: Iterable[Part], display: str) -> tuple[Check, ...]:
    """A yes-or-no check of the first cut, where there is something to look at."""
    question = WORDINGS[setup.kind].check
    if not question:
        return ()
    text = question.format_map(_fields(setup, parts, display))
    return (Check("first_cut", text, None, ZERO),)


def make_numbers(setup: Setup, pieces: int) -> tuple[Number, ...]:
    """The settings as they are told to people, and how many pieces."""
    told = tuple(Number(say_setting(setup.kind, s.name), s.value) for s in setup.settings)
    return (*told, Number("pieces", pieces))


def say_setting(kind: str, name: str) -> str:
    """What people call a setting of that kind of work."""
    return _LABELS.get((kind, name)) or _LABELS.get(name) or name


def list_titles(parts: Iterable[Part]) -> str:
    """ "side rail", "side rail and back rail", "3 parts"."""
    titles = list(dict.fromkeys(part.title for part in parts))
    return " and ".join(titles) if len(titles) < 3 else f"{len(titles)} parts"


def _fields(setup: Setup, parts: Iterable[Part], display: str) -> dict[str, str]:
    told = {setting.name: _say_value(setting, display) for setting in setup.settings}
    told["parts"] = list_titles(parts)
    told["thin"] = told["cut"] = told.get("stop") or told.get("fence", "")
    told["measured"] = "the slice" if "stop" in told else "the piece between blade and fence"
    told["how"] = _say_how(setup.kind, told)
    told["stops"] = _say_stops(told)
    return told


def _say_stops(told: dict[str, str]) -> str:
    """Where the stop block of a stopped groove stands, and from where that is measured."""
    if "stop ahead" in told:
        ahead, behind = told["stop ahead"], told["stop behind"]
        placed = f" Stop blocks: {ahead} beyond the blade, {behind} before it,"
    elif "stop" in told:
        placed = f" Stop block {told['stop']},"
    else:
        return ""
    return (
        f"{placed} measured at table level: beyond the blade from the near end of the cut, "
        "before the blade from its far end."
    )


def _say_how(kind: str, told: dict[str, str]) -> str:
    if kind == "mitre":
        tilted = "tilt" in told
        return f"Blade tilt {told['tilt']}" if tilted else f"Gauge {told['angle']} off square"
    if kind == "rip_thin" and "stop" in told:
        return (
            f"Block left of the blade and just before it, {told['stop']} from the teeth; edge "
            "against the block, fence up to the board, locked"
        )
    return f"Stop block {told['stop']}" if "stop" in told else f"Fence {told.get('fence', '')}"


def _say_value(setting: Setting, display: str) -> str:
    value: Length | Angle = setting.value
    if isinstance(value, Angle):
        return format_angle(value)
    return format_length(value, display)
