"""Tools that a step can name. Imports nothing of the project."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

from shopstep.words import say


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool as the build files and the steps name it."""

    id: str
    title: str
    is_power: bool
    """Driven by a motor, air or a spring: its cards must be answered before the step."""
    kinds: tuple[str, ...]
    """Kinds of operation that its cards tell apart; empty where any kind has the same cards."""


_ROWS = (
    Tool(
        "table_saw", "table saw", True,
        (
            "edge", "slice", "rip", "rip_thin", "sheet_cut", "bevel_rip", "groove", "rabbet",
            "rabbet_end", "dado", "fingers", "notch", "crosscut", "mitre",
        ),
    ),
    Tool("planer", "thickness planer", True, ()),
    Tool("router", "router", True, ()),
    Tool("drill_press", "drill press", True, ()),
    Tool("drill_driver", "drill driver", True, ()),
    Tool("brad_nailer", "brad nailer", True, ()),
    Tool("staple_gun", "staple gun", True, ()),
    Tool(
        "hand_saw", "hand saw or circular saw", False,
        ("rough_cut", "straightedge", "crosscut_hand", "hand_cut"),
    ),
    Tool("hand_plane", "hand plane", False, ()),
    Tool("chisel", "chisel", False, ()),
    Tool("knife", "knife", False, ()),
    Tool("snips", "snips", False, ("snip",)),
    Tool("brush", "brush", False, ("paint", "oil")),
    Tool("glue", "glue", False, ()),
    Tool("hand", "hands only", False, ()),
)  # fmt: skip

TOOLS = {row.id: row for row in _ROWS}
"""All tools by id."""

GUARD_OFF_KINDS = frozenset({"groove", "rabbet", "rabbet_end", "dado", "fingers", "notch"})
"""Kinds of saw cut that do not go through the wood, so that the guard has to come off.

29 CFR 1910.213(c)(2), from memory: the spreader is replaced immediately afterwards.
"""


def find_tool(tool_id: str) -> Tool:
    """The tool of that id; ValueError with the nearest known name."""
    if tool_id not in TOOLS:
        near = get_close_matches(tool_id, TOOLS, n=1, cutoff=0.0)
        known = ", ".join(sorted(TOOLS))
        raise ValueError(
            say(
                "there is no tool '{tool_id}'; nearest is '{near}', known: {known}",
                tool_id=tool_id,
                near=near[0],
                known=known,
            )
        )
    return TOOLS[tool_id]


def known_kind(tool: Tool, kind: str) -> str:
    """The kind as the tool's cards know it; empty where they do not tell it apart."""
    return kind if kind in tool.kinds else ""
