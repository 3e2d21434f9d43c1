"""How handed parts are laid out and marked, so that nobody makes two lefts.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from shopstep.milling.faces import say_face
from shopstep.model.feature import Face
from shopstep.model.part import Axis, Part

_SHOWN = {Axis.FRONT_BACK: Face.FRONT, Axis.BOTTOM_TOP: Face.TOP, Axis.LEFT_RIGHT: Face.INSIDE}
"""The face of each direction that is written on the wood."""


def say_marking(left: Part, count_left: int, count_right: int, units: int) -> str:
    """The full sentence for marking a handed part; ``left`` is its left hand."""
    of_units = f"for {units} units" if units > 1 else "for one unit"
    pieces = f"{count_left} left and {count_right} right {left.title} {of_units}"
    end, edge = _shown(left, 0), _shown(left, 1)
    broad = left.runs.index(Axis.LEFT_RIGHT) == 2
    where = (
        f"Tip each one outwards, so that its {say_face(left, Face.INSIDE)} lies up, like an open "
        f"book. Write L or R on that face, near the {end}, with an arrow to the {edge}."
        if broad
        else f"Write L or R near the {end}, with an arrow to the {edge}."
    )
    return (
        f"Lay out {pieces}: in pairs, as they will stand in the finished build, left and right "
        f"as you see them from behind it, {end}s the same way. {where}"
    )


def _shown(part: Part, role: int) -> str:
    """What the marked end (role 0) or edge (role 1) is called."""
    return say_face(part, _SHOWN[part.runs[role]])
