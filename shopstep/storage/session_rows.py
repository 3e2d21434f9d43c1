"""The rows of a session file: events and plans on their way into the tables.

Imports ``sqlite3``, the events of the session and the text forms of this room.
"""

from __future__ import annotations

import json
import sqlite3

from shopstep.model.codec import digest, to_text
from shopstep.model.plan import Plan
from shopstep.session.events import Envelope, Event, Moment
from shopstep.storage.event_text import write_event

EVENT_COLUMNS = (
    "version, kind, schema, at_s, zone, boot_id, monotonic_ns, face, command_id, ordinal, body"
)


def wrap_events(
    events: tuple[Event, ...], version: int, moment: Moment, face: str, command_id: str
) -> tuple[Envelope, ...]:
    """Envelopes for events that follow ``version``."""
    return tuple(
        Envelope(number, event, moment, face, command_id)
        for number, event in enumerate(events, version + 1)
    )


def insert_events(
    connection: sqlite3.Connection, session: str, envelopes: tuple[Envelope, ...]
) -> None:
    """Writes one command's events; the caller holds the transaction."""
    rows = []
    for ordinal, envelope in enumerate(envelopes):
        text, moment = write_event(envelope.event), envelope.moment
        rows.append(
            (session, envelope.version, text.kind, text.schema, moment.at_s, moment.zone,
             moment.boot_id, moment.monotonic_ns, envelope.face, envelope.command_id, ordinal,
             text.body)
        )  # fmt: skip
    if has_digests(connection):
        connection.executemany(
            f"INSERT INTO event (session, {EVENT_COLUMNS}, digest)"
            " VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?)",
            [(*row, event_digest(row[1:])) for row in rows],
        )
        return
    connection.executemany(
        f"INSERT INTO event (session, {EVENT_COLUMNS}) VALUES (?,?,?,?,?,?,?,?,?,?,?,?)", rows
    )


def has_digests(connection: sqlite3.Connection) -> bool:
    """Whether the file has a column for digests; one in its first form has not."""
    (form,) = connection.execute("PRAGMA user_version").fetchone()
    return int(form) >= 2


def event_digest(values: tuple[object, ...]) -> str:
    """A digest of an event's columns, in the order of ``EVENT_COLUMNS``: a flipped bit shows."""
    return digest(json.dumps(values))[:16]


def insert_plan(connection: sqlite3.Connection, session: str, number: int, plan: Plan) -> None:
    """Writes a plan with its hash; the caller holds the transaction."""
    document = to_text(plan)
    connection.execute(
        "INSERT INTO plan VALUES (?, ?, ?, ?)", (session, number, digest(document), document)
    )
