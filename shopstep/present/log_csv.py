"""The log as a table for a spreadsheet: RFC 4180, one row for each event.

Free text that begins with a sign of a formula gets an apostrophe, so that no program works it out.
Imports the rows of ``log``.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from shopstep.model.plan import Plan
from shopstep.present.log import LogRow, log_rows
from shopstep.present.moments import local_date, utc_text
from shopstep.session.events import Envelope
from shopstep.units import format_length

HEADER = (
    "version", "utc", "local", "zone", "face", "kind", "step", "unit", "headline", "what",
    "spent_s", "value", "pause_s", "pause",
)  # fmt: skip
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def log_csv(envelopes: Iterable[Envelope], plan: Plan) -> str:
    """The whole table with its heading, lines ended by CR LF."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEADER)
    for row in log_rows(envelopes, plan):
        writer.writerow([_safe(cell) for cell in _cells(row, plan)])
    return out.getvalue()


def _cells(row: LogRow, plan: Plan) -> tuple[object, ...]:
    return (
        row.version,
        utc_text(row.at_s),
        f"{local_date(row.at_s, plan.zone)} {row.clock}",
        plan.zone,
        row.face,
        row.kind,
        row.step,
        "" if row.unit is None else row.unit,
        row.headline,
        row.what,
        "" if row.spent_s is None else row.spent_s,
        "" if row.value is None else format_length(row.value, plan.display),
        "" if row.pause is None else row.pause.seconds,
        "" if row.pause is None else row.pause.kind,
    )


def _safe(cell: object) -> object:
    if isinstance(cell, str) and cell.startswith(_FORMULA):
        return f"'{cell}"
    return cell
