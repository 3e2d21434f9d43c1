"""Sheets to PDF pages (ISO 32000), set by typst from ``paper.typ`` with fonts that ship.

The same values give the same bytes. Imports typst, and ``model`` for the plan.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import typst

from shopstep.model.plan import Plan
from shopstep.paper.sheets import Sheet
from shopstep.present.moments import day_words, local_date
from shopstep.words import say

PAPERS = {"a4": "a4", "letter": "us-letter"}
"""Sizes by name: ISO 216, and ANSI/ASME Y14.1 size A."""
TEMPLATE = "paper.typ"
LYING_MM = {"a4": (297.0, 210.0), "letter": (279.4, 215.9)}
"""Pages that lie on their long side: width and height in mm."""


def set_pages(
    assets: Path, plan: Plan, sheets: Sequence[Sheet], paper: str, at_s: int, note: str = ""
) -> bytes:
    """The PDF of some sheets; ``at_s`` is the day that stands on each page, ``note`` beside it."""
    units = say("1 unit") if plan.units == 1 else say("{units} units", units=plan.units)
    day = day_words(local_date(at_s, plan.zone))
    foot = [plan.build_title, say("revision {revision}", revision=plan.revision), units, day]
    data = {
        "title": plan.build_title,
        "paper": PAPERS[paper],
        "foot": " · ".join([*foot, note] if note else foot),
        "sheets": list(sheets),
    }
    pages: bytes = typst.compile(
        str(assets / TEMPLATE),
        root=str(assets),
        font_paths=[str(assets / "fonts")],
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
    )
    return pages
