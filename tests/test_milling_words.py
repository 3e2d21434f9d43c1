"""The sentences of the milling: short, whole, and true for any build."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.milling import derive_steps, plan_milling
from shopstep.milling.words import LONGEST
from shopstep.model.feature import Face, Feature, Groove, Holes, Notch
from shopstep.model.part import Hand, Part
from shopstep.model.plan import Plan
from shopstep.model.step import Source, StepKind
from shopstep.planner import make_plan
from tests.floor import floor_request
from tests.sample_floor import KERF, MATERIALS, PARTS, X, Y, Z, bevel, inch, piece

ZERO = inch("0")


def kinds_of(*parts: Part, display: str = "in") -> dict[str, StepKind]:
    """Step kinds of some parts by id, without stock."""
    milling = plan_milling(parts, MATERIALS, 2, KERF, display)
    return {kind.id: kind for kind in derive_steps(milling, parts, display, ())[0]}


def rail(*features: Feature, size: tuple[str, str, str] = ("20", "3", "3/4")) -> Part:
    """A part that lies flat, front to back."""
    return piece("rail", size, (X, Y, Z), (("0", "0", "0"),), *features)


def pair(*features: Feature) -> tuple[Part, Part]:
    """A left and a right rail that stand on edge."""
    left, right = (
        piece("rail", ("20", "3", "3/4"), (X, Z, Y), (("0", "0", "0"),), *features, hand=hand)
        for hand in Hand
    )
    return left, right


def slot(**changes: object) -> Groove:
    """A groove 1/2 in from the left edge, 1/4 in wide and deep."""
    good = Groove("slot", Face.TOP, Face.LEFT, inch("1/2"), inch("1/4"), inch("1/4"), ZERO, ZERO)
    return replace(good, **changes)  # type: ignore[arg-type]


def floor(units: int, display: str) -> Plan:
    """The shipped floor."""
    return make_plan(replace(floor_request(units=units), display=display))


@pytest.mark.parametrize(("units", "display"), [(1, "in"), (2, "in"), (2, "mm"), (24, "in")])
def test_no_derived_sentence_of_the_floor_is_too_long_for_large_type(
    units: int, display: str
) -> None:
    derived = [kind for kind in floor(units, display).kinds if kind.source is Source.DERIVED]
    assert len(derived) > 30
    for kind in derived:
        assert len(kind.text) <= LONGEST, (kind.id, len(kind.text))
        assert len(kind.title) <= 36


def test_the_blade_height_is_told_at_every_through_cut() -> None:
    plan = floor(2, "in")
    for kind in plan.kinds:
        if kind.stage in ("slice", "rip", "sheet_cut", "crosscut", "bevel_rip", "mitre", "edge"):
            assert "a tooth above the" in kind.text, kind.id


def test_the_cards_before_the_floor_s_saw_steps_are_those_of_the_work() -> None:
    cards = {kind.id: [c.id for c in kind.cautions] for kind in floor(2, "in").kinds}
    assert cards["rough_cut/board"] == ["hand_saw_board"]
    # the fence stands 5 3/8 in from the blade: less than the 6 in of a hand (common practice)
    assert cards["edge/board"] == ["saw_rip_narrow", "saw_noise_dust"]
    assert cards["sheet_cut/panel"] == ["saw_rip", "saw_noise_dust"]
    assert cards["crosscut_hand/turn_button"] == ["hand_saw_hook"]
    for name, ids in cards.items():
        assert ("saw_slice" in ids) == name.startswith("slice/")
        assert "saw_rip_thin" not in ids


def test_a_through_groove_says_all_in_one_breath() -> None:
    assert kinds_of(rail(slot()))["groove/rail"].text == (
        "Saw unplugged, guard and riving knife off. Fence 1/2 in right of the blade, height "
        "1/4 in. Featherboard on the table, before the blade. Scrap first. Top face down, left "
        "edge to the fence: 2 × rail. Last pass: fence 5/8 in."
    )


def test_the_second_hand_of_a_stopped_groove_says_only_what_changes() -> None:
    cut = slot(face=Face.INSIDE, reference=Face.BOTTOM, stop_start=inch("2"))
    kinds = kinds_of(*pair(cut))
    left, right = kinds["groove/rail"], kinds["groove/rail-2"]
    assert "stop block 18 in beyond the blade's near side" in left.text
    assert "back end first: 2 × left rail. At the block: saw off, wait, lift." in left.text
    assert right.text.startswith(
        "Guard still off. Fence 2 1/4 in right of the blade, height and stop as before."
    )
    assert "top edge to the fence, back end first: 2 × right rail" in right.text
    assert "both ends" not in left.text + right.text
    # √(2 × 5 × 1/4 - 1/16) = 1.561 in, 1 9/16 on a rule
    assert "the last 1 9/16 in before the stop are not full depth (10 in blade)" in left.why


def test_a_long_sentence_counts_hands_together_and_leaves_to_the_card_what_it_says() -> None:
    cut = slot(face=Face.INSIDE, reference=Face.BOTTOM)
    others = tuple(
        piece(f"{name} cross rail", ("20", "3", "3/4"), (Y, Z, X), (("0", "0", "0"),), one)
        for name, one in (
            ("front", slot(face=Face.BACK, reference=Face.BOTTOM)),
            ("back", slot(face=Face.FRONT, reference=Face.BOTTOM)),
        )
    )
    kind = kinds_of(*pair(cut), *others)["groove/rail"]
    assert len(kind.text) <= LONGEST
    assert "4 × rail (marked face down), 2 × front cross rail (back face down)" in kind.text
    assert ("last pass, fence", inch("5/8")) in [(n.label, n.value) for n in kind.numbers]
    assert kind.text.startswith("Saw unplugged, guard and riving knife off. Fence 1/2 in")


def test_hands_that_lie_the_other_way_up_are_told_apart_however_long_it_gets(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("shopstep.milling.words.LONGEST", 10)
    slope = bevel("end", Face.TOP, Face.FRONT, "1", "1")
    text = kinds_of(*pair(slope))["mitre/rail"].text
    assert "2 × L (marked face up), 2 × R (marked face down)" in text
    stopped = slot(face=Face.INSIDE, reference=Face.BOTTOM, stop_start=inch("2"))
    kinds = kinds_of(*pair(stopped))
    assert "2 × left rail" in kinds["groove/rail"].text
    assert "2 × right rail" in kinds["groove/rail-2"].text


def test_a_groove_along_the_edge_asks_for_a_scrap_board_on_the_fence() -> None:
    text = kinds_of(rail(slot(offset=ZERO)))["groove/rail"].text
    assert "Scrap board on the fence, touching the blade, height 1/4 in" in text


def test_a_routed_groove_says_where_it_ends() -> None:
    cut = slot(stop_start=inch("2"), stop_end=inch("3"))
    kind = kinds_of(rail(cut))["rout/rail"]
    assert "2 in uncut at the front end, 3 in uncut at the back end: 2 × rail" in kind.text
    assert kind.tool == "router"


def test_a_nearly_square_section_says_how_high_it_stands() -> None:
    way = Notch("way", Face.TOP, Face.LEFT, inch("4"), inch("3/8"))
    near = kinds_of(rail(way, size=("14", "23/32", "3/4")))["notch/rail"].text
    assert "Left edge down, clamped to a long face on the gauge, standing 23/32 in high" in near
    assert near.endswith("Cut, turn end for end, cut, clear between.")
    assert "standing" not in kinds_of(rail(way))["notch/rail"].text


def test_holes_are_counted_and_their_centres_pencilled() -> None:
    row = Holes("row", Face.TOP, Face.LEFT, inch("1"), inch("1/4"), 5, inch("3"))
    kind = kinds_of(rail(row))["drill/rail"]
    assert "Pencil the centres 3 in apart" in kind.text
    assert "5 holes each" in kind.text
    assert ("holes in each", 5) in [(n.label, n.value) for n in kind.numbers]
    single = kinds_of(rail(replace(row, count=1)))["drill/rail"].text
    assert "Pencil" not in single
    assert "1 hole each" in single


def test_different_rows_of_one_setup_are_counted_together() -> None:
    def post(name: str, length: str, count: int) -> Part:
        row = Holes("row", Face.TOP, Face.LEFT, inch("1"), inch("1/4"), count, inch("3"))
        return piece(name, (length, "3", "3/4"), (X, Y, Z), (("0", "0", "0"),), row)

    kind = kinds_of(post("a", "20", 6), post("b", "14", 4))["drill/a"]
    assert "2 × a (6 holes each), 2 × b (4 holes each)" in kind.text
    assert ("holes in all", 20) in [(n.label, n.value) for n in kind.numbers]


def test_short_pieces_come_from_a_long_stick_and_tiny_ones_from_the_bench_hook() -> None:
    short = kinds_of(rail(size=("4", "3/4", "1/2")))
    assert "Stick 12 in or longer: 2 × rail" in short["slice/rail"].text
    assert "Clamped to the mitre gauge, stick 12 in or longer" in short["crosscut/rail"].text
    tiny = kinds_of(rail(size=("3/2", "3/4", "1/4")))["crosscut_hand/rail"]
    assert "bench hook" in tiny.text
    assert tiny.tool == "hand_saw"
    assert "12 in" not in kinds_of(rail())["crosscut/rail"].text


def test_a_tiny_part_is_pencilled_and_pared_by_hand() -> None:
    end = bevel("end", Face.TOP, Face.FRONT, "1/4", "1/2")
    kind = kinds_of(rail(end, size=("2", "2", "3/4")))["hand_cut/rail"]
    assert "Pencil back 1/4 in, down 1/2 in on all faces" in kind.text


def test_a_sheet_is_nicked_and_measured_and_not_tried_in_scrap() -> None:
    panel = piece(
        "panel", ("19", "15", "1/4"), (X, Y, Z), (("0", "0", "0"),), material="ply"
    )  # fmt: skip
    kinds = kinds_of(panel)
    first, second = kinds["sheet_cut/panel"], kinds["sheet_cut/panel-2"]
    assert first.title == "Cut the sheet to 19 in"
    assert "an end of the sheet to the fence" in first.text
    assert "the longer edge to the fence" in second.text
    for kind in (first, second):
        assert "Nick an edge and measure" in kind.text
        assert "scrap" not in kind.text.lower()


def test_the_sloped_end_says_how_the_gauge_swings_and_which_face_lies_up() -> None:
    text = kinds_of(*PARTS)["mitre/side_rail"].text
    assert "Pencil the slope on scrap and try it" in text
    assert "Back end pointing away from you, stop along the top edge" in text
    assert "2 × L (marked face up), 2 × R (marked face down)" in text


def test_marks_are_not_named_before_they_are_made() -> None:
    kinds = kinds_of(*PARTS)
    assert "2 × left side rail, 2 × right side rail" in kinds["crosscut/side_rail"].text


def test_on_edge_the_blade_height_and_the_wanted_piece_are_told() -> None:
    text = kinds_of(rail(size=("20", "2", "1/4")))["rip_thin/rail"].text
    assert "blade a tooth above 2 in" in text
    assert "the piece away from the fence is the wanted one" in text
