"""How handed parts are laid out and marked, so that nobody makes two lefts.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from shopstep.milling.faces import is_sided, say_face, side_name, true_face
from shopstep.model.feature import Face
from shopstep.model.part import Axis, Part
from shopstep.words import say, say_count

_SHOWN = {Axis.FRONT_BACK: Face.FRONT, Axis.BOTTOM_TOP: Face.TOP, Axis.LEFT_RIGHT: Face.INSIDE}
"""The face of each direction that is written on the wood."""


def is_marked_inside(part: Part) -> bool:
    """Whether the mark stands on the inside face: handed, and its broad faces in and out."""
    return part.hand is not None and part.runs[2] is Axis.LEFT_RIGHT


def say_up(part: Part, face: Face) -> str:
    """How the part lies with that face up: "marked face up", "front face up"."""
    return _say_lying(part, face, "up", "down")


def say_down(part: Part, face: Face) -> str:
    """How the part lies with that face down: "marked face down", "bottom edge down"."""
    return _say_lying(part, face, "down", "up")


def _say_lying(part: Part, face: Face, way: str, other_way: str) -> str:
    named = side_name(part, true_face(face, part.hand))
    if is_marked_inside(part) and is_sided(named):
        return say("marked face {way}", way=way if named is Face.INSIDE else other_way)
    return f"{say_face(part, named)} {way}"


def say_marking(left: Part, count_left: int, count_right: int) -> str:
    """The full sentence for marking a handed part; ``left`` is its left hand.

    Left and right are those of a person who stands behind the finished thing.
    """
    pieces = f"{count_left + count_right} × {left.title}"
    pairs = say_count("{n} pair", "{n} pairs", count_left)
    end, edge = _shown(left, 0), _shown(left, 1)
    lay = say(
        "Lay {pieces} in {pairs} as they will stand, seen from behind, {end}s the same way.",
        pieces=pieces,
        pairs=pairs,
        end=end,
    )
    if is_marked_inside(left):
        return say(
            "{lay} Tip each outwards: the face now up is its inside. Write L or R on it near "
            "the {end}, with an arrow to the {edge}.",
            lay=lay,
            end=end,
            edge=edge,
        )
    return say(
        "{lay} Write L or R near the {end}, with an arrow to the {edge}.",
        lay=lay,
        end=end,
        edge=edge,
    )


def _shown(part: Part, role: int) -> str:
    """What the marked end (role 0) or edge (role 1) is called."""
    return say_face(part, _SHOWN[part.runs[role]])
