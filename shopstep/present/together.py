"""Whether builds go together, as lines for people and as JSON values for programs.

``together_document``, version 1 (a *length* is ``{nm, text}`` as in ``document``)::

    version       1
    builds        [id]                        with a number behind where one is there twice
    display       "in" or "mm"
    fits          true where no finding says stop
    measurements  [{name, value: length}]     what all builds were worked out for
    meetings      [{mate, size, asking, other, mine, theirs, difference, range, ok, level,
                    text, source}]
                  difference: theirs less mine, lengths
      range       {least, most}               lengths or null
    shifts        [{measurement, by: length, builds: [id], changed: [meeting]}]
                  changed: the meetings as they come out then; by 0: no value near it works
    findings      as in ``document``'s findings_document

Imports ``model`` and the words of this room.
"""

from __future__ import annotations

from collections.abc import Iterable

from shopstep.model.difference import format_difference, format_difference_range
from shopstep.model.interface import FitReport, Meeting, Shift
from shopstep.model.plan import Level
from shopstep.present.columns import fold_item, title_section
from shopstep.present.document import findings_document
from shopstep.present.document_values import length_entry, optional_length
from shopstep.present.plan_text import finding_lines
from shopstep.units import format_length
from shopstep.words import say, say_count

VERSION = 1


def is_together(report: FitReport) -> bool:
    """Whether nothing stands in the way."""
    return not any(finding.level is Level.STOP for finding in report.findings)


def together_lines(report: FitReport, width: int = 78) -> list[str]:
    """The report in lines of at most ``width`` characters, the answer first."""
    show = report.display
    values = [f"{name}: {format_length(size, show)}" for name, size in report.measured]
    return [
        *fold_item(_answer(report), width, ""),
        *title_section(say("Made for"), _fold(values, width), width),
        *title_section(say("Where they meet"), _fold(_meeting_texts(report), width), width),
        *title_section(say("To know"), finding_lines(report.findings, width), width),
        *title_section(say("What a measurement does"), _fold(_shift_texts(report), width), width),
    ]


def _fold(texts: Iterable[str], width: int) -> list[str]:
    return [line for text in texts for line in fold_item(text, width)]


def _answer(report: FitReport) -> str:
    names = ", ".join(report.builds)
    if not is_together(report):
        return say("{names}: they do not go together.", names=names)
    if not report.meetings:
        return say("{names}: nothing was compared.", names=names)
    missed = sum(not meeting.ok for meeting in report.meetings)
    if not missed:
        return say("{names}: they go together.", names=names)
    return say_count(
        "{names}: they go together, but in {n} place not as they should.",
        "{names}: they go together, but in {n} places not as they should.",
        missed,
        names=names,
    )


def _meeting_texts(report: FitReport) -> list[str]:
    return [_meeting_words(meeting, report.display) for meeting in report.meetings]


def _meeting_words(meeting: Meeting, display: str) -> str:
    mine, theirs = (format_length(size, display) for size in (meeting.mine, meeting.theirs))
    wanted = format_difference_range(meeting.least, meeting.most, display)
    return say(
        "{ok}: {size}: {other} {theirs},"
        " {asking} {mine}, {difference}; it"
        " {level} be {wanted}. {meeting} Source: {source}",
        ok=say("good") if meeting.ok else say("MISSED"),
        size=meeting.size,
        other=meeting.other,
        theirs=theirs,
        asking=meeting.asking,
        mine=mine,
        difference=format_difference(meeting.difference, display),
        level=meeting.level,
        wanted=wanted,
        meeting=meeting.text,
        source=meeting.source,
    )


def _shift_texts(report: FitReport) -> list[str]:
    """What moves first; then, put together, what changes nothing."""
    show = report.display
    still: dict[str, list[str]] = {}
    for shift in report.shifts:
        if not shift.changed:
            still.setdefault(_shift_head(shift, show), []).append(shift.measurement)
    return [
        *(_shift_words(shift, show) for shift in report.shifts if shift.changed),
        *(f"{', '.join(names)} {head}" for head, names in still.items()),
    ]


def _shift_head(shift: Shift, display: str) -> str:
    if not shift.by:
        return say("a little more or less: out of the range of a build")
    return say("{difference}: they meet as before", difference=format_difference(shift.by, display))


def _shift_words(shift: Shift, display: str) -> str:
    head = f"{shift.measurement} {format_difference(shift.by, display)}"
    if len(shift.builds) == 1:
        head += say(" (only {builds} asks for it)", builds=shift.builds[0])
    said = [
        say(
            "{size} of {other} on {asking} becomes {difference}, {ok}",
            size=m.size,
            other=m.other,
            asking=m.asking,
            difference=format_difference(m.difference, display),
            ok=say("still good") if m.ok else say("NOT GOOD"),
        )
        for m in shift.changed
    ]
    return f"{head}: {'; '.join(said)}"


def together_document(report: FitReport) -> dict[str, object]:
    """The report as JSON values, in the shape that the module's docstring gives."""
    show = report.display
    return {
        "version": VERSION,
        "builds": list(report.builds),
        "display": show,
        "fits": is_together(report),
        "measurements": [
            {"name": name, "value": length_entry(size, show)} for name, size in report.measured
        ],
        "meetings": [_meeting_entry(meeting, show) for meeting in report.meetings],
        "shifts": [
            {
                "measurement": shift.measurement,
                "by": length_entry(shift.by, show),
                "builds": list(shift.builds),
                "changed": [_meeting_entry(meeting, show) for meeting in shift.changed],
            }
            for shift in report.shifts
        ],
        "findings": findings_document(report.findings)["findings"],
    }


def _meeting_entry(meeting: Meeting, display: str) -> dict[str, object]:
    return {
        "mate": meeting.mate,
        "size": meeting.size,
        "asking": meeting.asking,
        "other": meeting.other,
        "mine": length_entry(meeting.mine, display),
        "theirs": length_entry(meeting.theirs, display),
        "difference": length_entry(meeting.difference, display),
        "range": {
            "least": optional_length(meeting.least, display),
            "most": optional_length(meeting.most, display),
        },
        "ok": meeting.ok,
        "level": meeting.level,
        "text": meeting.text,
        "source": meeting.source,
    }
