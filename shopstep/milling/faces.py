"""Which way the faces of a part point, and which end of it goes first at the saw.

Left and right are meant as seen standing behind the thing and looking to its front. So the axes
front to back, left to right, bottom to top make a right-handed frame, and which end leads can be
worked out. Imports ``shopstep.model``.
"""

from __future__ import annotations

from shopstep.model.feature import Face
from shopstep.model.part import Axis, Hand, Part
from shopstep.units import Length
from shopstep.words import say, to_say

Vector = tuple[int, int, int]

_POINTS: dict[Face, Vector] = {
    Face.FRONT: (-1, 0, 0),
    Face.BACK: (1, 0, 0),
    Face.LEFT: (0, -1, 0),
    Face.RIGHT: (0, 1, 0),
    Face.BOTTOM: (0, 0, -1),
    Face.TOP: (0, 0, 1),
}
_FACES = {vector: face for face, vector in _POINTS.items()}
_ENDS: dict[Axis, tuple[Face, Face]] = {
    Axis.FRONT_BACK: (Face.FRONT, Face.BACK),
    Axis.LEFT_RIGHT: (Face.LEFT, Face.RIGHT),
    Axis.BOTTOM_TOP: (Face.BOTTOM, Face.TOP),
}
_AXES: dict[Face, Axis] = {face: axis for axis, ends in _ENDS.items() for face in ends}
_AXES |= {Face.INSIDE: Axis.LEFT_RIGHT, Face.OUTSIDE: Axis.LEFT_RIGHT}
_SIDED = {
    (Face.INSIDE, Hand.LEFT): Face.RIGHT,
    (Face.INSIDE, Hand.RIGHT): Face.LEFT,
    (Face.OUTSIDE, Hand.LEFT): Face.LEFT,
    (Face.OUTSIDE, Hand.RIGHT): Face.RIGHT,
}
_ROLE_WORDS = ("end", "edge", "face")
NAMES = to_say(
    (
        *("front end", "back end", "left end", "right end"),
        *("bottom end", "top end", "inside end", "outside end"),
        *("front edge", "back edge", "left edge", "right edge"),
        *("bottom edge", "top edge", "inside edge", "outside edge"),
        *("front face", "back face", "left face", "right face"),
        *("bottom face", "top face", "inside face", "outside face"),
    )
)
"""Every face as people call it."""
"""What people call a face across the length, the width and the thickness."""


def axis_of(face: Face) -> Axis:
    """The axis that a face stands across."""
    return _AXES[face]


def is_sided(face: Face) -> bool:
    """Whether the face is named ``inside`` or ``outside``, which only a handed part has."""
    return face in (Face.INSIDE, Face.OUTSIDE)


def true_face(face: Face, hand: Hand | None) -> Face:
    """The face by its direction: ``inside`` of a left part is its right face.

    On a part without a hand ``inside`` stays as it is; ``checks`` reports that before.
    """
    return _SIDED.get((face, hand), face) if hand else face


def opposite_face(face: Face) -> Face:
    """The face on the other side of the part; ``inside`` and ``outside`` swap."""
    if is_sided(face):
        return Face.OUTSIDE if face is Face.INSIDE else Face.INSIDE
    x, y, z = _POINTS[face]
    return _FACES[(-x, -y, -z)]


def end_faces(part: Part) -> tuple[Face, Face]:
    """The two ends along the length: first the one that faces front, left or bottom."""
    return _ENDS[part.runs[0]]


def is_end(part: Part, face: Face) -> bool:
    """Whether the face is one of the two ends of the part."""
    return axis_of(face) is part.runs[0]


def extent_across(part: Part, face: Face) -> Length:
    """How far the part reaches from this face to the opposite one."""
    sizes = (part.length, part.width, part.thickness)
    return sizes[part.runs.index(axis_of(face))]


def say_face(part: Part, face: Face) -> str:
    """What people call the face: "inside face", "bottom edge", "front end"."""
    return say(f"{face} {_ROLE_WORDS[part.runs.index(axis_of(face))]}")


def side_name(part: Part, face: Face) -> Face:
    """``inside`` or ``outside`` where a handed part has that name for a true face."""
    if part.hand is None or axis_of(face) is not Axis.LEFT_RIGHT:
        return face
    inside = true_face(Face.INSIDE, part.hand)
    return Face.INSIDE if true_face(face, part.hand) is inside else Face.OUTSIDE


def _cross(a: Vector, b: Vector) -> Vector:
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def face_across(first: Face, second: Face, hand: Hand | None) -> Face:
    """The face whose direction is the cross product of two faces that stand square."""
    a = _POINTS[true_face(first, hand)]
    b = _POINTS[true_face(second, hand)]
    return _FACES[_cross(a, b)]


def leading_end(part: Part, down: Face, fence: Face) -> Face:
    """The end that goes first with ``down`` on the table and ``fence`` against the fence.

    The fence stands on the right of the blade and the work is fed away from the person:
    away = right × (up = -down), with the signs turned round: fence × down.
    """
    return face_across(fence, down, part.hand)
