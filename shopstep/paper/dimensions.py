"""What a drawing of a part measures: every feature from its reference face, in the view that shows
its profile. Imports ``shopstep.model`` and the boxes of ``shopstep.solids``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from shopstep.model.feature import (
    Bevel,
    Dado,
    Face,
    Feature,
    Fingers,
    Groove,
    Holes,
    Notch,
    Rabbet,
    Recess,
)
from shopstep.model.part import Axis
from shopstep.solids.boxes import AXES, Box
from shopstep.solids.cuts import side_of
from shopstep.units import Length, format_angle, format_length
from shopstep.words import say, say_count


@dataclass(frozen=True, slots=True)
class Dimension:
    """One measure along an axis of the finished thing."""

    look: int
    """Axis that the view looks along in which it is drawn."""
    axis: int
    """Axis that it measures along."""
    low: Length
    high: Length
    text: str
    is_size: bool = False
    """True for a size of the whole part, which stands outside of all others."""
    beside: tuple[int, Length] | None = None
    """Axis and place of the end that it belongs to, where it stands beside one only."""


@dataclass(frozen=True, slots=True)
class Measuring:
    """One piece, and how lengths are written."""

    box: Box
    display: str

    def size(self, look: int, axis: int) -> Dimension:
        """The whole piece along an axis."""
        low, high = self.box.spans[axis]
        return Dimension(look, axis, low, high, self.write(high - low), True)

    def inside(self, look: int, face: Face, offset: Length, extent: Length) -> Dimension:
        """From ``offset`` inside of a face to ``extent`` further in."""
        axis, high = side_of(face, self.box.part.hand)
        low_end, high_end = self.box.spans[axis]
        begin = high_end - offset - extent if high else low_end + offset
        return Dimension(look, axis, begin, begin + extent, self.write(extent))

    def write(self, length: Length) -> str:
        """A length as on the keeper's rule, without its unit."""
        return format_length(length, self.display).removesuffix(f" {self.display}")

    def axis(self, face: Face) -> int:
        """The axis that a face looks along."""
        return side_of(face, self.box.part.hand)[0]

    @property
    def along(self) -> int:
        """The axis of the length."""
        return AXES.index(self.box.part.runs[0])


def dimension_feature(measuring: Measuring, feature: Feature) -> list[Dimension]:
    """All measures of one feature that are more than nothing."""
    found: list[Dimension] = _RULES[type(feature)](measuring, feature)
    return [each for each in found if each.low != each.high]


def _rest(*axes: int) -> int:
    """The axis that is left of the three."""
    return ({0, 1, 2} - set(axes)).pop()


def _groove(m: Measuring, groove: Groove) -> list[Dimension]:
    look = m.along
    return [
        m.inside(look, groove.reference, Length(0), groove.offset),
        m.inside(look, groove.reference, groove.offset, groove.width),
        m.inside(look, groove.face, Length(0), groove.depth),
        *_stops(m, m.axis(groove.face), groove.stop_start, groove.stop_end),
    ]


def _stops(m: Measuring, look: int, start: Length, end: Length) -> list[Dimension]:
    low, high = m.box.spans[m.along]
    return [
        Dimension(look, m.along, low, low + start, m.write(start)),
        Dimension(look, m.along, high - end, high, m.write(end)),
    ]


def _rabbet(m: Measuring, rabbet: Rabbet) -> list[Dimension]:
    face, edge = m.axis(rabbet.face), m.axis(rabbet.edge)
    look = _rest(face, edge)
    stops = _stops(m, face, rabbet.stop_start, rabbet.stop_end) if look == m.along else []
    return [
        m.inside(look, rabbet.edge, Length(0), rabbet.width),
        m.inside(look, rabbet.face, Length(0), rabbet.depth),
        *stops,
    ]


def _dado(m: Measuring, dado: Dado) -> list[Dimension]:
    look = _rest(m.axis(dado.face), m.along)
    return [
        m.inside(look, dado.reference, Length(0), dado.offset),
        m.inside(look, dado.reference, dado.offset, dado.width),
        m.inside(look, dado.face, Length(0), dado.depth),
    ]


def _bevel(m: Measuring, bevel: Bevel) -> list[Dimension]:
    look = _rest(m.axis(bevel.face), m.axis(bevel.edge))
    axis, high = side_of(bevel.edge, m.box.part.hand)
    end = axis, m.box.spans[axis][1 if high else 0]
    return [
        m.inside(look, bevel.edge, Length(0), bevel.back),
        replace(m.inside(look, bevel.face, Length(0), bevel.drop), beside=end),
    ]


def _holes(m: Measuring, holes: Holes) -> list[Dimension]:
    look = m.axis(holes.face)
    low, high = m.box.spans[m.along]
    middle = low + (high - low).over(2)
    first = middle - holes.pitch.times(holes.count - 1).over(2)
    found = [
        m.inside(look, holes.reference, Length(0), holes.offset),
        Dimension(look, m.along, low, first, m.write(first - low)),
    ]
    if holes.count > 1:
        times = f"{holes.count - 1} × " if holes.count > 2 else ""
        last = first + holes.pitch.times(holes.count - 1)
        end = last if holes.count == 2 else first + holes.pitch
        found.append(Dimension(look, m.along, first, end, f"{times}{m.write(holes.pitch)}"))
    return found


def _notch(m: Measuring, notch: Notch) -> list[Dimension]:
    look = m.axis(notch.face)
    return [
        *_middle(m, look, notch.width),
        m.inside(look, notch.reference, Length(0), notch.height),
    ]


def _middle(m: Measuring, look: int, extent: Length) -> list[Dimension]:
    low, high = m.box.spans[m.along]
    begin = low + (high - low - extent).over(2)
    return [
        Dimension(look, m.along, low, begin, m.write(begin - low)),
        Dimension(look, m.along, begin, begin + extent, m.write(extent)),
    ]


def _recess(m: Measuring, recess: Recess) -> list[Dimension]:
    look = m.axis(recess.face)
    return [
        *_middle(m, look, recess.length),
        m.inside(look, recess.reference, Length(0), recess.offset),
        m.inside(look, recess.reference, recess.offset, recess.height),
        m.inside(m.along, recess.face, Length(0), recess.depth),
    ]


def _fingers(m: Measuring, fingers: Fingers) -> list[Dimension]:
    look = _rest(m.axis(fingers.end), m.axis(fingers.reference))
    return [
        m.inside(look, fingers.end, Length(0), fingers.depth),
        m.inside(look, fingers.reference, Length(0), fingers.pitch),
    ]


_RULES: dict[type[Any], Callable[[Measuring, Any], list[Dimension]]] = {
    Groove: _groove,
    Rabbet: _rabbet,
    Dado: _dado,
    Bevel: _bevel,
    Holes: _holes,
    Notch: _notch,
    Recess: _recess,
    Fingers: _fingers,
}


@dataclass(frozen=True, slots=True)
class Telling:
    """How lengths and ends are said."""

    display: str
    along: Axis
    """The axis of the part's length."""

    def __call__(self, length: Length) -> str:
        """A length with its unit."""
        return format_length(length, self.display)

    def stops(self, start: Length, end: Length) -> str:
        """Where a channel stops before the ends of the part."""
        first, last = self.along.split("-")
        said = [
            say("{self} before the {name} end", self=self(stop), name=name)
            for stop, name in ((start, first), (end, last))
            if stop
        ]
        return say("stopped {said}", said=say(" and ").join(said)) if said else say("right through")


def describe_feature(feature: Feature, display: str, along: Axis) -> str:
    """One feature in words, every measure from its reference face; ``along``: its length's axis."""
    return _WORDS[type(feature)](feature, Telling(display, along))


Say = Telling


def _groove_words(g: Groove, tell: Say) -> str:
    return say(
        "Groove in the {face} face: {offset} from {reference}, {width} wide, {depth} deep, {stops}",
        face=g.face,
        offset=tell(g.offset),
        reference=g.reference,
        width=tell(g.width),
        depth=tell(g.depth),
        stops=tell.stops(g.stop_start, g.stop_end),
    )


def _holes_words(h: Holes, tell: Say) -> str:
    row = (
        say(", {pitch} from centre to centre, the row in the middle", pitch=tell(h.pitch))
        if h.count > 1
        else ""
    )
    return say_count(
        "{n} hole of {diameter} through from the {face}"
        " face, centres {offset} from {reference}{row}",
        "{n} holes of {diameter} through from the {face}"
        " face, centres {offset} from {reference}{row}",
        h.count,
        diameter=tell(h.diameter),
        face=h.face,
        offset=tell(h.offset),
        reference=h.reference,
        row=row,
    )


_WORDS: dict[type[Any], Callable[[Any, Say], str]] = {
    Groove: _groove_words,
    Holes: _holes_words,
    Rabbet: lambda r, tell: say(
        "Rabbet in the {face} face along {edge}: {width} wide, {depth} deep, {stops}",
        face=r.face,
        edge=r.edge,
        width=tell(r.width),
        depth=tell(r.depth),
        stops=tell.stops(r.stop_start, r.stop_end),
    ),
    Dado: lambda d, tell: say(
        "Dado in the {face} face: {offset} from {reference}, {width} wide, {depth} deep",
        face=d.face,
        offset=tell(d.offset),
        reference=d.reference,
        width=tell(d.width),
        depth=tell(d.depth),
    ),
    Bevel: lambda b, tell: say(
        "Bevel: {back} back on {face}, {drop} down on {edge} ({angle} against {face})",
        back=tell(b.back),
        face=b.face,
        drop=tell(b.drop),
        edge=b.edge,
        angle=format_angle(b.angle),
    ),
    Notch: lambda n, tell: say(
        "Notch from {reference}, in the middle: {width} wide, {height} high",
        reference=n.reference,
        width=tell(n.width),
        height=tell(n.height),
    ),
    Recess: lambda r, tell: say(
        "Recess in the {face} face, in the middle: {offset} from {reference}, "
        "{length} long, {height} high, {depth} deep",
        face=r.face,
        offset=tell(r.offset),
        reference=r.reference,
        length=tell(r.length),
        height=tell(r.height),
        depth=tell(r.depth),
    ),
    Fingers: lambda f, tell: say(
        "Fingers at the {end} end: {pitch} each from {reference} on, {depth} "
        "long, a {starts_with} first",
        end=f.end,
        pitch=tell(f.pitch),
        reference=f.reference,
        depth=tell(f.depth),
        starts_with=f.starts_with,
    ),
}
