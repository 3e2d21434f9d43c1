"""Events as text: every kind comes back whole, an unknown one stays as it is."""

from __future__ import annotations

import pytest

from shopstep.model.resources import ClampSet
from shopstep.session import events as e
from shopstep.storage.event_text import KINDS, EventText, UnknownEvent, read_event, write_event
from shopstep.units import Length

# --- events as text ---------------------------------------------------------------------------

EVENTS: tuple[e.Event, ...] = (
    e.SessionStarted("t", "h", "b"),
    e.StepBegun("s"),
    e.CautionAcknowledged("s", ("a", "b")),
    e.GlueSpread("s", 5, told=True),
    e.StepFinished("s", 7),
    e.StepReopened("s"),
    e.BatchHeld("r"),
    e.StepSetAside("s", "r"),
    e.GlueScraped("s", ("t",)),
    e.StepsVoided(("s", "t")),
    e.HoursTold(1_768_510_000),
    e.ClampsCounted(6),
    e.ClampsCounted(6, (ClampSet(4, Length.inches(24)), ClampSet(2, Length.inches(48)))),
    e.LabelRead("wood_glue", 480),
    e.BuildMoved("d" * 64, (("a.yaml", "schema: 1\n"), ("b.yaml", ""))),
    e.BatchStopped("r"),
    e.BatchResumed(),
    e.MeasureTaken("s", "n", -3, within=False),
    e.DeviationAccepted("s", "n", "r"),
    e.NoteTaken("", "\ud800 ✓ \x00"),
    e.ConditionsNoted(-3.5, 40.0),
    e.PlanRevised(2, "h", 9, "r", (), ("x",)),
    e.BuildChangeKept("d"),
    e.PartSpoiled("rail", "left", 1, 2, "split"),
    e.ClockNoticed(-3600),
    e.ClockAnswered(right=True),
    e.BatchCompleted(),
)


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: event.kind)
def test_every_kind_of_event_survives_as_text(event: e.Event) -> None:
    text = write_event(event)
    assert (text.kind, text.schema) == (event.kind, 1)
    assert text.body.isascii()
    assert read_event(text) == event


def test_no_kind_of_event_is_forgotten() -> None:
    known = {cls.kind for cls in e.Event.__subclasses__() if cls.__module__ == e.__name__}
    assert set(KINDS) == known == {event.kind for event in EVENTS}


def test_an_unknown_kind_of_event_is_kept_as_it_is() -> None:
    text = EventText("sneezed", 4, '{"loudly":true}')
    event = read_event(text)
    assert event == UnknownEvent("sneezed", 4, '{"loudly":true}')
    assert write_event(event) == text


@pytest.mark.parametrize(
    "text",
    [
        EventText("step_begun", 1, "{}"),
        EventText("step_begun", 1, "["),
        EventText("step_begun", 1, '{"step":7}'),
        EventText("step_begun", 2, '{"step":"s"}'),
    ],
)
def test_a_damaged_or_newer_event_is_told(text: EventText) -> None:
    with pytest.raises(ValueError, match=r"."):
        read_event(text)
