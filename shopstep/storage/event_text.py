"""Stored events: a kind, a schema number and a JSON body, to the session's events and back.

Plain ``json`` and ``model.codec``: reading a session needs no validation library.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import ClassVar

from shopstep.model.codec import decode, encode
from shopstep.session import events as e
from shopstep.words import say

KINDS: dict[str, type[e.Event]] = {
    cls.kind: cls
    for cls in (
        e.SessionStarted,
        e.StepBegun,
        e.CautionAcknowledged,
        e.GlueSpread,
        e.StepFinished,
        e.StepReopened,
        e.BatchHeld,
        e.StepSetAside,
        e.GlueScraped,
        e.BatchStopped,
        e.BatchResumed,
        e.MeasureTaken,
        e.DeviationAccepted,
        e.NoteTaken,
        e.ConditionsNoted,
        e.PlanRevised,
        e.BuildChangeKept,
        e.BuildMoved,
        e.HoursTold,
        e.LabelRead,
        e.ClampsCounted,
        e.PartSpoiled,
        e.StepsVoided,
        e.ClockNoticed,
        e.ClockAnswered,
        e.BatchCompleted,
    )
}
"""Every kind of event by the name under which it is stored."""


@dataclass(frozen=True, slots=True)
class UnknownEvent(e.Event):
    """An event of a kind that this program does not know: kept as it is, changes nothing."""

    kind: ClassVar[str] = "unknown"
    stored_kind: str
    stored_schema: int
    body: str
    """The JSON text as stored."""


@dataclass(frozen=True, slots=True)
class EventText:
    """An event as it stands in a row."""

    kind: str
    schema: int
    body: str


def write_event(event: e.Event) -> EventText:
    """The row values of an event; the body has only ASCII, so that any text can be stored."""
    if isinstance(event, UnknownEvent):
        return EventText(event.stored_kind, event.stored_schema, event.body)
    body = json.dumps(encode(event), sort_keys=True, separators=(",", ":"))
    return EventText(event.kind, event.schema, body)


def read_event(text: EventText) -> e.Event:
    """The event of a row; ValueError when its body is damaged or in a newer form."""
    cls = KINDS.get(text.kind)
    if cls is None:
        return UnknownEvent(text.kind, text.schema, text.body)
    if text.schema > cls.schema:
        raise ValueError(
            say("{kind} is written in a newer form than this program reads", kind=text.kind)
        )
    return decode(cls, json.loads(text.body))
