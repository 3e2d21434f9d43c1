"""A session with a planer: the rack's board gets thinner at the tick, once, and its rests are thin.

That wood is conserved is arithmetic; no source is needed for it.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from shopstep.model.rack import KeptPiece
from shopstep.session import commands as c
from shopstep.storage.folders import rack_file
from shopstep.storage.rack_file import RackFile
from shopstep.wiring.rack_desk import RackDesk
from tests.planing_shop import write_settings
from tests.rack_bench import RackBench, fill_rack, kept, new_id
from tests.sample_floor import inch
from tests.stock_checker import check_planing_steps

PLANING = "plane_board"


def rack_now() -> dict[str, KeptPiece]:
    """What lies on the rack, by id."""
    return {piece.id: piece for piece in RackFile(rack_file()).kept()}


@pytest.fixture
def bench(tmp_path: Path) -> RackBench:
    """A floor from a thick board and one that is too short for the planer."""
    write_settings()
    fill_rack(kept("100 in", "9 1/4 in", "1 in"), kept("11 in", "5 1/2 in", "1 in"))
    made = RackBench(tmp_path / "a.session")
    check_planing_steps(made.opened.bench.plan)
    return made


def test_the_board_is_thinner_once_it_is_planed_and_its_rests_are(bench: RackBench) -> None:
    bench.follow_to(PLANING)
    before = rack_now()
    bench.follow_past(PLANING)
    planed = rack_now()
    assert planed["R1"].thickness == inch("3/4")
    assert planed["R1"].length == before["R1"].length
    assert planed["R2"] == before["R2"]
    bench.follow_all()
    after = rack_now()
    assert "R1" not in after
    rests = [piece for piece in after.values() if piece.left_of.startswith("R1 (")]
    assert rests
    assert {piece.thickness for piece in rests} == {inch("3/4")}


def test_back_makes_it_thick_again_and_a_second_tick_planes_it_once(bench: RackBench) -> None:
    bench.follow_to(PLANING)
    before = rack_now()
    bench.follow_past(PLANING)
    after = rack_now()
    bench.do(c.GoBack(id=new_id()))
    assert rack_now() == before
    bench.follow_past(PLANING)
    assert rack_now() == after
    bench.follow_past("rough_cut")
    cut = rack_now()
    bench.do(c.GoBack(id=new_id()))
    assert rack_now() == after, "the board is whole again, and as thin as it was planed"
    bench.follow_past("rough_cut")
    assert {(p.length, p.width, p.thickness) for p in rack_now().values()} == {
        (p.length, p.width, p.thickness) for p in cut.values()
    }


def test_an_older_copy_of_the_session_planes_it_no_second_time(
    bench: RackBench, tmp_path: Path
) -> None:
    copy = tmp_path / "older.session"
    bench.follow_to(PLANING)
    shutil.copyfile(bench.path, copy)
    bench.follow_past(PLANING)
    after = rack_now()
    bench.close()
    shutil.copyfile(copy, bench.path)
    bench.clock.at_s += 500
    bench.reopen()
    bench.follow_past(PLANING)
    assert rack_now() == after
    assert RackDesk().line_up().put_right == ()


def test_a_rack_that_missed_the_tick_is_lined_up(bench: RackBench, tmp_path: Path) -> None:
    bench.follow_to(PLANING)
    kept_rack = tmp_path / "rack.db"
    shutil.copyfile(rack_file(), kept_rack)
    bench.follow_past(PLANING)
    after = rack_now()
    bench.close()
    shutil.copyfile(kept_rack, rack_file())
    assert rack_now() != after
    report = RackDesk().line_up()
    assert [said.partition(": ")[2] for said in report.put_right] == [
        "R1 is planed (all/plane_board/board)"
    ]
    assert rack_now() == after
    assert RackDesk().line_up().put_right == ()


def test_a_new_plan_after_planing_keeps_the_boards_and_their_cuts(bench: RackBench) -> None:
    """The rack says 3/4 in now: the board is not offered a second time, nor planed again."""
    bench.follow_past(PLANING)
    before = bench.opened.bench.plan
    bench.do(c.NoteConditions(id=new_id(), temperature_c=16.0, humidity_percent=60.0))
    after = bench.opened.bench.plan
    assert after.begin_s != before.begin_s or after.conditions != before.conditions
    assert after.stock == before.stock
    assert [s.id for s in after.setups] == [s.id for s in before.setups]
    check_planing_steps(after)
    bench.follow_all()


def test_a_spoiled_part_of_a_planed_board_is_made_again(bench: RackBench) -> None:
    bench.follow_past("mitre/side_rail")
    bench.do(c.SpoilPart(id=new_id(), part="side_rail", hand="left", unit=1, reason="split"))
    plan = bench.opened.bench.plan
    assert len(plan.remakes) == 1
    ids = [piece.id for piece in plan.stock]
    assert len(ids) == len(set(ids))
    assert not [piece for piece in plan.stock if piece.rack_id == "R2"]
    bench.follow_all()
    assert not [piece for piece in rack_now().values() if piece.promised_to]


def test_a_board_with_a_defect_gives_back_its_other_part_thin_and_without_its_end(
    tmp_path: Path,
) -> None:
    write_settings()
    rack = fill_rack(kept("90 in", "7 1/4 in", "3/4 in"))
    long = kept("130 in", "7 1/4 in", "1 in")
    rack.add([KeptPiece("", long.stuff, long.length, long.width, long.thickness,
                        defects=((inch("100"), inch("102")),))], 0)  # fmt: skip
    bench = RackBench(tmp_path / "a.session", units=2)
    plan = bench.opened.bench.plan
    used = {piece.starts_at for piece in plan.stock if piece.rack_id == "R2"}
    assert used
    bench.follow_past("rough_cut")
    back = [p for p in rack_now().values() if p.thickness == inch("3/4") and not p.defects]
    zones = {inch("3"): inch("97"), inch("102"): inch("25")}
    free = [length for start, length in zones.items() if start not in used]
    assert [p.length for p in back if p.length in free] == free
