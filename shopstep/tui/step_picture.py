"""The picture on a step's card: asked for after the words are in sight, shown when it is there.

Imports the frame, its free spot and the bench. Nothing here waits.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shopstep.model.plan import Plan
from shopstep.present.card import CardMode
from shopstep.present.step_picture import pictured_kind
from shopstep.tui.frame import Frame, View
from shopstep.tui.picture_spot import Spot, find_spot, lay_in
from shopstep.tui.places import side_margin

if TYPE_CHECKING:
    from shopstep.present.face import Bench
    from shopstep.tui.bench import Pictures

Cells = tuple[str, ...]
DrawPicture = Callable[[int, int], Cells | None]
"""For columns and rows: the lines of a picture, () for none, None while it is drawn."""


LOOK_S = 0.2
"""Seconds between two looks for a picture that a page waits for."""


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A picture of one size; other times of the same plan have the same."""

    kind_id: str
    columns: int
    rows: int
    shown: tuple[object, ...]


class StepPicture:
    """What is known of the picture that belongs on the card."""

    def __init__(self, bench: Bench, pictures: Pictures | None) -> None:
        self._bench = bench
        self._pictures = pictures
        self._wanted: _Wanted | None = None
        self._got: tuple[_Wanted, Cells] | None = None
        self.spot: Spot | None = None
        """Where on the card there is room, as it was last arranged."""

    @property
    def is_owed(self) -> bool:
        """Whether the card has room for a picture that was not looked for to the end."""
        return self._wanted is not None

    def add_to(self, frame: Frame, view: View) -> Frame:
        """The frame with the picture where it is there already and has room; asks for nothing."""
        self._wanted = self.spot = None
        if self._pictures is None or view.is_far or view.card.mode is not CardMode.STEP:
            return frame
        height = frame.body_height - (1 if frame.sheet.band_rows else 0)
        spot = self.spot = find_spot(frame.body, view.width, height, side_margin(view.width))
        plan = self._bench.plan
        kind_id = pictured_kind(plan, view.card.step_id)
        if spot is None or not kind_id:
            return frame
        wanted = _Wanted(kind_id, spot.columns, spot.rows, _shown(plan))
        if self._got is None or self._got[0] != wanted:
            self._wanted = wanted
            return frame
        return replace(frame, body=lay_in(frame.body, spot, self._got[1]))

    def look(self) -> bool:
        """Asks for what is owed; True once it has come and there is something to show."""
        wanted = self._wanted
        if wanted is None or self._pictures is None:
            return False
        plan = self._bench.plan
        cells = self._pictures.cells(plan, wanted.kind_id, wanted.columns, wanted.rows)
        if cells is None or _shown(plan) != wanted.shown:
            return False
        self._wanted, self._got = None, (wanted, cells)
        return bool(cells)

    def draw_step(self, step_id: str) -> DrawPicture:
        """Draws a step for a page, in any size."""
        bench, pictures = self._bench, self._pictures
        kind_id = pictured_kind(bench.plan, step_id)
        if pictures is None or not kind_id:
            return lambda columns, rows: ()
        return lambda columns, rows: pictures.cells(bench.plan, kind_id, columns, rows)


def _shown(plan: Plan) -> tuple[object, ...]:
    return plan.parts, plan.kinds, plan.setups
