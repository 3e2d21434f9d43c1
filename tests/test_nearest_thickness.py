"""Of rack pieces within tolerance the nearest in thickness is taken first."""

from __future__ import annotations

from dataclasses import replace

from shopstep.model.stock import RackPiece
from shopstep.stock import plan_stock
from shopstep.units import Length
from tests.sample_floor import KERF, MATERIALS, inch
from tests.test_stock_layout import blank


def test_the_nearest_goes_before_the_shortest() -> None:
    """Measured 1/64 in thicker it would do; nearer by less than a rule shows is no reason."""
    exact, thick = inch("3/4"), inch("3/4") + inch("1/64")
    size = (inch("23"), inch("3 1/2"))
    rail = (blank("rail", inch("22 1/2"), inch("3 1/2"), 1),)
    rack = (
        RackPiece("thick", "board", *size, thick),
        RackPiece("near", "board", inch("60"), inch("5 1/2"), exact),
    )
    assert [p.id for p in plan_stock(rail, MATERIALS, rack, KERF).pieces] == ["near"]
    assert [p.id for p in plan_stock(rail, MATERIALS, rack[:1], KERF).pieces] == ["thick"]
    alike = (replace(rack[0], thickness=exact + Length(40_000)), rack[1])
    assert [p.id for p in plan_stock(rail, MATERIALS, alike, KERF).pieces] == ["thick"]
