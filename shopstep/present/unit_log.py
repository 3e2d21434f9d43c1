"""The log of one unit, found again by its code: what it is, its sizes, its days, what was measured.

The document (``version`` 1)::

    version, code, unit, title, build, revision, session, begun, finished (ISO 8601 in UTC, or null)
    sizes     [{side, text}], front to back, left to right, bottom to top
    measured  [{prompt, name, text}], what it was made for
    checks    [{headline, text, value, expected, verdict, at}]
    made_again [words]
    notes     [{text, at, headline}], from the bench and from service

Imports ``model``, ``session`` and the words of this room.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shopstep.model.plan import Plan
from shopstep.present.columns import fold_item
from shopstep.present.facts import SIDES
from shopstep.present.lines import wrap_lines
from shopstep.present.moments import day_words, local_date, utc_text
from shopstep.present.record import MeasureRecord, NoteRecord, Record, note_about, record
from shopstep.session.events import Envelope, NoteTaken, PartSpoiled
from shopstep.units import Length, format_length
from shopstep.words import say


@dataclass(frozen=True, slots=True)
class UnitLog:
    """One unit, looked back on."""

    code: str
    unit: int
    title: str
    session: str
    """The file that holds all of it."""
    plan: Plan
    begun_s: int
    finished_s: int | None
    """When its last step was done, where all are; seconds since 1970 UTC."""
    checks: tuple[MeasureRecord, ...]
    """Of its own steps, and of those for the whole batch."""
    made_again: tuple[str, ...]
    notes: tuple[NoteRecord, ...]


def unit_log(
    envelopes: Iterable[Envelope], plan: Plan, unit: int, code: str, session: str
) -> UnitLog:
    """What the session tells of one of its units."""
    kept = tuple(envelopes)
    told = record(kept, plan)
    units = {step.id: step.unit for step in plan.steps}
    own = {step for step, number in units.items() if number in (unit, None)}
    return UnitLog(
        code=code,
        unit=unit,
        title=next((m.title for m in plan.makes if unit in m.units), plan.build_title),
        session=session,
        plan=plan,
        begun_s=told.started_s,
        finished_s=_finished(told, plan, unit),
        checks=tuple(each for each in told.measures if each.step in own),
        made_again=tuple(
            f"{e.event.hand} {e.event.part}".replace("_", " ").strip()
            + (f": {e.event.reason}" if e.event.reason else "")
            for e in kept
            if isinstance(e.event, PartSpoiled) and e.event.unit == unit
        ),
        notes=tuple(_notes(kept, plan, unit, units)),
    )


def _finished(told: Record, plan: Plan, unit: int) -> int | None:
    done = {step.step: step.finished_s for step in told.steps}
    steps = [step.id for step in plan.steps if step.unit == unit]
    return max(done[step] for step in steps) if steps and done.keys() >= set(steps) else None


def _notes(
    envelopes: tuple[Envelope, ...], plan: Plan, unit: int, units: dict[str, int | None]
) -> Iterable[NoteRecord]:
    """Notes about the unit in service, and those taken at its steps."""
    for envelope in envelopes:
        event = envelope.event
        if isinstance(event, NoteTaken) and (event.unit or units.get(event.step)) == unit:
            yield NoteRecord(note_about(plan, event), event.text, envelope.moment.at_s)


def unit_lines(log: UnitLog, width: int = 78) -> list[str]:
    """The log of a unit for a person."""
    plan = log.plan
    made = say(
        "build {build_id}, revision {revision}", build_id=plan.build_id, revision=plan.revision
    )
    lines = [
        say(
            "{code}: {log_title}, unit {log_unit} of {units} ({made})",
            code=log.code,
            log_title=log.title,
            log_unit=log.unit,
            units=plan.units,
            made=made,
        )
    ]
    done = (
        say(", finished {day}", day=_day(log.finished_s, plan))
        if log.finished_s
        else say(", not finished")
    )
    lines.append(
        say(
            "Begun {day}{done}. Session: {session}",
            day=_day(log.begun_s, plan),
            done=done,
            session=log.session,
        )
    )
    sizes = [
        f"{format_length(size, plan.display)} {side}"
        for side, size in zip(map(say, SIDES), plan.overall, strict=True)
    ]
    lines.append(say("Overall: {sizes}", sizes=", ".join(sizes)))
    return [
        *wrap_lines(lines, width),
        *_section(
            say("Made for"), [_measured(m.prompt, m.value, plan) for m in plan.measured], width
        ),
        *_section(say("Measured while it was built"), [_check(c, plan) for c in log.checks], width),
        *_section(say("Made again"), log.made_again, width),
        *_section(say("Notes"), [_note(n, plan) for n in log.notes], width),
    ]


def _section(title: str, rows: Iterable[str], width: int) -> list[str]:
    lines = [part for row in rows for part in fold_item(row, width)]
    return [f"{title}:", *lines] if lines else []


def _day(at_s: int, plan: Plan) -> str:
    return day_words(local_date(at_s, plan.zone))


def _measured(prompt: str, value: Length, plan: Plan) -> str:
    return f"{format_length(value, plan.display)}: {prompt}"


def _verdict(check: MeasureRecord) -> str:
    if check.within:
        return say("good")
    return (
        say("outside")
        if check.accepted is None
        else say("kept: {accepted}", accepted=check.accepted).rstrip(": ")
    )


def _check(check: MeasureRecord, plan: Plan) -> str:
    wanted = (
        say(", planned {expected}", expected=format_length(check.expected, plan.display))
        if check.expected is not None
        else ""
    )
    value = format_length(check.value, plan.display)
    return f"{check.headline}: {check.text or check.name} {value}{wanted}, {_verdict(check)}"


def _note(note: NoteRecord, plan: Plan) -> str:
    where = f" ({note.headline})" if note.headline else ""
    return f"{_day(note.at_s, plan)}{where}: {note.text}"


def unit_document(log: UnitLog) -> dict[str, object]:
    """The log of a unit as JSON values, in the shape that the module's docstring gives."""
    plan = log.plan
    return {
        "version": 1,
        "code": log.code,
        "unit": log.unit,
        "title": log.title,
        "build": plan.build_id,
        "revision": plan.revision,
        "session": log.session,
        "begun": utc_text(log.begun_s),
        "finished": utc_text(log.finished_s) if log.finished_s else None,
        "sizes": [
            {"side": side, "text": format_length(size, plan.display)}
            for side, size in zip(SIDES, plan.overall, strict=True)
        ],
        "measured": [
            {"prompt": m.prompt, "name": m.name, "text": format_length(m.value, plan.display)}
            for m in plan.measured
        ],
        "checks": [
            {
                "headline": check.headline,
                "text": check.text,
                "value": format_length(check.value, plan.display),
                "expected": format_length(check.expected, plan.display)
                if check.expected is not None
                else None,
                "verdict": _verdict(check),
                "at": utc_text(check.at_s),
            }
            for check in log.checks
        ],
        "made_again": list(log.made_again),
        "notes": [
            {"text": note.text, "at": utc_text(note.at_s), "headline": note.headline}
            for note in log.notes
        ],
    }
