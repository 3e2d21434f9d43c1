"""A spoiled piece goes back to the rack as stock, once; a rest gets its size back with a step."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from shopstep.model.rack import Answers, KeptPiece, barred_words
from shopstep.session import commands as c
from shopstep.storage.folders import rack_file
from shopstep.storage.rack_file import RackFile
from shopstep.units import Length
from shopstep.wiring.rack_desk import RackDesk
from tests.rack_bench import RackBench, fill_rack, new_id


@pytest.fixture
def bench(tmp_path: Path) -> RackBench:
    """A floor from a rack of three boards and a piece of plywood."""
    fill_rack()
    return RackBench(tmp_path / "a.session")


def spoiled_now() -> list[KeptPiece]:
    """The spoiled pieces on the rack."""
    return [p for p in RackFile(rack_file()).kept() if p.note.startswith("spoiled")]


def last_cut_of(bench: RackBench, part: str) -> str:
    """The work of the last machine step that has the part in hand."""
    plan = bench.opened.bench.plan
    kinds = {kind.id for kind in plan.kinds if part in kind.parts and not kind.line}
    return [step.kind for step in plan.steps if step.kind in kinds][-1]


def spoil_panel(bench: RackBench) -> None:
    """Cut the panel, and say that it is split."""
    bench.follow_past(last_cut_of(bench, "panel"))
    bench.do(c.SpoilPart(id=new_id(), part="panel", unit=1, reason="split"))


def test_a_plain_spoiled_piece_comes_back_at_its_true_size_and_is_looked_over_first(
    bench: RackBench,
) -> None:
    part = next(p for p in bench.opened.bench.plan.parts if p.name == "panel")
    assert not part.features, "the sample needs a part with nothing cut into it"
    spoil_panel(bench)
    (piece,) = spoiled_now()
    assert (piece.length, piece.width) == (part.length, part.width)
    sheet = next(p for p in RackFile(rack_file()).kept(is_all=True) if p.id == "R4")
    assert piece.stuff is sheet.stuff
    assert piece.note == "spoiled panel: split"
    assert not piece.answers.is_complete
    free = RackDesk().answer(piece.id, Answers(False, False, False, False))
    assert barred_words(free) == f"promised to {piece.promised_to}"


def test_it_comes_once_also_from_an_older_copy_and_in_the_check(
    bench: RackBench, tmp_path: Path
) -> None:
    bench.follow_past(last_cut_of(bench, "panel"))
    copy = tmp_path / "older.session"
    bench.close()
    shutil.copyfile(bench.path, copy)
    bench.reopen()
    bench.do(c.SpoilPart(id=new_id(), part="panel", unit=1, reason="split"))
    first = spoiled_now()
    assert len(first) == 1
    bench.close()
    shutil.copyfile(copy, bench.path)
    bench.reopen()
    bench.do(c.SpoilPart(id=new_id(), part="panel", unit=1, reason="split"))
    assert spoiled_now() == first
    assert RackDesk().line_up().put_right == ()
    assert spoiled_now() == first


def test_a_rack_that_was_away_gets_it_with_the_check(bench: RackBench, tmp_path: Path) -> None:
    bench.follow_past(last_cut_of(bench, "panel"))
    away = tmp_path / "rack.away"
    shutil.copyfile(rack_file(), away)
    rack_file().unlink()
    bench.do(c.SpoilPart(id=new_id(), part="panel", unit=1, reason="split"))
    shutil.copyfile(away, rack_file())
    assert spoiled_now() == []
    assert any("is left of" in said for said in RackDesk().line_up().put_right)
    assert len(spoiled_now()) == 1


def test_it_goes_when_the_step_that_cut_it_is_opened_again(bench: RackBench) -> None:
    bench.follow_to(last_cut_of(bench, "panel"))
    before = RackFile(rack_file()).kept()
    spoil_panel(bench)
    assert spoiled_now()
    bench.do(c.GoBack(id=new_id()))
    assert spoiled_now() == []
    assert [(p.id, p.length, p.width) for p in RackFile(rack_file()).kept()] == [
        (p.id, p.length, p.width) for p in before
    ]


def test_what_something_is_cut_into_is_no_plain_stock(bench: RackBench) -> None:
    part = next(p for p in bench.opened.bench.plan.parts if p.features and p.hand is None)
    bench.follow_past(last_cut_of(bench, part.name))
    bench.do(c.SpoilPart(id=new_id(), part=part.name, unit=1, reason="knot"))
    assert spoiled_now() == []


def test_a_rest_that_a_remake_cut_into_has_its_size_again_once_that_is_undone(
    bench: RackBench,
) -> None:
    def rests() -> list[tuple[str, Length, Length]]:
        kept = RackFile(rack_file()).kept()
        return [(p.id, p.length, p.width) for p in kept if p.left_of.startswith("R4 (")]

    spoil_panel(bench)
    before = rests()
    bench.follow_past("sheet_cut/panel")
    assert rests() != before, "the remake takes a panel off what was left"
    bench.do(c.GoBack(id=new_id()))
    assert rests() == before
    bench.follow_past("sheet_cut/panel")
    assert rests() != before
