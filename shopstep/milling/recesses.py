"""Recesses: blind pockets, as for a hand hold. Imports ``shopstep.model``."""

from __future__ import annotations

from shopstep.milling.drafts import ROUTER, Draft
from shopstep.milling.faces import opposite_face, say_face, true_face
from shopstep.milling.marks import say_up
from shopstep.model.feature import Recess
from shopstep.model.operation import Setting
from shopstep.model.part import Part
from shopstep.units import Length
from shopstep.words import say


def cut_recess(part: Part, recess: Recess, _kerf: Length) -> Draft:
    """A pocket in the middle of the length, routed inside a template.

    It is never plunged at the table saw: work lowered on to a turning blade is thrown.
    """
    return Draft(
        kind="recess",
        tool=ROUTER,
        name=recess.name,
        settings=(
            Setting("length", recess.length),
            Setting("height", recess.height),
            Setting("depth", recess.depth),
            Setting("guide", recess.offset),
        ),
        note=say(
            "{up}; from the {face}; clamped",
            up=say_up(part, recess.face),
            face=say_face(part, recess.reference),
        ),
        leans_on=frozenset(
            true_face(f, part.hand) for f in (opposite_face(recess.face), recess.reference)
        ),
    )
