"""The drawing of one part: three views in true scale, its measures, and a title block.

A sheet of A4 on its side. Third-angle projection: the view from above stands above, the view of an
end beside it. The end may be drawn larger; each view says its scale. Loads the solids. Imports
``shopstep.model`` and ``shopstep.solids``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from html import escape

from shopstep.model.feature import Face, Feature
from shopstep.model.part import Hand, Part
from shopstep.model.plan import Plan
from shopstep.paper.dimensions import Dimension, Measuring, describe_feature, dimension_feature
from shopstep.paper.strokes import At, dimension_line, text, visible_and_hidden
from shopstep.solids.bodies import make_body
from shopstep.solids.boxes import AXES, make_box
from shopstep.solids.cuts import side_of
from shopstep.solids.lines import Stretch, View, draw_edges
from shopstep.units import format_length
from shopstep.words import say

Sheet = tuple[float, float]
"""Width and height of a page in mm."""
SHEET_MM: Sheet = (297.0, 210.0)
_EDGE = 8.0
_BLOCK = 24.0
"""Height of the title block."""
_ROW = 6.5
"""From one dimension line to the next."""
_FIRST_ROW = 5.0
_NOTE = 4.6
_NAME = 3.6
"""Height of the letters of a view's name."""
_SCALES = (2.0, 1.0, 1 / 2, 1 / 3, 1 / 4, 1 / 5, 1 / 6, 1 / 8, 1 / 10, 1 / 12, 1 / 16, 1 / 20)
_MOST_END_MM = 62.0
_FACES = ((Face.FRONT, Face.BACK), (Face.LEFT, Face.RIGHT), (Face.BOTTOM, Face.TOP))


@dataclass(frozen=True, slots=True)
class _Sight:
    """One view of the part."""

    title: str
    look: int
    """Axis that it looks along."""
    across: int
    """Axis that runs across the paper."""
    flipped: bool
    """True where that axis runs to the left."""
    upright: int
    upended: bool
    """True where the upright axis runs down."""
    view: View

    def at(self, axis: int, value_mm: float) -> float:
        """A coordinate on the paper's plane, not scaled."""
        flip = self.flipped if axis == self.across else self.upended
        return -value_mm if flip else value_mm


def draw_part(plan: Plan, part: Part, sheet: Sheet = SHEET_MM) -> str:
    """The drawing of one part of a plan as an SVG file; the same plan gives the same bytes.

    Its scales hold where the file is printed as large as it says, the size of ``sheet``.
    """
    box = make_box(part, replace(part.places[0], turned=None))
    body = make_body(part, replace(part.places[0], turned=None, lean=None))
    measuring = Measuring(box, plan.display)
    sights = _sights(part)
    dimensions = _dimensions(measuring, part, sights)
    notes = _notes(plan, part)
    layout = _Layout(measuring, sights, dimensions, len(notes), sheet)
    out = [layout.draw(n, draw_edges([body], sight.view, keep_hidden=True))
           for n, sight in enumerate(sights)]  # fmt: skip
    out += _write_notes(notes, sheet)
    out += _title_block(plan, part, layout.scales, sheet)
    wide, high = sheet
    title = escape(f"{plan.build_title}: {part.label}")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}mm" height="{high:g}mm" '
        f'viewBox="0 0 {wide:g} {high:g}" font-family="sans-serif">\n<title>{title}</title>\n'
        f'<rect width="{wide:g}" height="{high:g}" fill="#fff"/>\n{"".join(out)}</svg>\n'
    )


def _sights(part: Part) -> tuple[_Sight, _Sight, _Sight]:
    """The face that most is cut into, the edge above it, and the end to its right."""
    along, upright, through = (AXES.index(axis) for axis in part.runs)
    near = _main_face(part, through)
    viewer = _unit(through, near)
    up = _unit(upright, True)
    right = _cross(up, viewer)
    goes_left = right[along] < 0
    face, top, end = (
        _face_name(part, through, near),
        _face_name(part, upright, True),
        _face_name(part, along, not goes_left),
    )
    away = (-viewer[0], -viewer[1], -viewer[2])
    return (
        _Sight(
            say("{face} face", face=face),
            through,
            along,
            goes_left,
            upright,
            False,
            View(right, up, viewer),
        ),
        _Sight(
            say("{top} edge", top=top),
            upright,
            along,
            goes_left,
            through,
            near,
            View(right, away, up),
        ),
        _Sight(
            say("{end} end", end=end), along, through, near, upright, False, View(away, up, right)
        ),
    )


def _main_face(part: Part, through: int) -> bool:
    """Whether the high side of the thickness has more cut into it than the low one."""
    sides = [side_of(face, part.hand) for f in part.features if (face := _cut_face(f))]
    high, low = sides.count((through, True)), sides.count((through, False))
    return high >= low


def _cut_face(feature: Feature) -> Face | None:
    face: Face | None = getattr(feature, "face", None)
    return face


def _unit(axis: int, positive: bool) -> tuple[float, float, float]:
    vector = [0.0, 0.0, 0.0]
    vector[axis] = 1.0 if positive else -1.0
    return vector[0], vector[1], vector[2]


def _cross(
    a: tuple[float, float, float], b: tuple[float, float, float]
) -> tuple[float, float, float]:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def _face_name(part: Part, axis: int, high: bool) -> str:
    """The side's name; of a handed part also whether it is inside or outside."""
    name = _FACES[axis][1 if high else 0]
    if part.hand is None or axis != 1:
        return str(name)
    inside = high is (part.hand is Hand.LEFT)
    return say("inside ({face})", face=name) if inside else say("outside ({face})", face=name)


def _dimensions(
    measuring: Measuring, part: Part, sights: tuple[_Sight, ...]
) -> dict[int, list[Dimension]]:
    """Dimensions by the axis that their view looks along; each measure once."""
    main, _, end = sights
    found: dict[int, list[Dimension]] = {sight.look: [] for sight in sights}
    every = [d for feature in part.features for d in dimension_feature(measuring, feature)]
    for each in (*every, measuring.size(main.look, main.across),
                 measuring.size(main.look, main.upright),
                 measuring.size(end.look, end.across)):  # fmt: skip
        same = [o for o in found[each.look] if (o.axis, o.low, o.high) == _span(each)]
        if not same:
            found[each.look].append(each)
    return found


def _span(each: Dimension) -> tuple[int, object, object]:
    return each.axis, each.low, each.high


class _Layout:
    """Where each view stands on the sheet, and at which scale."""

    def __init__(
        self,
        measuring: Measuring,
        sights: tuple[_Sight, _Sight, _Sight],
        dimensions: dict[int, list[Dimension]],
        notes: int,
        sheet: Sheet,
    ) -> None:
        self._sheet = sheet
        self._m, self._sights, self._dims = measuring, sights, dimensions
        extents = [high.in_mm - low.in_mm for low, high in measuring.box.spans]
        main, top, end = sights
        length, width, thick = extents[main.across], extents[main.upright], extents[top.upright]
        rows = {s.look: self._rows(s) for s in sights}
        room_high = sheet[1] - 2 * _EDGE - _BLOCK - notes * _NOTE - 6
        end_scale = next(
            (s for s in _SCALES if thick * s <= _MOST_END_MM and width * s <= room_high - 40),
            _SCALES[-1],
        )
        end_wide = thick * end_scale + self._wide(rows[end.look][1]) + 26
        room_wide = sheet[0] - 2 * _EDGE - end_wide - self._wide(rows[main.look][1]) - 24
        spare = self._wide(rows[main.look][0]) + self._wide(rows[top.look][0]) + 30
        scale = next(
            (s for s in _SCALES if length * s <= room_wide and (width + thick) * s + spare
             <= room_high and s <= max(end_scale, 1.0)), _SCALES[-1],
        )  # fmt: skip
        if end_scale < scale:
            end_scale = scale
        self.scales = (scale, scale, end_scale)
        left = _EDGE + self._wide(max(rows[main.look][1], rows[top.look][1])) + 16
        top_y = _EDGE + self._wide(rows[top.look][0]) + 10
        main_y = top_y + thick * scale + 14
        end_x = sheet[0] - _EDGE - end_wide + 8
        self._corner = ((left, main_y), (left, top_y), (end_x, top_y + 2))

    def _rows(self, sight: _Sight) -> tuple[int, int]:
        found = self._dims[sight.look]
        across = sum(d.axis == sight.across for d in found)
        return across, len(found) - across

    @staticmethod
    def _wide(rows: int) -> float:
        return _FIRST_ROW + rows * _ROW

    def draw(self, index: int, stretches: Iterable[Stretch]) -> str:
        """One view with its dimensions and the names of its sides."""
        sight, scale = self._sights[index], self.scales[index]
        x0, y0 = self._corner[index]
        (a0, a1), (u0, u1) = (self._plane(sight, axis) for axis in (sight.across, sight.upright))

        def at(x: float, y: float) -> tuple[float, float]:
            return x0 + (x - a0) * scale, y0 + (u1 - y) * scale

        out = [visible_and_hidden(stretches, at)]
        out.append(self._dimension_lines(index, at, (a0, a1), (u0, u1)))
        part = self._m.box.part
        wide, high = (a1 - a0) * scale, (u1 - u0) * scale
        sides = [_face_name(part, sight.across, sight.flipped is right) for right in (False, True)]
        up = say("{face_name} up", face_name=_face_name(part, sight.upright, not sight.upended))
        name = say(
            "{sight_title}, {up}, scale {scale}",
            sight_title=sight.title,
            up=up,
            scale=_scale_text(scale),
        )
        below = index != 1
        rows = self._rows(sight)[0]
        foot = y0 + high + (self._wide(rows) + 4 if below else 5)
        half = len(name) * _NAME * 0.29
        middle = min(x0 + wide / 2, self._sheet[0] - _EDGE - 2 - half)
        out.append(text(middle, foot, name, _NAME, bold=True))
        if index == 0:
            out.append(text(x0 + wide * 0.08, y0 + high / 2 + 1, sides[1], 3.0, grey=True))
            out.append(text(x0 + wide * 0.92, y0 + high / 2 + 1, sides[0], 3.0, grey=True))
        return "".join(out)

    def _plane(self, sight: _Sight, axis: int) -> tuple[float, float]:
        ends = [sight.at(axis, value.in_mm) for value in self._m.box.spans[axis]]
        return min(ends), max(ends)

    def _dimension_lines(
        self, index: int, at: At, across: tuple[float, float], upright: tuple[float, float]
    ) -> str:
        sight = self._sights[index]
        out = []
        counts = Counter[tuple[bool, bool]]()
        for each in sorted(self._dims[sight.look], key=lambda d: (d.is_size, d.high - d.low)):
            is_across = each.axis == sight.across
            is_right = index == 2 or self._is_right(sight, each, across)
            row = is_across, is_right
            away = _FIRST_ROW + counts[row] * _ROW
            counts[row] += 1
            ends = sorted(sight.at(each.axis, value.in_mm) for value in (each.low, each.high))
            if is_across:
                side = upright[1] if index == 1 else upright[0]
                points = [at(end, side) for end in ends]
                out.append(dimension_line(points, (0.0, -away if index == 1 else away), each.text))
            else:
                side = across[1] if is_right else across[0]
                points = [at(side, end) for end in ends]
                aside = (away if is_right else -away, 0.0)
                below = counts[row] % 2 == 1 and not each.is_size
                out.append(dimension_line(points, aside, each.text, is_below=below))
        return "".join(out)

    @staticmethod
    def _is_right(sight: _Sight, each: Dimension, across: tuple[float, float]) -> bool:
        """Whether a measure belongs to what is cut at the right end of its view."""
        if each.beside is None or each.beside[0] != sight.across or each.axis == sight.across:
            return False
        at = sight.at(sight.across, each.beside[1].in_mm)
        return abs(at - across[1]) < abs(at - across[0])


def _scale_text(scale: float) -> str:
    return f"{scale:.0f}:1" if scale >= 1 else f"1:{1 / scale:.0f}"


def _notes(plan: Plan, part: Part) -> list[str]:
    """What is cut, in words; what is left on; how the hands go."""
    notes = [
        describe_feature(feature, plan.display, part.runs[0]) + "." for feature in part.features
    ]
    notes += [
        say(
            "Leave {extra} on at {face}: {why}",
            extra=format_length(a.extra, plan.display),
            face=a.face,
            why=a.why,
        )
        for a in part.allowances
    ]
    if part.hand is not None:
        other = Hand.LEFT if part.hand is Hand.RIGHT else Hand.RIGHT
        notes.append(
            say(
                "This is the {hand} one. The {other} one is its mirror image and has its own "
                "drawing; never turn one into the other.",
                hand=part.hand,
                other=other,
            )
        )
    return notes or [say("Nothing is cut into it.")]


def _write_notes(notes: list[str], sheet: Sheet) -> list[str]:
    top = sheet[1] - _EDGE - _BLOCK - len(notes) * _NOTE
    return [
        text(_EDGE + 2, top + n * _NOTE, f"{n + 1}. {note}", 3.3, anchor="start")
        for n, note in enumerate(notes)
    ]


def _title_block(
    plan: Plan, part: Part, scales: tuple[float, float, float], sheet: Sheet
) -> list[str]:
    wide, high = sheet
    top = high - _EDGE - _BLOCK + 2
    material = next((m.title for m in plan.materials if m.id == part.material), part.material)
    sizes = " × ".join(
        format_length(size, plan.display) for size in (part.length, part.width, part.thickness)
    )
    unit = say("inches") if plan.display == "in" else say("millimetres")
    scale = _scale_text(scales[0])
    rows = [
        [
            f"{part.label}",
            say("{build}, revision {revision}", build=plan.build_title, revision=plan.revision),
            say(
                "{count_unit} for each unit, {count} for the batch",
                count_unit=part.count_unit,
                count=part.count(plan.units),
            ),
        ],
        [f"{sizes}", f"{material}", say("length × width × thickness, grain along the length")],
        [
            say("scale {scale} unless said, in {unit}", scale=scale, unit=unit),
            say("third-angle projection, measures from the named faces"),
            f"{plan.left_is}",
        ],
    ]
    out = [
        f'<rect x="{_EDGE}" y="{_EDGE}" width="{wide - 2 * _EDGE:.1f}" '
        f'height="{high - 2 * _EDGE:.1f}" fill="none" stroke="#000" stroke-width="0.4"/>\n'
        f'<path d="M{_EDGE} {top:.1f}H{wide - _EDGE:.1f}" stroke="#000" stroke-width="0.4"/>\n'
    ]
    for r, row in enumerate(rows):
        for c, said in enumerate(row):
            x = _EDGE + 3 + (0.0, 0.26, 0.6)[c] * (wide - 2 * _EDGE)
            bold = (r, c) in ((0, 0), (1, 0))
            room = (0.25, 0.33, 0.38)[c] * (wide - 2 * _EDGE)
            size = min(3.3, room / (0.54 * max(len(said), 1)))
            out.append(text(x, top + 6 + r * 6.3, said, round(size, 2), anchor="start", bold=bold))
    return out
