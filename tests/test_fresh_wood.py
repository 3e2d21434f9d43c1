"""A piece made again from a board that nothing was cut from yet: rough cut, edge, caution, rack."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from shopstep.model.plan import Plan, PlanRequest, Remake
from shopstep.model.step import StepKind
from shopstep.model.stock import RackPiece, StockPiece
from shopstep.planner import make_plan, revise
from shopstep.session import events as e
from shopstep.session.rack_moves import Leave, Moved, moves_of
from shopstep.units import Length
from tests.floor import BEGIN_S, SHOP, floor_request
from tests.schedule_checker import violations

FIRST = tuple(Remake("side_rail", hand, 1, 2, "split") for hand in ("left", "right"))
SECOND = tuple(Remake("side_rail", hand, 2, 3, "split") for hand in ("left", "right"))


def rack_board(name: str) -> RackPiece:
    """A board on the rack that holds more than two rails."""
    return RackPiece(
        name, "wood", Length.inches(72), Length.inches("5.5"), Length.inches("0.75"), rack_id=name
    )


@cache
def request() -> PlanRequest:
    """Two floors; all is bought."""
    return floor_request()


@cache
def cut() -> tuple[Plan, dict[str, tuple[int, int]]]:
    """Their plan, and the moments of all that is done at machines: nothing is joined yet."""
    plan = make_plan(request())
    return plan, {s.id: (s.start_s, s.end_s) for s in plan.steps if s.id.startswith("all/")}


def after(remakes: tuple[Remake, ...], rack: tuple[RackPiece, ...] = ()) -> Plan:
    """The plan once these pieces were spoiled; the rack is as it is by then."""
    plan, done = cut()
    asked = replace(request(), remakes=remakes, rack=rack)
    return revise(asked, plan, done, max(end for _, end in done.values()) + 60)


def fresh(plan: Plan) -> list[StockPiece]:
    """Boards that were laid out for what is made again."""
    return [piece for piece in plan.stock if piece.again]


def kind(plan: Plan, name: str) -> StepKind:
    """A kind of step by its id."""
    return next(kind for kind in plan.kinds if kind.id == name)


def before(plan: Plan, step: str) -> set[str]:
    """All steps that one needs, by way of others too."""
    steps = {each.id: each for each in plan.steps}
    ahead, found = list(steps[step].needs), set[str]()
    while ahead:
        at = ahead.pop()
        found.add(at)
        ahead += steps[at].needs
    return found


def test_a_fresh_board_is_cut_to_length_and_gets_its_edge_before_its_first_rip() -> None:
    made = after((*FIRST, *SECOND))
    boards = fresh(made)
    assert boards
    assert all(board.sections and not board.from_rack for board in boards)
    (board,) = boards
    rough = kind(made, f"rough_cut/{board.material}{board.again}")
    assert "To be bought: " in rough.text
    assert rough.numbers[0].value in board.sections
    assert rough.cautions
    assert rough.cautions == kind(made, f"rough_cut/{board.material}").cautions
    rips = [s for s in made.steps if s.kind.startswith("rip/") and "~" in s.kind]
    assert len(rips) == 2, "both wait for it, whoever it was laid out for"
    for rip in rips:
        assert f"all/{rough.id}" in before(made, rip.id)
    assert violations(made.steps, made.steps, made.waits, made.holds, SHOP, BEGIN_S) == []


def test_what_was_cut_before_keeps_its_cards() -> None:
    plan, done = cut()
    made = after((*FIRST, *SECOND))
    was = {kind.id: kind for kind in plan.kinds}
    for step in made.steps:
        if step.id in done:
            assert kind(made, step.kind).text == was[step.kind].text
    tags = {piece.again for piece in made.stock if piece.id in {p.id for p in plan.stock}}
    assert tags == {""}


def test_each_gets_the_wood_that_was_laid_out_for_it() -> None:
    """Spoiled one after the other: the second needs another board than the first."""
    _, done = cut()
    first = after(FIRST, (rack_board("R1"),))
    later = max(end for _, end in done.values()) + 120
    asked = replace(request(), remakes=(*FIRST, *SECOND), rack=(rack_board("R1"), rack_board("R2")))
    second = revise(asked, first, done, later)
    assert [p.again for p in fresh(first)] == ["~2"] * len(fresh(first))
    own = {piece.id: piece.again for piece in fresh(second)}
    assert {piece.id: piece.again for piece in fresh(first)}.items() <= own.items()
    assert "~3" in own.values()
    texts = [k.text for k in second.kinds if k.id.startswith("rip/") and k.id.endswith("~3")]
    assert any("(R2)" in text for text in texts)
    assert "rest of R1" in own
    assert {"all/rough_cut/board~2", "all/rough_cut/board~3"} <= before(
        second, "all/rip/side_rail~3"
    )


def test_a_board_of_the_rack_leaves_it_with_its_own_rough_cut() -> None:
    made = after((*FIRST, *SECOND), (rack_board("R1"), rack_board("R2")))
    sawn = [piece for piece in fresh(made) if piece.sections and piece.rack_id]
    assert sawn
    for piece in sawn:
        step = f"all/rough_cut/{piece.material}{piece.again}"
        finished = frozenset(cut()[1])
        moves = moves_of(e.StepFinished(step, 0), made, finished, Moved())
        assert [m.piece.id for m in moves if isinstance(m, Leave)] == [
            p.id for p in sawn if p.again == piece.again
        ]
        batch = moves_of(
            e.StepFinished(f"all/rough_cut/{piece.material}", 0), made, frozenset(), Moved()
        )
        assert not {m.piece.id for m in batch if isinstance(m, Leave)} & {p.id for p in sawn}
