"""The safety tables: every row is used, says enough, and can be read from two steps away."""

from __future__ import annotations

from itertools import product

import pytest

from shopstep.safety.row import SIGNALS, Work
from shopstep.safety.table import MOST_CARDS, ROWS, cautions_for
from shopstep.safety.tools import GUARD_OFF_KINDS, TOOLS, find_tool
from shopstep.units import Length

LONG = Work(Length.inches(48), Length.inches(8), Length.inches("3/4"))
SMALL = Work(Length.inches(6), Length.inches(2), Length.inches("1/8"))
CASES = {
    "saw_any": ("table_saw", "", LONG),
    "saw_rip": ("table_saw", "rip", LONG),
    "saw_rip_narrow": ("table_saw", "rip", Work(narrowest=Length.inches("11/2"))),
    "saw_rip_thin": ("table_saw", "rip_thin", LONG),
    "saw_slice": ("table_saw", "slice", LONG),
    "saw_bevel": ("table_saw", "bevel_rip", LONG),
    "saw_short": ("table_saw", "rip", Work(shortest=Length.inches(11))),
    "saw_groove": ("table_saw", "groove", LONG),
    "saw_groove_short": ("table_saw", "groove", SMALL),
    "saw_notch": ("table_saw", "notch", LONG),
    "saw_guard_off": ("table_saw", "groove", LONG),
    "saw_crosscut": ("table_saw", "crosscut", LONG),
    "saw_crosscut_short": ("table_saw", "crosscut", SMALL),
    "saw_gauge_channel": ("table_saw", "fingers", LONG),
    "saw_mitre": ("table_saw", "mitre", SMALL),
    "saw_noise_dust": ("table_saw", "rip", LONG),
    "planer": ("planer", "plane", Work()),
    "planer_jam": ("planer", "plane", Work()),
    "planer_noise_dust": ("planer", "plane", Work()),
    "router": ("router", "rout", SMALL),
    "hand_saw_board": ("hand_saw", "rough_cut", Work()),
    "hand_saw_hook": ("hand_saw", "crosscut_hand", SMALL),
    "drill_press": ("drill_press", "drill", LONG),
    "drill_press_small": ("drill_press", "drill", SMALL),
    "drill_driver": ("drill_driver", "", LONG),
    "brad_nailer": ("brad_nailer", "", LONG),
    "brad_nailer_medium": ("brad_nailer", "", Work(shortest=Length.inches(16))),
    "brad_nailer_short": ("brad_nailer", "", SMALL),
    "staple_gun": ("staple_gun", "", Work()),
    "hand_plane": ("hand_plane", "", LONG),
    "chisel": ("chisel", "notch", LONG),
    "knife": ("knife", "", LONG),
    "snips": ("snips", "shear", Work()),
    "snips_metal": ("snips", "snip", Work()),
    "brush_vapour": ("brush", "paint", LONG),
    "brush_oily_rags": ("brush", "oil", LONG),
    "glue_skin": ("glue", "", LONG),
    "glue_squeezed_out": ("glue", "", LONG),
}
LIMITS = {"harm": 60, "avoid": 110, "hand": 110, "done": 90}
SIZES = [None, Length.inches("1/8"), Length.inches(5), Length.inches(18), Length.inches(48)]


def ids(tool: str, kind: str, work: Work = LONG) -> list[str]:
    return [card.id for card in cautions_for(tool, kind, work)]


def text_of(tool: str, kind: str, work: Work = LONG) -> str:
    cards = cautions_for(tool, kind, work)
    return " ".join(f"{c.harm} {c.avoid} {c.hand} {c.done}" for c in cards)


def test_every_row_has_a_case_and_every_id_stands_once() -> None:
    row_ids = [row.caution.id for row in ROWS]
    assert len(set(row_ids)) == len(row_ids)
    assert set(row_ids) == set(CASES)


@pytest.mark.parametrize("row_id", sorted(CASES))
def test_a_row_stands_before_the_work_it_is_for(row_id: str) -> None:
    tool, kind, work = CASES[row_id]
    assert row_id in ids(tool, kind, work)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.caution.id)
def test_a_row_can_be_read_from_two_steps_away_and_names_its_source(row: object) -> None:
    card = next(r for r in ROWS if r is row).caution
    for field, most in LIMITS.items():
        assert len(getattr(card, field)) <= most, field
    assert card.signal in SIGNALS
    assert card.harm
    assert card.avoid
    assert card.done
    assert card.source
    governed = "manual governs" in card.source or "label governs" in card.source
    assert governed or "CFR" in card.source or card.signal == "NOTICE"


def test_no_row_says_danger_because_nothing_here_will_certainly_kill() -> None:
    # ANSI Z535.4-2007 §4.14, as quoted: DANGER only where death or serious injury will follow,
    # NOTICE only where nobody is hurt
    assert all(row.caution.signal != "DANGER" for row in ROWS)
    notices = [row.caution.id for row in ROWS if row.caution.signal == "NOTICE"]
    assert notices == ["glue_squeezed_out"]


def test_rows_stand_for_rows_that_exist_and_refer_to_known_tools_and_kinds() -> None:
    known = {row.caution.id for row in ROWS}
    for row in ROWS:
        tool = find_tool(row.tool)
        assert set(row.stands_for) <= known
        assert all(not kind or kind in tool.kinds for kind in row.kinds)


@pytest.mark.parametrize("tool_id", sorted(TOOLS))
def test_at_most_three_cards_most_serious_first_whatever_the_work(tool_id: str) -> None:
    tool = TOOLS[tool_id]
    for kind in ("", *tool.kinds):
        for shortest, narrowest, thinnest in product(SIZES, repeat=3):
            cards = cautions_for(tool_id, kind, Work(shortest, narrowest, thinnest))
            assert len(cards) <= MOST_CARDS
            ranks = [SIGNALS.index(card.signal) for card in cards]
            assert ranks == sorted(ranks)
            if tool.is_power:
                assert any(card.must_ack for card in cards)
                assert any(card.must_ack and card.hand for card in cards)


def test_hands_alone_need_no_card_and_every_other_tool_has_one() -> None:
    for tool_id in TOOLS:
        assert bool(cautions_for(tool_id, "", LONG)) == (tool_id != "hand")


def test_the_nailer_card_says_all_that_niosh_asks() -> None:
    # DHHS (NIOSH) 2011-202, as quoted: 12 in, sequential trigger, air off before a jam, Z87+
    for work in (LONG, Work(shortest=Length.inches(16)), SMALL):
        text = text_of("brad_nailer", "", work)
        assert "12 in" in text
        assert "Full sequential trigger" in text
        assert "off before clearing a jam" in text
        assert "Z87+" in text


def test_the_hand_beside_the_nailer_is_kept_out_of_the_line_of_a_turning_brad() -> None:
    # common practice: brads are ground so that they bend to the sides of their strip
    assert "left or right" in text_of("brad_nailer", "", LONG)


@pytest.mark.parametrize(
    ("inches", "row_id"),
    [
        ("23/2", "brad_nailer_short"),
        ("12", "brad_nailer_medium"),
        ("47/2", "brad_nailer_medium"),
        ("24", "brad_nailer"),
    ],
)
def test_a_part_too_small_for_a_hand_twelve_inches_away_is_clamped(
    inches: str, row_id: str
) -> None:
    work = Work(shortest=Length.inches(inches))
    assert ids("brad_nailer", "", work) == [row_id]
    assert ("lamp" in cautions_for("brad_nailer", "", work)[0].avoid) == (row_id != "brad_nailer")


def test_the_planer_cards_say_what_goes_wrong_at_a_planer() -> None:
    # common practice, no source: short pieces, metal and loose knots, hands in, standing behind
    text = text_of("planer", "plane", Work())
    for said in ("Never short pieces", "No nails", "loose knots", "never reach in", "not behind"):
        assert said in text
    assert "Ear protection and glasses" in text
    assert "unplug" in text


def test_a_rip_narrower_than_six_inches_asks_for_the_push_stick() -> None:
    # common practice: push stick for rips under 6 in
    narrow = Work(narrowest=Length.inches("23/4"))
    assert "push stick" in text_of("table_saw", "rip", narrow)
    assert "saw_rip" not in ids("table_saw", "rip", narrow)
    assert ids("table_saw", "rip", Work(narrowest=Length.inches(6)))[0] == "saw_rip"


def test_grooving_asks_for_featherboards_and_for_the_guard_to_go_back_at_once() -> None:
    # Cal. Code Regs. tit. 8 §4296(a); 29 CFR 1910.213(c)(2), from memory
    for kind in sorted(GUARD_OFF_KINDS):
        assert "saw_guard_off" in ids("table_saw", kind)
        assert "Refit both" in text_of("table_saw", kind)
    for work in (LONG, SMALL):
        assert "Featherboard" in text_of("table_saw", "groove", work)
        assert "before the blade" in text_of("table_saw", "groove", work)
    for kind in TOOLS["table_saw"].kinds:
        assert ("saw_guard_off" in ids("table_saw", kind)) == (kind in GUARD_OFF_KINDS)


def test_guard_and_riving_knife_stay_on_for_every_through_cut() -> None:
    for kind in set(TOOLS["table_saw"].kinds) - GUARD_OFF_KINDS:
        for work in (LONG, SMALL):
            text = text_of("table_saw", kind, work)
            assert "Guard and riving knife on" in text or "Guard, riving knife on" in text


def test_a_crosscut_never_uses_fence_and_mitre_gauge_together() -> None:
    assert "Never fence and gauge together" in text_of("table_saw", "crosscut")
    assert "to the gauge, no fence" in text_of("table_saw", "crosscut", SMALL)
    assert "to the gauge, no fence" in text_of("table_saw", "mitre")


def test_work_is_never_lowered_on_to_a_turning_blade_nor_backed_out_of_a_groove() -> None:
    # common practice, no source
    assert "Never lower work on to a turning blade" in text_of("table_saw", "groove")
    for work in (LONG, SMALL):
        assert "No backing out: saw off, wait, lift" in text_of("table_saw", "groove", work)
    assert "both ends" not in text_of("table_saw", "groove")


@pytest.mark.parametrize("size", ["1/4", "9/32", "1/2", "23/32"])
def test_every_slice_falls_outside_and_is_not_pushed_past_the_blade(size: str) -> None:
    work = Work(Length.inches(18), Length.inches("3/4"), Length.inches(size))
    text = text_of("table_saw", "slice", work)
    assert "falls outside, never between blade and fence" in text
    assert "Leave it until the blade stands" in text
    assert "heel on the wide piece" in text
    assert "saw_rip_thin" not in ids("table_saw", "slice", work)
    assert "carries the stick" in text_of("table_saw", "rip_thin", work)


def test_a_sheet_at_the_fence_gets_the_card_of_a_rip_and_not_of_the_gauge() -> None:
    for work in (LONG, SMALL):
        assert ids("table_saw", "sheet_cut", work)[0].startswith("saw_rip")
        assert "gauge" not in text_of("table_saw", "sheet_cut", work)
    narrow = Work(Length.inches(20), Length.inches(4), Length.inches("1/4"))
    assert "push stick" in text_of("table_saw", "sheet_cut", narrow)


def test_a_board_at_trestles_is_acknowledged_because_a_power_saw_may_be_used() -> None:
    for kind in ("rough_cut", "straightedge", ""):
        (card,) = cautions_for("hand_saw", kind, Work())
        assert card.must_ack
        assert "offcut free to drop" in card.avoid
    (card,) = cautions_for("hand_saw", "hand_cut", SMALL)
    assert not card.must_ack


def test_gloves_come_off_at_turning_tools_and_go_on_for_wire_cloth() -> None:
    # OSHA 3157, from memory: no gloves near rotating parts
    assert "Out of its glove" in text_of("table_saw", "rip")
    assert "No gloves" in text_of("drill_press", "drill")
    assert "Gloves and glasses" in text_of("snips", "shear")


def test_oil_warns_of_its_rags_and_so_does_an_unknown_finish() -> None:
    # 29 CFR 1926.252(e), as quoted
    assert ids("brush", "oil")[0] == "brush_oily_rags"
    assert ids("brush", "")[0] == "brush_oily_rags"
    assert ids("brush", "paint") == ["brush_vapour"]


def test_sizes_that_are_not_known_leave_the_general_card() -> None:
    assert ids("table_saw", "crosscut", Work())[0] == "saw_crosscut"
    assert ids("brad_nailer", "", Work()) == ["brad_nailer"]


def test_an_unknown_tool_names_the_nearest() -> None:
    with pytest.raises(ValueError, match="no tool 'tablesaw'; nearest is 'table_saw'"):
        cautions_for("tablesaw", "rip", LONG)


def test_a_kind_that_the_tables_do_not_tell_apart_gets_the_general_cards() -> None:
    assert ids("table_saw", "trim") == ids("table_saw", "")
    assert ids("brush", "finish") == ids("brush", "")
    assert ids("brad_nailer", "glue") == ["brad_nailer"]


def test_a_step_without_a_tool_needs_no_card() -> None:
    assert cautions_for("", "fit", LONG) == ()


def test_a_rabbet_is_cut_with_the_care_of_a_groove_and_a_dado_on_the_gauge() -> None:
    assert ids("table_saw", "groove") == ids("table_saw", "rabbet")
    for kind in ("dado", "rabbet_end", "fingers"):
        assert ids("table_saw", kind)[:2] == ["saw_gauge_channel", "saw_guard_off"]
        assert "Clamp" in text_of("table_saw", kind)


def test_tools_have_titles_and_power_is_told_apart() -> None:
    assert all(tool.title for tool in TOOLS.values())
    assert {t.id for t in TOOLS.values() if t.is_power} == {
        "table_saw",
        "planer",
        "router",
        "drill_press",
        "drill_driver",
        "brad_nailer",
        "staple_gun",
    }
