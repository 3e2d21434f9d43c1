"""What happened, event by event: rows, plain lines and a document; and the record at the end.

The document (``version`` 1)::

    version, title, zone
    entries  [{version, at, local, face, kind, step, unit, headline, what, spent_s, value, pause}]
             version: the session's version after it; at: ISO 8601 in UTC; local: shop's time;
             kind: the stored kind; step, unit, spent_s and value are null where there is none;
             value is {nm, text}; pause is {seconds, kind} of the interruption that the entry
             ends (kind: hold, gap, or wait with nothing at the bench), null where there is none

Imports ``model``, ``session`` and the words of this room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from shopstep.model.plan import Plan
from shopstep.model.resources import set_words
from shopstep.present.document_values import optional_length
from shopstep.present.lines import wrap_lines
from shopstep.present.moments import day_words, local_date, local_time, utc_text
from shopstep.present.pauses import Pause, with_pauses
from shopstep.present.record import find_step, record, step_headline
from shopstep.present.record_text import record_document, record_lines
from shopstep.session import events as said
from shopstep.session.events import Envelope, Event
from shopstep.session.evolve import OPEN_TIME, PUT_OFF
from shopstep.session.trials import say_where
from shopstep.units import Length, format_length, format_span
from shopstep.warmth import both_scales
from shopstep.words import figure, say, to_say

__all__ = [
    "LogRow",
    "log_document",
    "log_lines",
    "log_rows",
    "record",
    "record_document",
    "record_lines",
]


@dataclass(frozen=True, slots=True)
class LogRow:
    """One event as a row."""

    version: int
    at_s: int
    """Seconds since 1970 UTC."""
    day: str
    """Local day: "Tue 25 Nov 2025"."""
    clock: str
    """Local time: "18:05"."""
    face: str
    kind: str
    step: str
    """Id of the step, empty where the event is about none."""
    unit: int | None
    headline: str
    """Headline and unit of the step, its id where the plan has it no more, or empty."""
    what: str
    """What happened, in words."""
    spent_s: int | None
    value: Length | None
    pause: Pause | None
    """The interruption that this entry ends."""


def log_rows(envelopes: Iterable[Envelope], plan: Plan) -> tuple[LogRow, ...]:
    """One row for each event, oldest first; times in the plan's zone."""
    return tuple(_row(one, plan, pause) for one, pause in with_pauses(envelopes, plan))


def _row(envelope: Envelope, plan: Plan, pause: Pause | None) -> LogRow:
    event, at_s = envelope.event, envelope.moment.at_s
    step_id = str(getattr(event, "step", ""))
    found = find_step(plan, step_id)
    return LogRow(
        version=envelope.version,
        at_s=at_s,
        day=day_words(local_date(at_s, plan.zone)),
        clock=local_time(at_s, plan.zone),
        face=envelope.face,
        kind=event.kind,
        step=step_id,
        unit=found[0].unit if found else None,
        headline=step_headline(plan, step_id) if step_id else "",
        what=describe_event(event, plan) + _held_words(pause),
        spent_s=event.spent_s if isinstance(event, said.StepFinished) else None,
        value=Length(event.nm) if isinstance(event, said.MeasureTaken) else None,
        pause=pause,
    )


def _held_words(pause: Pause | None) -> str:
    """How long the hold was that an entry ends."""
    return (
        say(" after {seconds}", seconds=format_span(pause.seconds))
        if pause and pause.kind == "hold"
        else ""
    )


def describe_event(event: Event, plan: Plan) -> str:
    """What an event says, in words; its stored kind where this program does not know it."""
    describe = _WORDS.get(event.kind)
    return describe(event, plan) if describe else event.kind.replace("_", " ")


def _with_reason(text: str, reason: str) -> str:
    return f"{text}: {reason}" if reason else text


def _describe_measure(event: Any, plan: Plan) -> str:
    verdict = say("good") if event.within else say("outside the tolerance")
    value = f"{format_length(Length(event.nm), plan.display)}{say_where(event.where)}"
    return say(
        "measured {event_name} {value}, {verdict}",
        event_name=event.name,
        value=value,
        verdict=verdict,
    )


def _describe_acceptance(event: Any, plan: Plan) -> str:
    late = {
        OPEN_TIME: say("said to be closed in time"),
        PUT_OFF: say("put off too long, done all the same"),
    }
    text = late.get(event.name, say("kept {name} as it is", name=event.name))
    return _with_reason(text, event.reason)


def _describe_spread(event: Any, plan: Plan) -> str:
    since = local_time(event.since_s, plan.zone)
    return say("glue open since {since}", since=since) + (
        "" if event.told else say(", taken from the plan")
    )


def _describe_finish(event: Any, plan: Plan) -> str:
    if event.told_s:
        day, clock = local_date(event.told_s, plan.zone), local_time(event.told_s, plan.zone)
        return say("done on {day} at {clock}, ticked on paper", day=day_words(day), clock=clock)
    return (
        say("done in {spent}", spent=format_span(event.spent_s)) if event.spent_s else say("done")
    )


def _describe_revision(event: Any, plan: Plan) -> str:
    change = say(
        "{added} steps more, {voided} fewer", added=len(event.added), voided=len(event.voided)
    )
    return _with_reason(
        say("plan {event_number} took over ({change})", event_number=event.number, change=change),
        event.reason,
    )


_ABOUT = to_say({"next_time": "for next time", "to_get": "to get", "service": "in service"})
NOTE = to_say("note")
_WORDS: dict[str, Callable[[Any, Plan], str]] = {
    "session_started": lambda e, plan: say("began {title}", title=e.title),
    "step_begun": lambda e, plan: say("came to the bench"),
    "caution_acknowledged": lambda e, plan: say(
        "caution answered: {cautions}", cautions=", ".join(e.cautions)
    ),
    "glue_spread": _describe_spread,
    "step_finished": _describe_finish,
    "step_reopened": lambda e, plan: say("open again"),
    "batch_held": lambda e, plan: _with_reason(say("on hold"), e.reason),
    "batch_resumed": lambda e, plan: say("taken up again"),
    "measure_taken": _describe_measure,
    "deviation_accepted": _describe_acceptance,
    "note_taken": lambda e, plan: (
        f"{say(_ABOUT.get(e.about, NOTE))}"
        f"{say(', unit {unit}', unit=e.unit) if e.unit else ''}: {e.text}"
    ),
    "step_set_aside": lambda e, plan: _with_reason(say("set aside"), e.reason),
    "glue_scraped": lambda e, plan: say("glue scraped off, to be spread anew"),
    "batch_stopped": lambda e, plan: _with_reason(say("stopped for good"), e.reason),
    "conditions_noted": lambda e, plan: say(
        "air {temperature_c}, {humidity_percent} %",
        temperature_c=both_scales(e.temperature_c),
        humidity_percent=figure(e.humidity_percent, "g"),
    ),
    "plan_revised": _describe_revision,
    "build_change_kept": lambda e, plan: say("build file changed, plan kept"),
    "label_read": lambda e, plan: (
        say(
            "label of the {glue}: open {seconds}",
            glue=e.glue.replace("_", " "),
            seconds=format_span(e.seconds),
        )
        if e.seconds
        else say("the label of the {glue} gives no open time", glue=e.glue.replace("_", " "))
    ),
    "hours_told": lambda e, plan: say("stays until {time}", time=local_time(e.until_s, plan.zone)),
    "clamps_counted": lambda e, plan: _with_reason(
        say("counted {count} clamps", count=e.count), set_words(e.sets, plan.display)
    ),
    "build_moved": lambda e, plan: say("moved over to the changed build file"),
    "part_spoiled": lambda e, plan: _with_reason(
        say("{hand} {part} of unit {unit} is made again", hand=e.hand, part=e.part, unit=e.unit)
        .replace("_", " ")
        .strip(),
        e.reason,
    ),
    "steps_voided": lambda e, plan: say("{steps} steps are to be done again", steps=len(e.steps)),
    "clock_noticed": lambda e, plan: say(
        "the clock was moved; {offset} s are added to it", offset=e.offset_s
    ),
    "clock_answered": lambda e, plan: say(
        "the clock is {right}", right=say("right") if e.right else say("wrong")
    ),
    "batch_completed": lambda e, plan: say("complete"),
}


def log_lines(envelopes: Iterable[Envelope], plan: Plan, width: int = 78) -> list[str]:
    """The log for a person: each day once, then "18:05 Dry fit (unit 1): done in 2 min".

    An interruption stands in a line of its own, with its length, before the entry that ends it.
    """
    lines: list[str] = []
    last_day = ""
    for row in log_rows(envelopes, plan):
        if row.day != last_day:
            lines.append(row.day)
            last_day = row.day
        if row.pause is not None and row.pause.kind != "hold":
            lines.append(f"{row.clock} {row.pause.words}")
        about = f"{row.headline}: " if row.headline else ""
        lines.append(f"{row.clock} {about}{row.what} [{row.face}]")
    return wrap_lines(lines, width)


def log_document(envelopes: Iterable[Envelope], plan: Plan) -> dict[str, object]:
    """The log as JSON values, in the shape that the module's docstring gives."""
    entries = [_entry(row, plan) for row in log_rows(envelopes, plan)]
    return {"version": 1, "title": plan.build_title, "zone": plan.zone, "entries": entries}


def _entry(row: LogRow, plan: Plan) -> dict[str, object]:
    return {
        "version": row.version,
        "at": utc_text(row.at_s),
        "local": f"{local_date(row.at_s, plan.zone)} {row.clock}",
        "face": row.face,
        "kind": row.kind,
        "step": row.step or None,
        "unit": row.unit,
        "headline": row.headline or None,
        "what": row.what,
        "spent_s": row.spent_s,
        "value": optional_length(row.value, plan.display),
        "pause": {"seconds": row.pause.seconds, "kind": row.pause.kind} if row.pause else None,
    }
