"""What a person reads about a weak fit: what may happen, and what to watch."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.fitting import analyse_fits
from shopstep.fitting.advice import odds_words
from shopstep.model.lever import Lever, Origin, SizeKind
from shopstep.model.plan import Finding, Fit, Level
from shopstep.planner import make_plan
from shopstep.present.document import plan_document
from shopstep.present.plan_text import fit_words
from shopstep.units import SIXTY_FOURTH, Length
from tests.floor import floor_request

inch = Length.inches
GROOVE = Lever(
    "panel_in_sides.channel", 1.0, kind=SizeKind.GROOVE_WIDTH, title="width of the panel's groove"
)
PANEL = Lever(
    "panel_thickness", -1.0, origin=Origin.MEASURED, kind=SizeKind.READING, title="panel thickness"
)
DOOR = Lever(
    "door.width", -1.0, across_grain=True, material="board", kind=SizeKind.RIP,
    title="width of the rear door", value=inch(1),
)  # fmt: skip


def slides(*levers: Lever, value: str = "1/64", least: str = "0", most: str = "1/16") -> Fit:
    """A panel in its groove."""
    return Fit(
        name="panel_slides",
        level="must",
        value=inch(value),
        least=inch(least),
        most=inch(most),
        ok=True,
        source="a test",
        text="",
        line=7,
        file="floor.yaml",
        too_little="the panel may bind",
        too_much="the panel may rattle",
        ease="ease the panel's edge",
        levers=levers,
    )


def looked_at(fit: Fit, **more: object) -> tuple[Fit, tuple[Finding, ...]]:
    """The fit after the analysis, with its findings."""
    movements = more.get("movements", {})
    readings = more.get("readings", {})
    found = analyse_fits((fit,), movements, readings, str(more.get("display", "in")))  # type: ignore[arg-type]
    return found.fits[0], found.findings


def test_with_assumed_tolerances_it_may_bind_and_says_what_to_watch() -> None:
    found, _ = looked_at(slides(GROOVE, PANEL))
    assert found.advice == (
        "The panel may bind: it is planned at 1/64 in (0 in to 1/16 in is right), and cuts and the "
        "reading to ±1/64 in can take away 1/32 in. Watch the width of the panel's groove most: "
        "cut it 1/64 in wider, or ease the panel's edge."
    )
    assert not found.odds_measured


def test_odds_are_told_only_where_all_that_matters_was_measured() -> None:
    groove = {"groove_width": tuple(SIXTY_FOURTH.times(n) for n in (-1, 1, 0, 0, 1, -1))}
    panel = {"panel_thickness": (inch("30/64"), inch("31/64"), inch("30/64"))}
    half, _ = looked_at(slides(GROOVE, PANEL), readings=groove)
    assert not half.odds_measured
    assert "of 10" not in half.advice
    whole, findings = looked_at(slides(GROOVE, PANEL), readings=groove | panel)
    assert whole.odds_measured
    assert whole.odds is not None
    assert f"The panel may bind in {odds_words(whole.odds)}: it is planned" in whole.advice
    assert findings[0].level is Level.WARN
    assert "by your own readings" in fit_words(whole, "in")


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.0005, "fewer than 1 of 1000 units"),
        (0.083, "about 1 of 12 units"),
        (0.5, "about 5 of 10 units"),
        (0.99, "nearly every unit"),
    ],
)
def test_odds_read_as_people_say_them(chance: float, words: str) -> None:
    assert odds_words(chance) == words


def test_a_must_that_may_break_is_a_warning_above_one_of_twenty_else_a_note() -> None:
    (often,) = looked_at(slides(GROOVE, PANEL, value="0"))[1]
    (seldom,) = looked_at(slides(GROOVE, PANEL))[1]
    assert (often.level, seldom.level) == (Level.WARN, Level.NOTE)
    assert seldom.rule == "fit_margin:panel_slides"
    assert (seldom.where.file, seldom.where.line) == ("floor.yaml", 7)
    assert seldom.remedy.startswith("Watch the width of the panel's groove most")


def test_a_should_gives_advice_and_no_finding() -> None:
    found, findings = looked_at(replace(slides(GROOVE, PANEL), level="should"))
    assert found.advice.startswith("The panel may bind")
    assert findings == ()


def test_what_holds_in_the_worst_case_and_what_is_already_broken_say_nothing() -> None:
    good, findings = looked_at(slides(GROOVE, PANEL, value="1/2", most="1"))
    assert (good.advice, findings) == ("", ())
    broken = replace(slides(GROOVE, PANEL, value="-1/8"), ok=False)
    found, findings = looked_at(broken)
    assert (found.advice, findings) == ("", ())
    assert found.worst == (inch("-10/64"), inch("-6/64"))


def test_a_worst_case_that_no_rule_can_show_is_not_spoken_of() -> None:
    wide = slides(GROOVE, PANEL, value="1/32", least="0", most="1")
    barely = replace(wide, value=inch("1/32") - Length(2_000))
    assert looked_at(barely)[1] == ()


def test_the_other_end_of_the_range_is_told_where_that_is_likelier() -> None:
    found, _ = looked_at(slides(GROOVE, PANEL, value="3/64"))
    assert found.advice.startswith("The panel may rattle: ")
    assert "can add 1/32 in." in found.advice
    assert "cut it 1/64 in narrower" in found.advice


def test_a_fit_whose_author_wrote_no_words_is_named() -> None:
    bare = replace(slides(GROOVE, PANEL), too_little="", ease="")
    found, _ = looked_at(bare)
    assert found.advice.startswith("'panel slides' may come out too small: ")
    assert found.advice.endswith("cut it 1/64 in wider.")


def test_where_the_range_leaves_no_room_the_advice_is_to_cut_truer() -> None:
    found, _ = looked_at(slides(GROOVE, PANEL, value="1/64", most="1/32"))
    assert "cut a first one in scrap and try the real piece in it, or ease" in found.advice


def test_stock_that_is_off_most_is_to_be_measured_and_a_cut_made_to_match() -> None:
    sheet = replace(PANEL, kind=SizeKind.SHEET_THICKNESS, origin=Origin.BOUGHT)
    found, _ = looked_at(slides(GROOVE, sheet))
    assert "Watch the panel thickness most: measure it on the pieces that you will use." in (
        found.advice
    )
    assert "Then the width of the panel's groove: " in found.advice
    only, _ = looked_at(slides(sheet))
    assert only.advice.endswith("pieces that you will use, or ease the panel's edge.")


def test_movement_outdoors_is_named_beside_the_cuts() -> None:
    door = slides(DOOR, value="1/32", most="1/16")
    found, _ = looked_at(door, movements={"board": (-0.003, 0.02)})
    assert (
        "cuts to ±1/64 in can take away 1/64 in, the wood's movement outdoors another 1/32 in"
        in (found.advice)
    )
    assert found.worst is not None
    assert found.worst[0].in_inches == pytest.approx(1 / 32 - 1 / 64 - 0.02)
    still, _ = looked_at(replace(door, levers=(replace(DOOR, across_grain=False),)))
    assert still.advice == ""


def test_a_metric_shop_reads_millimetres() -> None:
    found, _ = looked_at(slides(GROOVE, PANEL), display="mm")
    assert "planned at 0.4 mm (0 mm to 1.6 mm is right)" in found.advice
    assert "cut it 0.5 mm wider" in found.advice
    assert " in can" not in found.advice


def test_the_plan_carries_worst_case_odds_and_levers_to_every_face() -> None:
    plan = make_plan(floor_request())
    fit = next(each for each in plan.fits if each.name == "panel_slides")
    assert fit.worst is not None
    assert fit.worst[0] < fit.value < fit.worst[1]
    (finding,) = [f for f in plan.findings if f.rule == "fit_margin:panel_slides"]
    assert finding.text.startswith("The panel may bind: ")
    assert fit.advice == f"{finding.text} {finding.remedy}"
    entries = plan_document(plan)["fits"]
    assert isinstance(entries, list)
    entry = next(each for each in entries if each["name"] == "panel_slides")
    assert entry["worst"]["least"]["nm"] == fit.worst[0].nm
    assert entry["odds"] == pytest.approx(fit.odds, abs=1e-6)
    assert entry["odds_measured"] is False
    assert [each["name"] for each in entry["levers"]] == [each.name for each in fit.levers]
    words = fit_words(fit, "in")
    assert "Worst case -" in words
    assert words.endswith("hangs on: width of the panel's groove, panel thickness")


def test_a_measured_panel_is_surer_than_one_that_nobody_measured() -> None:
    odds = [
        next(fit.odds for fit in make_plan(request).fits if fit.name == "panel_slides")
        for request in (floor_request(), floor_request(("panel_thickness", "15/32 in")))
    ]
    assert odds[0] is not None
    assert odds[1] is not None
    assert odds[1] < odds[0]
