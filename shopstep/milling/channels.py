"""Rabbets and dadoes: steps along an edge or an end, and channels across the grain.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from shopstep.milling.drafts import ROUTER, TABLE_SAW, Draft
from shopstep.milling.faces import end_faces, is_end, opposite_face, say_face, true_face
from shopstep.milling.marks import say_down, say_up
from shopstep.model.feature import Dado, Rabbet
from shopstep.model.operation import Setting
from shopstep.model.part import Part
from shopstep.units import Length
from shopstep.words import say, to_say

BOTH_ENDS = to_say("one end to the fence, then the other")


def is_stopped_rabbet(rabbet: Rabbet) -> bool:
    """Whether the step ends inside the part: at the saw it would be lowered on to the blade."""
    return bool(rabbet.stop_start or rabbet.stop_end)


def cut_rabbet(part: Part, rabbet: Rabbet, _kerf: Length) -> Draft:
    """A step: face down, its edge along a scrap board on the fence that covers part of the set.

    An end goes past the set on the mitre gauge. A stopped one is routed.
    """
    if is_stopped_rabbet(rabbet):
        return _rout_rabbet(part, rabbet)
    on_end = is_end(part, rabbet.edge)
    to_fence = say("{face} to the fence", face=say_face(part, rabbet.edge))
    if on_end and _has_twin(part, rabbet):
        to_fence = say(BOTH_ENDS)
    return Draft(
        kind="rabbet_end" if on_end else "rabbet",
        tool=TABLE_SAW,
        name=rabbet.name,
        settings=(Setting("width", rabbet.width), Setting("height", rabbet.depth)),
        note=f"{say_down(part, rabbet.face)}; {to_fence}",
        on_stick=not on_end,
        leans_on=frozenset(true_face(f, part.hand) for f in (rabbet.face, rabbet.edge)),
    )


def _has_twin(part: Part, rabbet: Rabbet) -> bool:
    """Whether the other end has the same step."""
    return any(
        isinstance(other, Rabbet)
        and other is not rabbet
        and is_end(part, other.edge)
        and (other.face, other.width, other.depth) == (rabbet.face, rabbet.width, rabbet.depth)
        and not is_stopped_rabbet(other)
        for other in part.features
    )


def _rout_rabbet(part: Part, rabbet: Rabbet) -> Draft:
    stops = (("stop start", rabbet.stop_start), ("stop end", rabbet.stop_end))
    return Draft(
        kind="rout_rabbet",
        tool=ROUTER,
        name=rabbet.name,
        settings=(
            Setting("width", rabbet.width),
            Setting("depth", rabbet.depth),
            *(Setting(name, stop) for name, stop in stops if stop),
        ),
        note=say(
            "{up}; along the {face}; clamped",
            up=say_up(part, rabbet.face),
            face=say_face(part, rabbet.edge),
        ),
        leans_on=frozenset(
            true_face(f, part.hand) for f in (opposite_face(rabbet.face), rabbet.edge)
        ),
    )


def cut_dado(part: Part, dado: Dado, _kerf: Length) -> Draft:
    """A channel across the grain: on the mitre gauge, its end at a stop on the gauge."""
    return Draft(
        kind="dado",
        tool=TABLE_SAW,
        name=dado.name,
        settings=(
            Setting("stop", dado.offset),
            Setting("width", dado.width),
            Setting("height", dado.depth),
        ),
        note=say(
            "{down}; {face} to the stop",
            down=say_down(part, dado.face),
            face=say_face(part, dado.reference),
        ),
        leans_on=frozenset({true_face(dado.face, part.hand), *end_faces(part)}),
    )
