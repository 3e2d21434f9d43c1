"""Holes at the drill press. Imports ``shopstep.model``."""

from __future__ import annotations

from shopstep.milling.drafts import DRILL_PRESS, Draft
from shopstep.milling.faces import opposite_face, say_face, true_face
from shopstep.milling.marks import say_up
from shopstep.model.feature import Holes
from shopstep.model.operation import Setting
from shopstep.model.part import Part
from shopstep.units import Length
from shopstep.words import say


def drill_holes(part: Part, holes: Holes, _kerf: Length) -> Draft:
    """A row of holes, centred along the part: the stop sets the first one from either end."""
    row = holes.pitch.times(holes.count - 1)
    pitch = (Setting("pitch", holes.pitch),) if holes.count > 1 else ()
    note = say(
        "{up} on scrap; {face} to the fence; clamped",
        up=say_up(part, holes.face),
        face=say_face(part, holes.reference),
    )
    return Draft(
        kind="drill",
        tool=DRILL_PRESS,
        name=holes.name,
        settings=(
            Setting("bit", holes.diameter),
            Setting("fence", holes.offset),
            Setting("stop", (part.length - row).over(2)),
            *pitch,
        ),
        note=note,
        leans_on=frozenset(
            {
                true_face(opposite_face(holes.face), part.hand),
                true_face(holes.reference, part.hand),
            }
        ),
    )
