"""What a session cuts leaves the rack, and what remains comes back: once, and with its true size.

The rule that the wood has to be conserved is arithmetic; no source is needed for it.
"""

from __future__ import annotations

import shutil
import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest

from shopstep.model.material import Form
from shopstep.model.rack import KeptPiece, Stuff
from shopstep.session import commands as c
from shopstep.storage.folders import rack_file
from shopstep.storage.rack_file import RackFile
from shopstep.storage.rack_moves import rack_id_of
from shopstep.units import Length
from shopstep.wiring.problems import ExitCode, Problem
from shopstep.wiring.rack_desk import RackDesk
from tests.rack_bench import RackBench, fill_rack, kept, new_id
from tests.small_shelves import shelves_text, write_shelves
from tests.stock_checker import check_rests


def rack_now() -> dict[str, KeptPiece]:
    """What lies on the rack, by id."""
    return {piece.id: piece for piece in RackFile(rack_file()).kept()}


@pytest.fixture
def bench(tmp_path: Path) -> RackBench:
    """A floor from a rack of three boards and a piece of plywood."""
    fill_rack()
    return RackBench(tmp_path / "a.session")


def test_boards_leave_the_rack_at_the_rough_cut_and_their_ends_come_back(bench: RackBench) -> None:
    plan = bench.opened.bench.plan
    boards = [p for p in plan.stock if p.rack_id and p.sections]
    assert boards, "the sample must cut a board of the rack into rough lengths"
    card = bench.follow_past("rough_cut")
    there = rack_now()
    for board in boards:
        assert board.rack_id not in there
        left = board.length - sum((s + board.kerf for s in board.sections), Length(0))
        ends = [p for p in there.values() if p.left_of.startswith(f"{board.id} (")]
        assert [(p.length, p.width) for p in ends] == (
            [(left, board.width)] if left >= Length.inches(12) else []
        )
        for end in ends:
            assert end.id in card.notice
            assert "Back to the rack" in card.notice


def test_back_takes_the_rest_off_again_and_a_second_tick_brings_it_once(bench: RackBench) -> None:
    bench.follow_to("rough_cut")
    before = rack_now()
    bench.follow_past("rough_cut")
    after = rack_now()
    assert before.keys() != after.keys()
    bench.do(c.GoBack(id=new_id()))
    assert rack_now() == before
    bench.follow_past("rough_cut")
    assert rack_now() == after


def test_all_that_is_cut_in_a_batch_is_accounted_for(bench: RackBench) -> None:
    stock = bench.opened.bench.plan.stock
    bench.follow_all()
    pieces = RackFile(rack_file()).kept(is_all=True)
    used = {piece.rack_id for piece in stock if piece.rack_id}
    assert {piece.id for piece in pieces if piece.gone} == used
    assert all(piece.gone == "cut" for piece in pieces if piece.gone)
    assert not [piece for piece in pieces if piece.promised_to]
    forms = {m.id: m.form for m in bench.opened.bench.plan.materials}
    for piece in stock:
        rests = check_rests(piece, forms[piece.material])
        back = [p for p in pieces if p.left_of.startswith(f"{piece.id} (")]
        assert sorted((p.length, p.width) for p in back) == sorted(rests)


def test_the_same_wood_is_credited_once_when_an_older_copy_of_the_session_goes_on(
    bench: RackBench, tmp_path: Path
) -> None:
    copy = tmp_path / "older.session"
    shutil.copyfile(bench.path, copy)
    bench.follow_past("rough_cut")
    after = rack_now()
    bench.close()
    shutil.copyfile(copy, bench.path)
    bench.clock.at_s += 500
    bench.reopen()
    bench.do(c.TakeNote(id=new_id(), text="other versions from here on"))
    assert rack_now() == after
    bench.follow_past("rough_cut")
    assert rack_now() == after
    assert RackDesk().line_up().put_right == ()
    bench.do(c.GoBack(id=new_id()))
    assert not [piece for piece in rack_now().values() if piece.left_of]


def test_a_session_without_the_rack_leaves_it_alone(tmp_path: Path) -> None:
    fill_rack()
    before = rack_now()
    bench = RackBench(tmp_path / "b.session", uses_rack=False)
    assert not [piece for piece in bench.opened.bench.plan.stock if piece.from_rack]
    bench.follow_past("rough_cut")
    assert rack_now() == before


def test_without_any_rack_no_file_is_made(tmp_path: Path) -> None:
    bench = RackBench(tmp_path / "b.session")
    bench.follow_past("rough_cut")
    assert not rack_file().exists()


def test_what_one_batch_was_promised_no_other_is_offered(bench: RackBench, tmp_path: Path) -> None:
    first = {piece.rack_id for piece in bench.opened.bench.plan.stock if piece.rack_id}
    other = RackBench(tmp_path / "b.session")
    second = {piece.rack_id for piece in other.opened.bench.plan.stock if piece.rack_id}
    assert first
    assert not first & second
    found = next(f for f in other.opened.bench.plan.findings if f.rule == "rack_left_out")
    assert all(id_ in found.text for id_ in first)
    bench.do(c.StopBatch(id=new_id(), reason="no time", sure=True))
    assert not [p for p in rack_now().values() if p.id in first and p.promised_to]


def test_a_promise_of_a_session_that_is_gone_counts_no_more(bench: RackBench) -> None:
    assert any(piece.promised_to for piece in rack_now().values())
    bench.close()
    bench.path.unlink()
    assert not any(piece.promised_to for piece in rack_now().values())
    report = RackDesk().line_up()
    assert "is not there any more" in report.put_right[0]


def test_two_batches_that_start_at_once_do_not_get_the_same_board(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill_rack()
    offered = RackFile(rack_file()).pieces()
    RackBench(tmp_path / "a.session")
    monkeypatch.setattr(RackFile, "pieces", lambda _self: offered)
    with pytest.raises(Problem, match="the rack changed while this was planned") as refused:
        RackBench(tmp_path / "b.session")
    assert refused.value.code is ExitCode.CONFLICT
    assert not (tmp_path / "b.session").exists()


@pytest.mark.parametrize("harm", ["gone", "damaged", "foreign", "locked"])
def test_a_rack_in_trouble_never_loses_a_tick_and_is_brought_in_line_later(
    bench: RackBench, harm: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shopstep.storage.racked_session.PATIENCE_S", 0.05)
    path = rack_file()
    copy = tmp_path / "rack.copy"
    bench.follow_to("rough_cut")
    shutil.copyfile(path, copy)
    holder = sqlite3.connect(path, isolation_level=None)
    if harm == "locked":
        holder.execute("BEGIN IMMEDIATE")
    else:
        holder.close()
        path.unlink()
    if harm == "damaged":
        path.write_bytes(copy.read_bytes()[:5000] + b"\xff" * 3000)
    if harm == "foreign":
        path.write_bytes(b"not a database at all" * 50)
    step = bench.opened.bench.card().step_id
    card = bench.follow_past("rough_cut")
    assert step in bench.opened.bench.state.finished
    assert "The tick is kept. Bring the rack in line: shopstep rack check" in card.notice
    assert str(path) in card.notice
    holder.close()
    shutil.copyfile(copy, path)
    before = rack_now()
    assert any(piece.promised_to for piece in before.values())
    report = RackDesk().line_up()
    assert any("is cut" in said for said in report.put_right)
    boards = {p.rack_id for p in bench.opened.bench.plan.stock if p.rack_id and p.sections}
    assert not boards & rack_now().keys()
    assert RackDesk().line_up().put_right == ()


def test_a_piece_that_was_used_meanwhile_is_told_and_the_tick_stands(bench: RackBench) -> None:
    board = next(p.rack_id for p in bench.opened.bench.plan.stock if p.rack_id and p.sections)
    RackDesk().remove([board], "used", is_sure=True)
    card = bench.follow_past("rough_cut")
    assert f"{board} was not on the rack any more (used)" in card.notice


def test_the_clear_parts_of_a_board_with_a_defect_are_used_and_come_back(tmp_path: Path) -> None:
    board = kept("90 in", "7 1/4 in")
    zone = (Length.inches(40), Length.inches(44))
    piece = KeptPiece("", board.stuff, board.length, board.width, board.thickness, (zone,))
    fill_rack(piece)
    bench = RackBench(tmp_path / "a.session")
    used = [p for p in bench.opened.bench.plan.stock if p.rack_id]
    assert used
    for part in used:
        assert part.id == f"R1 from {'44' if part.starts_at else '0'} in"
        assert part.starts_at in (Length(0), zone[1])
        assert part.length == (zone[0] if not part.starts_at else Length.inches(46))
        assert part.sections, "no end beside a defect is square"
    bench.follow_past("rough_cut")
    assert "R1" not in rack_now()
    if len(used) == 1:
        other = Length.inches(46) if not used[0].starts_at else zone[0]
        assert other in [p.length for p in rack_now().values()]


def test_what_a_running_batch_left_over_stays_with_it_until_it_ends(
    bench: RackBench, tmp_path: Path
) -> None:
    bench.follow_past("crosscut/door")
    left = [piece for piece in rack_now().values() if piece.left_of]
    assert left
    assert all(piece.promised_to for piece in left)
    bench.follow_all()
    assert not [piece for piece in rack_now().values() if piece.promised_to]


def test_another_rack_in_the_place_of_its_own_is_not_touched(bench: RackBench) -> None:
    bench.follow_to("rough_cut")
    rack_file().unlink()
    fill_rack()
    before = rack_now()
    card = bench.reopen()
    assert "is another rack than the one that this batch was planned with" in card.notice
    card = bench.follow_past("rough_cut")
    assert "The tick is kept" in card.notice
    RackDesk().line_up()
    assert rack_now() == before


def test_a_panel_made_again_from_what_was_left_of_its_sheet_leaves_less_of_it(
    bench: RackBench,
) -> None:
    sheet = next(p for p in bench.opened.bench.plan.stock if p.rack_id == "R4")
    bench.follow_past("sheet_cut/panel-2")
    before = [p for p in rack_now().values() if p.left_of.startswith("R4 (")]
    assert sorted((p.length, p.width) for p in before) == sorted(check_rests(sheet, Form.SHEET))
    bench.do(c.SpoilPart(id=new_id(), part="panel", unit=1, reason="split"))
    bench.follow_all()
    (again,) = [p for p in bench.opened.bench.plan.stock if p.rack_id == "R4"]
    assert sum(cut.part == "panel" for cut in again.cuts) == 2
    back = [p for p in rack_now().values() if p.left_of.startswith("R4 (")]
    after = [p for p in back if p.note != "spoiled panel: split"]
    assert len(back) == len(after) + 1
    wanted = check_rests(again, Form.SHEET)
    assert wanted != check_rests(sheet, Form.SHEET)
    assert sorted((p.length, p.width) for p in after) == sorted(wanted)
    assert RackDesk().line_up().put_right == ()


def test_a_clear_part_that_came_back_by_itself_is_the_one_that_is_cut_later(tmp_path: Path) -> None:
    zone = (Length.inches(100), Length.inches(104))
    board = replace(kept("240 in", "9 1/4 in"), defects=(zone,))
    rack = fill_rack(board)
    bench = RackBench(tmp_path / "a.session")
    session = bench.opened.journal.session
    (first,) = [p for p in bench.opened.bench.plan.stock if p.rack_id]
    bench.follow_past("rough_cut")
    start = Length(0) if first.starts_at else zone[1]
    length = Length.inches(136) if start else zone[0]
    other = replace(first, id="R1 from the other end", starts_at=start)
    (back,) = [p.id for p in rack_now().values() if p.length == length]
    with rack.writing() as connection:
        assert rack_id_of(connection, session, other) == back
        assert rack_id_of(connection, session, first) == "R1"
        assert rack_id_of(connection, "another session", other) == "R1"
    offered = {piece.id for piece in rack.pieces_for(session)}
    assert "R1" in offered
    assert back not in offered, "it is offered as a part of R1 already"


def test_a_sheet_that_is_sawn_leaves_with_the_first_cut_and_comes_back_as_what_remains(
    tmp_path: Path,
) -> None:
    """60 in: behind two sections of 22 5/8 in and their kerfs 14 1/2 in are left at once."""
    fill_rack(kept("60 in", "24 in", "1/2 in", Stuff.PLYWOOD))
    build = write_shelves(tmp_path, shelves_text(grooved=""))
    bench = RackBench(tmp_path / "a.session", build=build)
    (sheet,) = bench.opened.bench.plan.stock
    assert (sheet.rack_id, len(sheet.sections)) == ("R1", 2)
    bench.follow_past("rough_cut")
    (end,) = rack_now().values()
    assert (end.length, end.width) == (Length.inches("29/2"), Length.inches(24))
    bench.follow_past("crosscut")
    before = sorted((p.length, p.width) for p in rack_now().values())
    assert before == sorted(check_rests(sheet, Form.SHEET))
    bench.do(c.SpoilPart(id=new_id(), part="lid", unit=1, reason="split"))
    first, more = bench.opened.bench.plan.stock
    assert (first.cuts, first.sections) == (sheet.cuts, sheet.sections), "what is sawn stays"
    assert more.id == "rest of R1"
    bench.follow_all()
    after = sorted((p.length, p.width) for p in rack_now().values())
    ends = check_rests(first, Form.SHEET)
    ends.remove((end.length, end.width))
    assert after == sorted([*ends, *check_rests(more, Form.SHEET)])
    assert RackDesk().line_up().put_right == ()
