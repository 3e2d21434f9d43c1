"""An overlap stops no plan where one of the two parts is cut already, whichever it stands at."""

from __future__ import annotations

from shopstep.model.plan import Finding, Level, Where
from shopstep.planner import make_plan
from shopstep.planner.following import soften_overlaps
from tests.floor import floor_request


def test_either_of_two_parts_that_share_a_place_may_be_cut() -> None:
    one, other = [p for p in make_plan(floor_request()).parts if p.hand is None][:2]
    text = f"{one.label} and {other.label} stand in the same place"
    told = (Finding(Level.STOP, "overlap", text, Where(name=other.name), ""),)
    for cut, level in ((one, Level.WARN), (other, Level.WARN), (None, Level.STOP)):
        names = frozenset([cut.name] if cut else [])
        assert [f.level for f in soften_overlaps(told, names, (one, other))] == [level]
