"""Builds that are made for each other: what is compared, what breaks, what a measurement does."""

from __future__ import annotations

import json

import pytest

from shopstep.model.difference import format_difference_range
from shopstep.model.plan import BuildFileError, Level
from shopstep.present.together import is_together, together_document, together_lines
from shopstep.units import Length
from tests.meeting_builds import box_text, fit_texts, request_for, rimmed_floor_text, roof_text


def test_a_box_stands_flush_on_the_floor_made_for_the_same_box() -> None:
    """Sizes by hand: both rims are the published outside size, 19-7/8 × 16-1/4 in."""
    report = fit_texts(rimmed_floor_text(), box_text())
    assert is_together(report)
    found = {m.size: m for m in report.meetings}
    assert found["length"].theirs == found["length"].mine == Length.inches("159/8")
    assert found["width"].theirs == found["width"].mine == Length.inches("65/4")
    assert {m.asking for m in report.meetings} == {"plain-box"}


def test_a_box_across_the_entrance_still_lies_with_its_length_on_its_length() -> None:
    report = fit_texts(rimmed_floor_text(), box_text(), settings=())
    across = fit_texts(rimmed_floor_text().replace("usual: short", "usual: long", 1), box_text())
    assert [m.difference for m in across.meetings] == [m.difference for m in report.meetings]
    assert is_together(across)


@pytest.mark.parametrize(("off", "ok"), [("1/16", True), ("5/64", False), ("-1/16", True)])
def test_the_range_of_a_mate_holds_at_its_ends(off: str, ok: bool) -> None:
    """Work by hand: the floor's rim is longer than the box by just this."""
    rim = "then side_rail.length - landing"
    text = rimmed_floor_text().replace(rim, f"{rim} + {off}".replace("+ -", "- ") + " in", 1)
    report = fit_texts(text, box_text())
    length = next(m for m in report.meetings if m.size == "length")
    assert length.difference == Length.inches(off)
    assert (length.ok, is_together(report)) == (ok, ok)


def test_a_broken_must_is_a_stop_that_names_both_builds_sizes_and_the_range() -> None:
    text = rimmed_floor_text().replace("then width else", "then width - 1/4 in else", 1)
    (stop,) = [f for f in fit_texts(text, box_text()).findings if f.level is Level.STOP]
    assert "stands flush" in stop.text
    assert "16 in in screened-floor and 16 1/4 in in plain-box" in stop.text
    assert "1/4 in less; right is 1/16 in less to 1/16 in more." in stop.text
    assert stop.rule == "mate:flush"
    assert stop.where.file == "b1.yaml"
    assert box_text().splitlines()[stop.where.line - 1].strip() == "flush:"


def test_a_broken_should_is_a_warning_and_they_still_go_together() -> None:
    report = fit_texts(box_text(), roof_text().replace("+ 1/4 in", "+ 1/16 in"))
    assert is_together(report)
    warnings = [f for f in report.findings if f.rule == "mate:over_walls"]
    assert {f.level for f in warnings} == {Level.WARN}
    assert len(warnings) == 2


def test_builds_with_other_usual_values_are_made_for_the_first_one_s() -> None:
    report = fit_texts(rimmed_floor_text(), box_text(width="18 in"))
    assert is_together(report)
    assert dict(report.measured)["box_width"] == Length.inches("65/4")


def test_what_is_given_is_given_to_every_build_that_asks_for_it() -> None:
    report = fit_texts(
        rimmed_floor_text(), box_text(), roof_text(), settings=(("box_width", "15 in"),)
    )
    assert is_together(report)
    widths = {m.theirs for m in report.meetings if m.size == "width"}
    assert widths == {Length.inches(15)}


def test_the_same_build_twice_meets_itself_in_both_orders() -> None:
    report = fit_texts(box_text(), box_text())
    pairs = {(m.asking, m.other) for m in report.meetings}
    assert pairs == {("plain-box 1", "plain-box 2"), ("plain-box 2", "plain-box 1")}


def test_a_build_that_meets_nothing_is_said_and_nothing_is_claimed() -> None:
    report = fit_texts(rimmed_floor_text(), roof_text())
    assert not report.meetings
    assert [f.rule for f in report.findings if f.rule == "meets_nothing"] == ["meets_nothing"] * 2
    assert together_lines(report)[0].endswith("nothing was compared.")


def test_two_interfaces_that_do_not_face_each_other_are_refused() -> None:
    text = rimmed_floor_text().replace("role: above", "role: below", 1)
    (stop,) = [f for f in fit_texts(text, box_text()).findings if f.level is Level.STOP]
    assert "Give 'top_rim' the role 'above'" in stop.remedy


def test_a_size_that_the_other_does_not_give_is_never_taken_for_fitting() -> None:
    text = box_text().replace("role: above", "role: above", 1)
    other = text.replace("{length: side.length, width:", "{len: side.length, width:", 1)
    report = fit_texts(other, text.replace("id: plain-box", "id: second-box", 1))
    assert not is_together(report)
    assert any("gives no size 'length'" in f.text for f in report.findings)


def test_a_measurement_that_only_one_build_follows_is_seen_to_move_their_difference() -> None:
    """Work by hand: the roof loses twice what the boards gain; the box's outside stays."""
    report = fit_texts(box_text(), roof_text().replace("+ 2*board_thickness", "+ 1 1/2 in"))
    shifts = {shift.measurement: shift for shift in report.shifts}
    assert shifts["box_width"].changed == ()
    assert shifts["box_width"].builds == ("plain-box", "plain-roof")
    moved = {m.size: m.difference for m in shifts["board_thickness"].changed}
    assert moved == {"length": Length.inches("-1/8"), "width": Length.inches("-1/8")}
    said = "\n".join(together_lines(report, 400))
    assert "board_thickness 1/16 in more: length of plain-box on plain-roof becomes" in said


def test_a_measurement_at_the_end_of_its_range_is_shifted_the_other_way() -> None:
    report = fit_texts(
        rimmed_floor_text(), box_text(), settings=(("box_width", "24 in"), ("box_length", "24 in"))
    )
    shift = next(s for s in report.shifts if s.measurement == "box_width")
    assert shift.by == Length.inches("-1/16")


def test_a_design_that_does_not_hold_by_itself_is_not_compared() -> None:
    report = fit_texts(rimmed_floor_text(), box_text(), settings=(("box_width", "40 in"),))
    assert not is_together(report)
    assert not report.meetings
    assert any("works from 12 in to 24 in" in f.text for f in report.findings)


def test_what_no_build_asks_for_is_refused_with_the_nearest() -> None:
    from shopstep.planner import sort_settings_by_build

    request = request_for("box", box_text())
    with pytest.raises(BuildFileError, match="did you mean 'box_width'"):
        sort_settings_by_build(((request.build, ()),), (("box_widht", "16 in"),))


def test_the_document_has_every_meeting_with_its_range_and_its_answer() -> None:
    report = fit_texts(rimmed_floor_text(), box_text(), roof_text())
    document = json.loads(json.dumps(together_document(report)))
    assert document["version"] == 1
    assert document["fits"] is True
    assert document["builds"] == ["screened-floor", "plain-box", "plain-roof"]
    flush = next(m for m in document["meetings"] if m["mate"] == "flush" and m["size"] == "width")
    assert flush["mine"] == {"nm": 412_750_000, "text": "16 1/4 in"}
    assert flush["difference"]["nm"] == 0
    assert flush["range"]["most"]["nm"] == 1_587_500
    over = next(m for m in document["meetings"] if m["mate"] == "over_walls")
    assert over["range"]["least"] is None
    assert {shift["measurement"] for shift in document["shifts"]} >= {"box_width", "box_length"}


@pytest.mark.parametrize(
    ("least", "most", "said"),
    [
        ("-1/2", "-1/8", "1/2 in less to 1/8 in less"),
        ("0", "1/16", "the same to 1/16 in more"),
        ("1/8", None, "at least 1/8 in more"),
        ("-1/8", None, "at most 1/8 in less"),
        (None, "1/8", "at most 1/8 in more"),
        (None, "-1/8", "at least 1/8 in less"),
        ("0", None, "not less"),
        (None, "0", "not more"),
        ("1/8", "1/8", "1/8 in more"),
    ],
)
def test_the_range_of_a_difference_is_said_without_a_sign(
    least: str | None, most: str | None, said: str
) -> None:
    low, high = (None if end is None else Length.inches(end) for end in (least, most))
    assert format_difference_range(low, high) == said
