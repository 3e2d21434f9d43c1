"""What the bench read, followed: parts ahead take their new sizes, cut ones are held against them.

A reading for one unit holds for that unit alone: its pieces that are ahead are made apart, where
they differ by more than a cut is exact. Imports the rooms design, fitting and ``model``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from shopstep.design.resolve import Design
from shopstep.fitting.tolerances import TOLERANCES
from shopstep.model.bench import Apart
from shopstep.model.feature import Feature
from shopstep.model.lever import SizeKind
from shopstep.model.material import Form
from shopstep.model.part import Part
from shopstep.model.plan import Finding, Fit, Level, Plan, PlanRequest
from shopstep.model.step import GlueRole, StepKind
from shopstep.planner.cutting import SIZES, Cut, CutPart, PartKey, cut_values, find_cut
from shopstep.planner.designing import design_request, resolve_at_bench
from shopstep.stock import Find
from shopstep.units import Length
from shopstep.words import manner

_FORM_KINDS = {
    (Form.BOARD, "length"): SizeKind.CROSSCUT,
    (Form.BOARD, "width"): SizeKind.RIP,
    (Form.BOARD, "thickness"): SizeKind.THIN_RIP,
    (Form.ROLL, "length"): SizeKind.SHEAR,
    (Form.ROLL, "width"): SizeKind.SHEAR,
}
_FEATURE_EXACT = TOLERANCES[SizeKind.GROOVE_WIDTH].amount


@dataclass(frozen=True, slots=True)
class Misfit:
    """One size of a cut part that is wanted otherwise since something was measured."""

    part: Part
    unit: int | None
    """None: on the pieces of all units alike."""
    size: str
    """``length``, ``width``, ``thickness``, or the field of a feature."""
    feature: str
    """Name of the feature; empty where the size is the part's own."""
    cut: Length
    wanted: Length
    exact: Length
    """How exact such a cut is; less of a difference is none."""
    is_joined: bool = False
    """Whether glue or fasteners hold the piece already."""


@dataclass(frozen=True, slots=True)
class Following:
    """The design at the bench, and what does not go with it any more."""

    whole: Design
    found: Find
    wanted: Mapping[int | None, tuple[Part, ...]] = field(default_factory=dict)
    """By unit (None: the batch), the parts as they would be cut today."""
    units: Mapping[int, Design] = field(default_factory=dict)
    """Designs of the units that have readings of their own."""
    apart: tuple[Apart, ...] = ()
    misfits: tuple[Misfit, ...] = ()
    broken: tuple[tuple[int | None, Fit], ...] = ()
    """Fits that must hold and do not, on parts that are cut."""
    cut_names: frozenset[str] = frozenset()
    """Parts that are cut, or partly so."""

    def parts_for(self, unit: int) -> tuple[Part, ...]:
        """The parts as they would be cut today for a unit."""
        return self.wanted.get(unit) or self.wanted.get(None) or self.whole.parts


def follow_bench(request: PlanRequest, plan: Plan | None, done: Iterable[str]) -> Following:
    """The design with all that was read and cut. ``plan``: the one in progress; None: none is."""
    if plan is None:
        return Following(*design_request(request))
    finished = frozenset(done)
    cut = find_cut(plan, finished)
    read = _readings_by_unit(request)
    cuts = _cuts_by_unit(cut, plan, finished)
    whole, found = design_request(request, cut_values(cut, plan) | read[None], cut)
    free = {unit: _without_cut(names, cuts.get(unit, cut)) for unit, names in read.items()}
    designs = {
        unit: resolve_at_bench(request, found.widths, names, {}) for unit, names in free.items()
    }
    wanted = {unit: design.parts for unit, design in designs.items()}
    units = {
        unit: resolve_at_bench(request, found.widths, cut_values(own, plan) | names, own)
        for unit, names, own in ((unit, names, cuts.get(unit, cut)) for unit, names in read.items())
        if unit is not None
    }
    made: dict[int | None, Design] = {None: whole, **dict(units.items())}
    compare = _Comparison(request, plan, finished, cut, cuts, read, made)
    return Following(
        _softened(whole, cut),
        found,
        wanted,
        units,
        tuple(compare.apart(wanted, whole.parts)),
        tuple(replace(m, is_joined=compare.is_joined(m)) for m in compare.misfits(wanted)),
        tuple(_broken(whole, units, cut)),
        frozenset(name for name, _ in cut),
    )


def mark_apart(parts: tuple[Part, ...], apart: tuple[Apart, ...]) -> tuple[Part, ...]:
    """The parts with the units whose pieces are made apart."""
    units: dict[PartKey, tuple[int, ...]] = {}
    for piece in apart:
        key = (piece.part.name, piece.part.hand)
        units[key] = (*units.get(key, ()), piece.unit)
    return tuple(
        replace(part, apart=(*part.apart, *units[part.name, part.hand]))
        if (part.name, part.hand) in units
        else part
        for part in parts
    )


def _readings_by_unit(request: PlanRequest) -> dict[int | None, dict[str, Length]]:
    """What holds for the batch, and for each unit with readings of its own."""
    alone = request.all_units == 1
    batch = {r.name: r.value for r in request.readings if r.unit is None or alone}
    read: dict[int | None, dict[str, Length]] = {None: batch}
    for reading in request.readings:
        if reading.unit is not None and not alone:
            read.setdefault(reading.unit, dict(batch))[reading.name] = reading.value
    return read


def _cuts_by_unit(cut: Cut, plan: Plan, done: frozenset[str]) -> dict[int | None, Cut]:
    """For each unit with pieces made apart, what is cut of its own: the batch's cuts left them out.

    A piece that is begun is taken as cut: it comes out as it was planned.
    """
    cuts: dict[int | None, Cut] = {}
    for unit in {apart.unit for apart in plan.apart}:
        pieces = [apart for apart in plan.apart if apart.unit == unit]
        keys = {(piece.part.name, piece.part.hand) for piece in pieces}
        cuts[unit] = {key: found for key, found in cut.items() if key not in keys} | {
            (piece.part.name, piece.part.hand): CutPart(
                piece.part, frozenset(SIZES), frozenset(f.name for f in piece.part.features)
            )
            for piece in pieces
            if _is_begun(piece, plan, done)
        }
    return cuts


def _is_begun(apart: Apart, plan: Plan, done: frozenset[str]) -> bool:
    kinds = {kind.id: kind for kind in plan.kinds}
    end = f"~u{apart.unit}"
    return any(
        step.id in done and apart.part.name in kinds[step.kind].parts
        for step in plan.steps
        if step.id.endswith(end) and step.unit is None
    )


def _without_cut(names: Mapping[str, Length], cut: Cut) -> dict[str, Length]:
    """Readings but those of a cut part itself: what it came out as is not what is wanted."""
    own = {f"{name}.{size}" for (name, _), found in cut.items() for size in found.sizes}
    return {name: value for name, value in names.items() if name not in own}


def _softened(design: Design, cut: Cut) -> Design:
    """A rule that a cut part breaks stops no plan: the wood is there and has to be put right."""
    names = {name for name, _ in cut}
    fits = {fit.name for fit in design.fits if not fit.ok and parts_of_fit(fit, design) & names}
    return replace(
        design,
        findings=tuple(
            replace(finding, level=Level.WARN)
            if finding.rule.removeprefix("fit:") in fits or finding.where.name in names
            else finding
            for finding in design.findings
        ),
    )


def soften_overlaps(
    findings: tuple[Finding, ...], cut_names: frozenset[str], parts: tuple[Part, ...]
) -> tuple[Finding, ...]:
    """Parts that would share a place, told as a warning where one of them is cut already.

    The finding stands at one of the two parts; its text begins with the other.
    """
    cut = [part.label for part in parts if part.name in cut_names]
    firsts = tuple(f"{label} and " for label in cut)

    def names_cut(text: str) -> bool:
        in_english = manner().catalogue is None
        return text.startswith(firsts) if in_english else any(label in text for label in cut)

    return tuple(
        replace(finding, level=Level.WARN)
        if finding.where.name in cut_names or names_cut(finding.text)
        else finding
        for finding in findings
    )


def parts_of_fit(fit: Fit, design: Design) -> set[str]:
    """The parts of the design that a fit names, itself or through a joint."""
    known = {part.name for part in design.parts}
    joints = {joint.name: {joint.member, joint.into} for joint in design.joints}
    firsts = [lever.name.split(".")[0] for lever in fit.levers if "." in lever.name]
    return {part for first in firsts for part in joints.get(first, {first})} & known


def _broken(
    whole: Design, units: Mapping[int, Design], cut: Cut
) -> Iterator[tuple[int | None, Fit]]:
    names = {name for name, _ in cut}
    everywhere = {fit.name for fit in whole.fits if not fit.ok}
    for unit, design in ((None, whole), *units.items()):
        for fit in design.fits:
            is_new = unit is None or fit.name not in everywhere
            if fit.level == "must" and not fit.ok and is_new and parts_of_fit(fit, design) & names:
                yield unit, fit


@dataclass(frozen=True, slots=True)
class _Comparison:
    """What is wanted against what is there."""

    request: PlanRequest
    plan: Plan
    done: frozenset[str]
    cut: Cut
    cuts: Mapping[int | None, Cut]
    """By unit, where it has pieces of its own."""
    read: Mapping[int | None, Mapping[str, Length]]
    made: Mapping[int | None, Design]
    """By unit, the design with what is cut as it was cut."""

    def still_fits(self, unit: int | None, name: str) -> bool:
        """Whether fits hang on a size, by its name, and all of them hold with it as it is."""
        hanging = [
            fit.ok
            for fit in self.made[unit].fits
            if any(lever.name == name for lever in fit.levers)
        ]
        return bool(hanging) and all(hanging)

    def exact(self, part: Part, size: str) -> Length:
        """How exact the cut is that gives a part this size."""
        form = next(m.form for m in self.made[None].materials if m.id == part.material)
        return TOLERANCES[_FORM_KINDS.get((form, size), SizeKind.SHEET_CUT)].amount

    def misfits(self, wanted: Mapping[int | None, tuple[Part, ...]]) -> Iterator[Misfit]:
        """For the batch, and for units where something else is wanted."""
        for part in wanted[None]:
            by_unit = {unit: self._of_part(parts, part, unit) for unit, parts in wanted.items()}
            own = {unit: found for unit, found in by_unit.items() if found != by_unit[None]}
            if not own:
                yield from by_unit[None]
                continue
            for unit in range(1, self.request.all_units + 1):
                if unit not in part.apart:
                    yield from (replace(m, unit=unit) for m in by_unit.get(unit, by_unit[None]))

    def _of_part(self, parts: tuple[Part, ...], like: Part, unit: int | None) -> list[Misfit]:
        part = next(p for p in parts if (p.name, p.hand) == (like.name, like.hand))
        was = self.cuts.get(unit, self.cut).get((part.name, part.hand))
        if was is None:
            return []
        read = self.read[unit]
        found = []
        for size in sorted(was.sizes):
            planned, now = getattr(was.part, size), getattr(part, size)
            real = read.get(f"{part.name}.{size}", planned)
            exact = self.exact(part, size)
            moved = abs(now - planned) > exact and abs(now - real) > exact
            if moved and not self.still_fits(unit, f"{part.name}.{size}"):
                found.append(Misfit(was.part, unit, size, "", real, now, exact))
        return [*found, *self._of_features(part, was.part, was.features, unit)]

    def _of_features(
        self, part: Part, was: Part, names: frozenset[str], unit: int | None
    ) -> Iterator[Misfit]:
        olds = {feature.name: feature for feature in was.features}
        channels = {"width": "channel", "depth": "depth"}
        for feature in part.features:
            if feature.name in names and feature.name in olds:
                for name, old, new in _lengths(olds[feature.name], feature):
                    value = f"{feature.name}.{channels.get(name, name)}"
                    if abs(new - old) > _FEATURE_EXACT and not self.still_fits(unit, value):
                        yield Misfit(was, unit, name, feature.name, old, new, _FEATURE_EXACT)

    def apart(
        self, wanted: Mapping[int | None, tuple[Part, ...]], batch: tuple[Part, ...]
    ) -> Iterator[Apart]:
        """Uncut parts of a unit that differ from the batch's; those made apart before stay.

        Also where they differ no more, once the batch's are cut: that cut left this unit out.
        """
        kept = {(a.unit, a.part.name, a.part.hand): a for a in self.plan.apart}
        for unit in range(1, self.request.all_units + 1):
            own = wanted.get(unit, wanted[None])
            parts = {(part.name, part.hand): part for part in own}
            for part in batch:
                key = (part.name, part.hand)
                if unit in part.apart:
                    continue  # another build's unit
                before = kept.get((unit, *key))
                if before is not None and _is_begun(before, self.plan, self.done):
                    yield before
                elif key in parts and self._is_alone(before, parts[key], part):
                    yield Apart(unit, replace(parts[key], apart=()))

    def _is_alone(self, before: Apart | None, wanted: Part, batch: Part) -> bool:
        """Whether a unit's piece cannot be cut with the batch's, or was left out of that cut."""
        if (batch.name, batch.hand) in self.cut:
            return before is not None
        return self._differ(wanted, batch)

    def _differ(self, one: Part, other: Part) -> bool:
        sizes = any(
            abs(getattr(one, size) - getattr(other, size)) > self.exact(one, size) for size in SIZES
        )
        pairs = zip(one.features, other.features, strict=False)
        return sizes or any(
            abs(new - old) > _FEATURE_EXACT for a, b in pairs for _, old, new in _lengths(b, a)
        )

    def is_joined(self, misfit: Misfit) -> bool:
        """Whether glue or fasteners hold the piece already."""
        kinds = {kind.id: kind for kind in self.plan.kinds}
        return any(
            step.id in self.done
            and misfit.unit in (None, step.unit)
            and _joins(kinds[step.kind], misfit.part.name)
            for step in self.plan.steps
        )


def _joins(kind: StepKind, part: str) -> bool:
    return part in kind.parts and (kind.role is not GlueRole.NONE or bool(kind.fasteners))


def _lengths(old: Feature, new: Feature) -> Iterator[tuple[str, Length, Length]]:
    """The lengths of two states of one feature, by name."""
    if type(old) is not type(new):
        return
    for name in type(old).__dataclass_fields__:
        one, other = getattr(old, name), getattr(new, name)
        if isinstance(one, Length) and isinstance(other, Length):
            yield name, one, other
