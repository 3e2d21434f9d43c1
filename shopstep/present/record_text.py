"""The record of a batch, for people and as a document.

The document (``version`` 1)::

    version, title, units, zone
    started, completed        ISO 8601 in UTC; completed is null while steps are open
    held_s                    seconds on hold
    total     {planned_s, spent_s, known, unknown}
              of the ``known`` finished steps; ``unknown`` ones have no time at the bench,
              because nobody saw them come to it
    stages    [{stage, planned_s, spent_s, known, unknown}]
    steps     [{step, unit, headline, stage, finished, planned_s, spent_s, times}]
              spent_s is null where it is unknown; unit is null for the whole batch
    measures  [{step, headline, name, text, at, value, expected, within, accepted, where}]
              value and expected are {nm, text} (expected may be null);
              accepted is the reason why it was kept, or null;
              where: of a gap at a slope "toe", "heel" or "even", else null
    notes     [{headline, text, at}]
    late_joints [headline]
    put_off   [headline], begun later than its longest wait allows

Imports the words of this room and the session's words of trials.
"""

from __future__ import annotations

from shopstep.present.columns import fold_item
from shopstep.present.document_values import length_entry, optional_length
from shopstep.present.lines import wrap_lines
from shopstep.present.moments import day_words, local_date, local_time, utc_text
from shopstep.present.record import MeasureRecord, Record, StepRecord, Times, add_times
from shopstep.session.trials import say_where
from shopstep.units import format_length, format_span
from shopstep.words import say


def record_lines(record: Record, width: int = 78) -> list[str]:
    """The record in lines of at most ``width`` characters, for a person."""
    notes = [
        f"{_moment(n.at_s, record)}, {n.headline or say('no step')}: {n.text}" for n in record.notes
    ]
    sections = [
        *_section(say("Stages"), [f"{t.stage}: {_compare(t)}" for t in record.stages], width),
        *_section(say("Steps"), _step_words(record), width),
        *_section(say("Measured"), [_measure_line(m, record) for m in record.measures], width),
        *_section(say("Closed late and kept"), list(record.late_joints), width),
        *_section(say("Put off too long and done"), list(record.put_off), width),
        *_section(say("Notes"), notes, width),
    ]
    return [*wrap_lines(title_lines(record), width), *sections]


def _section(title: str, lines: list[str], width: int) -> list[str]:
    if not lines:
        return []
    return [f"{title}:", *(part for line in lines for part in fold_item(line, width))]


def _moment(at_s: int, record: Record) -> str:
    return f"{day_words(local_date(at_s, record.zone))} {local_time(at_s, record.zone)}"


def title_lines(record: Record) -> list[str]:
    """What was made, when, and how long it took against the plan."""
    units = say("1 unit") if record.units == 1 else say("{units} units", units=record.units)
    lines = [say("Record of {record_title}, {units}", record_title=record.title, units=units)]
    if record.started_s:
        lines.append(say("Begun {moment}", moment=_moment(record.started_s, record)))
    if record.completed_s is not None:
        lines.append(say("Complete {moment}", moment=_moment(record.completed_s, record)))
    if not record.steps:
        return [*lines, say("No step is finished yet")]
    lines.append(say("At the bench {compare}", compare=_compare(record.total)))
    return lines + (
        [say("On hold {held}", held=format_span(record.held_s))] if record.held_s else []
    )


def _compare(times: Times) -> str:
    """Actual against planned: "12 min, planned 10 min (2 min more)"."""
    if not times.known:
        return say("time not known")
    difference = times.spent_s - times.planned_s
    missing = say(", {unknown} not timed", unknown=times.unknown) if times.unknown else ""
    if not difference:
        return say(
            "{spent}, as planned{missing}", spent=format_span(times.spent_s), missing=missing
        )
    word = say("more") if difference > 0 else say("less")
    return say(
        "{spent}, planned {planned} ({difference} {word}){missing}",
        spent=format_span(times.spent_s),
        planned=format_span(times.planned_s),
        difference=format_span(abs(difference)),
        word=word,
        missing=missing,
    )


def _step_words(record: Record) -> list[str]:
    """Equal steps of several units on one line, the time of each unit after it."""
    groups: dict[tuple[str, str], list[StepRecord]] = {}
    for step in record.steps:
        groups.setdefault((step.stage, step.title), []).append(step)
    return [_group_words(title, steps) for (_, title), steps in groups.items()]


def _group_words(title: str, steps: list[StepRecord]) -> str:
    text = f"{title}: {_compare(add_times('', tuple(steps)))}"
    if len(steps) > 1:
        text += f"; {', '.join(_unit_words(step) for step in steps)}"
    again = sum(step.times - 1 for step in steps)
    return (
        say("{text}; done again {again} times", text=text, again=again)
        if again > 1
        else text + say("; done again") * again
    )


def _unit_words(step: StepRecord) -> str:
    span = say("not timed") if step.spent_s is None else format_span(step.spent_s)
    return say("unit {step_unit}: {span}", step_unit=step.unit, span=span)


def _measure_line(measure: MeasureRecord, record: Record) -> str:
    value = f"{format_length(measure.value, record.display)}{say_where(measure.where)}"
    wanted = ""
    if measure.expected is not None:
        wanted = say(
            ", planned {expected}", expected=format_length(measure.expected, record.display)
        )
    verdict = say("good") if measure.within else say("outside")
    if measure.accepted is not None:
        verdict = say(
            "outside, kept{rest}", rest=f": {measure.accepted}" if measure.accepted else ""
        )
    what = measure.text or measure.name
    when = _moment(measure.at_s, record)
    return f"{when}, {measure.headline}: {what} {value}{wanted}, {verdict}"


def record_document(record: Record) -> dict[str, object]:
    """The record as JSON values, in the shape that the module's docstring gives."""
    return {
        "version": 1,
        "title": record.title,
        "units": record.units,
        "zone": record.zone,
        "started": utc_text(record.started_s) if record.started_s else None,
        "completed": utc_text(record.completed_s) if record.completed_s is not None else None,
        "held_s": record.held_s,
        "total": _times_entry(record.total),
        "stages": [{"stage": times.stage} | _times_entry(times) for times in record.stages],
        "steps": [_step_entry(step) for step in record.steps],
        "measures": [_measure_entry(measure, record.display) for measure in record.measures],
        "notes": [
            {"headline": note.headline, "text": note.text, "at": utc_text(note.at_s)}
            for note in record.notes
        ],
        "late_joints": list(record.late_joints),
        "put_off": list(record.put_off),
    }


def _times_entry(times: Times) -> dict[str, object]:
    return {
        "planned_s": times.planned_s,
        "spent_s": times.spent_s,
        "known": times.known,
        "unknown": times.unknown,
    }


def _step_entry(step: StepRecord) -> dict[str, object]:
    return {
        "step": step.step,
        "unit": step.unit,
        "headline": step.headline,
        "stage": step.stage,
        "finished": utc_text(step.finished_s),
        "planned_s": step.planned_s,
        "spent_s": step.spent_s,
        "times": step.times,
    }


def _measure_entry(measure: MeasureRecord, display: str) -> dict[str, object]:
    return {
        "step": measure.step,
        "headline": measure.headline,
        "name": measure.name,
        "text": measure.text,
        "at": utc_text(measure.at_s),
        "value": length_entry(measure.value, display),
        "expected": optional_length(measure.expected, display),
        "within": measure.within,
        "accepted": measure.accepted,
        "where": measure.where or None,
    }
