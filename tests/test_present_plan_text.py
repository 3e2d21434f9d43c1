"""The plan in plain lines, and the columns they stand in."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.model.plan import Finding, Fit, Level, Where
from shopstep.model.stock import StockPiece
from shopstep.present.columns import align_rows, fold_groups, fold_text
from shopstep.present.evenings import name_units, plan_evenings
from shopstep.present.plan_text import (
    finding_lines,
    fit_words,
    part_title,
    plan_lines,
    promise_words,
)
from shopstep.units import Length
from tests.present_sample import furnished_plan, inch
from tests.sample_plan import make_plan

WHOLE = """\
Sample frame, 2 units (build sample, revision 1)
Overall: 20 in front to back, 16 in left to right, 4 in bottom to top
Sides: left as you stand behind it

Measurements and choices
  board_thickness     3/4 in  usual value, measure yours
  hive_width       16 1/4 in
  entrance: front

Parts (each unit, batch of 2; length × width × thickness)
  3/4 in pine board:
  left side rail   1  2  22 1/2 in   3 1/2 in  3/4 in
  right side rail  1  2  22 1/2 in   3 1/2 in  3/4 in
  door             2  4  14 3/4 in   1 1/2 in  3/4 in
  1/2 in plywood:
  panel            1  2      20 in  13 3/4 in  1/2 in

Cut from
  buy-board-1: 3/4 in pine board, 96 in × 5 1/2 in, to buy
    2 × left side rail 22 1/2 in × 3 1/2 in; 1 × right side rail 22 1/2 in ×
      3 1/2 in
  off-7: 1/2 in plywood, 24 in × 30 in, from the rack

Cuts, drawn
  buy-board-1: 3/4 in pine board, 96 in × 5 1/2 in, kerf 1/8 in
    |1 SR L 22 1/2 in|2 SR L 22 1/2 in|3 SR R 22 1/2 in|rest 28 1/8 in~~~~~~~|
    |rest 96 in × 1 7/8 in~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~|
  off-7: 1/2 in plywood, 24 in × 30 in, kerf 1/8 in
    |rest 24 in × 30 in~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~|
  Numbers: the order in which parts come off. ... waste, ~~~ kept. Marks: SR
    L: left side rail; SR R: right side rail

Buy
  1 × 3/4 in pine board, 1×6, 8 ft

Machine setups, in order
  1. table saw, rip: fence 3 1/2 in
     2 × left side rail; 2 × right side rail
  2. table saw, bevel rip: tilt 15°, height 3/8 in
     4 × door
  2 setups for the whole batch; cutting unit by unit would take 4.

Evenings
  2 evenings. Chosen for fewest evenings, then the earliest finish, then
    fewest setups. All times are guessed; your own sessions will correct them.
  Glue and paint are timed for 20 °C (68 °F), 50 % humidity; the label on the
    tin comes first.
  1. Tue 25 Nov 2025, 18:00–18:36, 36 min of work
     18:00  Rip the rails
     18:10  Dry fit          units 1–2
     18:14  Spread glue      units 1–2
     18:16  Close the joint  units 1–2
     18:20  Square it        units 1–2
     18:24  Tack the joint   units 1–2
     18:28  Screw the joint  units 1–2
     18:32  First coat       units 1–2
  2. Wed 26 Nov 2025, 18:00–18:04, 4 min of work
     18:00  Second coat  units 1–2

Fits
  good: bee space 5/16 in (1/4 in to 3/8 in, must). Above. Source: a press
  MISSED: slide 1/64 in (at least 1/32 in, should). Source: common practice

To know
  warn: floor.yaml, line 61, slide: The slide clearance is 1/64 in. Make the
    runner 1/64 in thinner.
  note: Nobody measured the board."""


def test_the_whole_plan_reads_from_size_to_findings() -> None:
    assert "\n".join(plan_lines(furnished_plan())) == WHOLE


@pytest.mark.parametrize("width", [40, 60, 78, 120])
def test_no_line_is_longer_than_asked_and_none_draws(width: int) -> None:
    for line in plan_lines(furnished_plan(24), width):
        assert len(line) <= width
        assert line == line.rstrip()
        assert not any("─" <= letter <= "▟" for letter in line)


def test_a_narrow_screen_keeps_every_part_with_all_its_sizes() -> None:
    text = "\n".join(plan_lines(furnished_plan(), 40))
    assert "left side rail, 1, 2, 22 1/2 in" in text
    assert "13 3/4 in, 1/2 in" in text


def test_what_a_plan_does_not_have_gets_no_heading() -> None:
    text = "\n".join(plan_lines(make_plan()))
    for heading in (
        "Parts",
        "Cut from",
        "Buy",
        "Machine setups",
        "Fits",
        "To know",
        "Measurements",
    ):
        assert heading not in text
    assert "Evenings" in text


def test_one_unit_is_not_called_a_batch() -> None:
    lines = plan_lines(furnished_plan(1))
    assert lines[0].startswith("Sample frame, 1 unit ")
    assert "Parts (each unit, whole batch; length × width × thickness)" in lines


def test_parts_are_named_with_their_hand() -> None:
    plan = furnished_plan()
    assert part_title(plan, "side_rail", plan.parts[0].hand) == "left side rail"
    assert part_title(plan, "door", None) == "door"
    assert part_title(plan, "lost", plan.parts[0].hand) == "left lost"


def test_stock_names_a_material_that_is_not_listed_by_its_id() -> None:
    piece = StockPiece("p1", "cloth", False, inch(10), inch(10), (), Length(0))
    text = "\n".join(plan_lines(replace(make_plan(), stock=(piece,))))
    assert "p1: cloth, 10 in × 10 in, to buy" in text


@pytest.mark.parametrize(
    ("least", "most", "words"),
    [
        ("1/4", "3/8", "1/4 in to 3/8 in"),
        ("1/4", "1/4", "exactly 1/4 in"),
        ("1/4", None, "at least 1/4 in"),
        (None, "3/8", "at most 3/8 in"),
        (None, None, "any"),
    ],
)
def test_a_range_may_be_open_on_either_side(
    least: str | None, most: str | None, words: str
) -> None:
    fit = Fit(
        name="bee_space",
        level="must",
        value=inch("5/16"),
        least=None if least is None else inch(least),
        most=None if most is None else inch(most),
        ok=True,
        source="common practice",
        text="",
        line=1,
    )
    assert f"5/16 in ({words}, must). Source: common practice" in fit_words(fit, "in")


def test_a_finding_says_how_bad_where_what_and_what_would_be_right() -> None:
    finding = Finding(Level.STOP, "r", "Too long.", Where("a.yaml", 3, "rail"), "Cut it.")
    assert finding_lines([finding]) == ["  stop: a.yaml, line 3, rail: Too long. Cut it."]
    nowhere = Finding(Level.NOTE, "r", "Good.", Where(), "")
    assert finding_lines([nowhere]) == ["  note: Good."]


def test_evenings_follow_the_shops_own_midnight() -> None:
    plan = make_plan()
    assert [len(evening.steps) for evening in plan_evenings(plan)] == [15, 2]
    far_east = replace(plan, zone="Pacific/Auckland")
    assert [f"{evening.day}" for evening in plan_evenings(far_east)] == ["2025-11-26", "2025-11-27"]


def test_units_in_a_run_are_named_shortly() -> None:
    steps = {(step.kind, step.unit): step for step in make_plan(4).steps}
    dry = [steps["fit/dry", unit] for unit in (1, 2, 3, 4)]
    assert name_units(tuple(dry)) == "units 1–4"
    assert name_units((dry[0], dry[2])) == "units 1, 3"
    assert name_units((dry[1],)) == "unit 2"
    assert name_units((steps["rip/rail", None],)) == ""


def test_a_number_stays_with_its_unit_when_a_line_is_folded() -> None:
    assert fold_text("cut to 22 1/2 in now", 14) == ["cut to", "22 1/2 in now"]
    assert fold_text("wait 3 min", 8) == ["wait", "3 min"]
    assert fold_text("door; 2 × rail", 9) == ["door;", "2 × rail"]


def test_columns_line_up_and_groups_share_them() -> None:
    assert align_rows([["a", "1"], ["bcd", "22"], ["e"]], right=(1,)) == ["a     1", "bcd  22", "e"]
    assert align_rows([]) == []
    lines = fold_groups([("one:", [["a", "x"]]), ("two:", [["bcd", "y"]])], 20)
    assert lines == ["  one:", "  a    x", "  two:", "  bcd  y"]


def test_parts_are_shown_to_the_finest_mark_with_what_that_hides() -> None:
    plan = furnished_plan()
    odd = replace(plan.parts[0], width=inch("447/128"))  # 3 63/128 in
    found = replace(plan, parts=(odd, *plan.parts[1:]), finest=inch("1/16"))
    lines = plan_lines(found)
    row = next(line for line in lines if "left side rail" in line)
    assert row == "  left side rail   1  2  22 1/2 in   3 1/2 in  3/4 in"  # 1/128 in is no shade
    odd = replace(plan.parts[0], width=inch("223/64"))  # 3 31/64 in
    lines = plan_lines(replace(found, parts=(odd, *plan.parts[1:])))
    row = next(line for line in lines if "left side rail" in line)
    assert row == ("  left side rail   1  2  22 1/2 in   3 1/2 in  3/4 in  width a shade under")
    assert all(len(line) <= 78 for line in lines)


def test_a_measurement_says_whether_it_was_given_kept_or_usual() -> None:
    plan = furnished_plan()
    kept = replace(plan.measured[1], origin="kept (thickest of 3 readings, spread 1/32 in)")
    lines = plan_lines(replace(plan, measured=(plan.measured[0], kept)))
    (row,) = [line for line in lines if "hive_width" in line]
    assert row.endswith("16 1/4 in  kept (thickest of 3 readings, spread 1/32 in)")


@pytest.mark.parametrize(
    ("least", "said"),
    [
        (2, "2 evenings: no plan has fewer."),
        (1, "2 evenings: at most 1 more than the least possible."),
        (0, "2 evenings."),
    ],
)
def test_a_plan_says_how_good_it_is_and_what_its_times_rest_on(least: int, said: str) -> None:
    plan = replace(furnished_plan(), least_evenings=least)
    chosen = "Chosen for fewest evenings, then the earliest finish, then fewest setups."
    assert promise_words(plan) == (
        f"{said} {chosen} All times are guessed; your own sessions will correct them."
    )
    kinds = tuple(replace(kind, timed=3 if kind.id == "rip/rail" else 0) for kind in plan.kinds)
    total = sum(step.duration_s for step in plan.steps)
    known = sum(step.duration_s for step in plan.steps if step.kind == "rip/rail")
    assert f"{said} {chosen} {round(100 * known / total)} % of the hands-on time" in promise_words(
        replace(plan, kinds=kinds)
    )
