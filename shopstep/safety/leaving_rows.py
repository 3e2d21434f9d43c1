"""What makes the shop safe before it is left, by the tools that were used.

The tool's manual, local rules and licensed practice govern. Imports ``shopstep.model``.
"""

from __future__ import annotations

from shopstep.model.leaving import MakeSafe

_GOVERNS = "the tool's manual governs"

LEAVING_ROWS = (
    MakeSafe(
        "saw_off", ("table_saw",),
        "Saw unplugged, blade down, guard and riving knife on.",
        f"29 CFR 1910.213 (guards), from memory; unplugging is common practice; {_GOVERNS}",
    ),
    MakeSafe(
        "machines_off", ("planer", "drill_press", "router", "drill_driver"),
        "Machines unplugged or batteries out, bits out of the way.",
        f"common practice, no source; {_GOVERNS}",
    ),
    MakeSafe(
        "air_off", ("brad_nailer", "staple_gun"),
        "Nailer off its hose, magazine empty. Air off, tank drained.",
        "common practice, no source; the compressor's manual governs",
    ),
    MakeSafe(
        "oily_rags", ("brush:oil",),
        "Oily rags spread flat outdoors, or under water in a lidded metal can.",
        "insurer and fire-service guidance; 29 CFR 1926.252(e) asks for covered containers",
    ),
    MakeSafe(
        "tins_shut", ("brush", "glue"),
        "Tins and bottles shut, brushes washed, kept from frost.",
        "common practice, no source; the label governs",
    ),
    MakeSafe(
        "heater_off", ("",),
        "Heater off, nothing on it. Lights last.",
        "common practice, no source; the heater's manual governs",
    ),
)  # fmt: skip
"""In the order in which a person walks through the shop; an empty tool: always."""


def leaving_rows(tools: frozenset[str]) -> tuple[MakeSafe, ...]:
    """The rows for these tools; ``brush:oil`` for a brush with an oil in it."""
    return tuple(row for row in LEAVING_ROWS if not tools.isdisjoint(row.tools) or "" in row.tools)
