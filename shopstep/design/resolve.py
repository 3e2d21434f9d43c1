"""The door of this room: build text, parents and what the keeper gave, to one resolved design."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from shopstep.design.build_file import BuildFile, read_build_file
from shopstep.design.check_runs import check_run_findings
from shopstep.design.choosing import keep_chosen
from shopstep.design.features import feature_findings
from shopstep.design.fits import fit_findings, resolve_fits
from shopstep.design.inputs import Inputs, define_inputs
from shopstep.design.interfaces import resolve_interfaces, resolve_mates
from shopstep.design.joints import define_joints, resolve_joint
from shopstep.design.limits import Range, read_limits
from shopstep.design.parts import define_materials, define_parts, resolve_materials, resolve_parts
from shopstep.design.steps import resolve_outline
from shopstep.design.values import Values
from shopstep.model.feature import Feature
from shopstep.model.interface import Interface, Mate
from shopstep.model.joint import Joint
from shopstep.model.material import Material
from shopstep.model.part import Part
from shopstep.model.plan import BuildText, Finding, Fit, Limit, Made, Measured, Where
from shopstep.model.step import Outline
from shopstep.units import Length

NO_WIDTHS: Mapping[str, Length] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Design:
    """A build at one keeper's sizes."""

    build_id: str
    title: str
    summary: str
    revision: int
    display: str
    left_is: str
    measured: tuple[Measured, ...]
    choices: tuple[tuple[str, str], ...]
    sizes: tuple[tuple[str, Length], ...]
    materials: tuple[Material, ...]
    parts: tuple[Part, ...]
    joints: tuple[Joint, ...]
    fits: tuple[Fit, ...]
    outline: Outline
    sundries: tuple[str, ...]
    findings: tuple[Finding, ...]
    interfaces: tuple[Interface, ...] = ()
    mates: tuple[Mate, ...] = ()
    places: tuple[tuple[str, Where], ...] = ()
    """Where each part stands in the build file, by its name."""
    makes: tuple[Made, ...] = ()
    """What is made of each build, where this is several designs in one."""


def resolve_design(
    build: BuildText,
    parents: tuple[BuildText, ...],
    given: tuple[tuple[str, str], ...],
    display: str = "",
    limits: tuple[Limit, ...] = (),
    widths: Mapping[str, Length] = NO_WIDTHS,
    fixed: Mapping[str, Length] = NO_WIDTHS,
) -> Design:
    """Work out every part, joint, fit and step text.

    ``given``: names with what was typed for them; ``limits``: the keeper's own ranges of fits;
    ``widths``: by part, what was chosen for widths that do not matter; ``fixed``: sizes by name
    (``way``, ``tray.width``) that were read off the work.
    Raises BuildFileError for what cannot be read;
    what can be read but does not fit comes back as findings (level stop: no plan).
    """
    return resolve_file(_read(build, parents), given, display, limits, widths, fixed)


_read = lru_cache(maxsize=4)(read_build_file)
"""One request asks for its design several times; reading the file takes the most of it."""


def resolve_file(
    file: BuildFile,
    given: tuple[tuple[str, str], ...],
    display: str = "",
    limits: tuple[Limit, ...] = (),
    widths: Mapping[str, Length] = NO_WIDTHS,
    fixed: Mapping[str, Length] = NO_WIDTHS,
) -> Design:
    """As ``resolve_design``, from a build file that is read already."""
    shown = display or file.entry.show.display
    ranges = read_limits(file, limits)
    values = Values(file.source, fixed)
    inputs = define_inputs(file, values, given, shown)
    _define_sizes(file, values)
    file = keep_chosen(file, values)
    define_materials(file, values)
    define_parts(file, values, widths)
    define_joints(file, values)
    return _resolved(file, values, inputs, shown, ranges)


def _define_sizes(file: BuildFile, values: Values) -> None:
    for name, text in file.entry.sizes.items():
        values.define_text(name, text, ("sizes", name))


def _resolved(
    file: BuildFile, values: Values, inputs: Inputs, shown: str, ranges: Mapping[str, Range]
) -> Design:
    entry = file.entry
    if inputs.findings:
        return _refused(file, inputs, shown)
    sizes = tuple((name, values.number(name, ("sizes", name))) for name in entry.sizes)
    parts = resolve_parts(file, values)
    fits = resolve_fits(file, values, inputs.measured, ranges)
    off_part = [
        finding
        for part in parts
        for feature in part.features
        for finding in feature_findings(
            part.label,
            feature,
            (part.length, part.width, part.thickness),
            _feature_place(file, part, feature),
            shown,
        )
    ]
    return Design(
        build_id=entry.id,
        title=entry.title,
        summary=entry.summary,
        revision=entry.revision,
        display=shown,
        left_is=entry.show.left_is,
        measured=inputs.measured,
        choices=inputs.choices,
        sizes=tuple((name, value) for name, value in sizes if isinstance(value, Length)),
        materials=resolve_materials(file, values),
        parts=parts,
        joints=tuple(resolve_joint(file, values, name) for name in entry.joints),
        fits=fits,
        outline=resolve_outline(file, values, shown),
        sundries=tuple(entry.sundries),
        findings=(*off_part, *fit_findings(file, fits, shown), *check_run_findings(file)),
        interfaces=resolve_interfaces(file, values),
        mates=resolve_mates(file, values),
        places=_places(file),
    )


def _feature_place(file: BuildFile, part: Part, feature: Feature) -> Where:
    """The line of the feature, or of the joint that cuts it."""
    if feature.name in file.entry.parts[part.name].features:
        return file.source.where(("parts", part.name, "features", feature.name), part.name)
    joints = [name for name in file.entry.joints if f"{feature.name}_".startswith(f"{name}_")]
    return file.source.where(("joints", max(joints, key=len, default="")), part.name)


def _refused(file: BuildFile, inputs: Inputs, shown: str) -> Design:
    """A design that stops at its measurements: nothing is worked out from what cannot be."""
    entry = file.entry
    nothing = Outline((), (), (), (), (), ())
    return Design(
        entry.id, entry.title, entry.summary, entry.revision, shown, entry.show.left_is,
        inputs.measured, inputs.choices, (), (), (), (), (), nothing, (), inputs.findings,
    )  # fmt: skip


def _places(file: BuildFile) -> tuple[tuple[str, Where], ...]:
    """Where parts, joints and steps stand, by name; glues and paints as ``glues.wood_glue``."""
    entry, source = file.entry, file.source
    blocks: dict[str, Iterable[str]] = {
        "parts": entry.parts,
        "joints": entry.joints,
        "steps": entry.steps,
    }
    named = [(name, name, (block, name)) for block, names in blocks.items() for name in names]
    rows: dict[str, Iterable[str]] = {"glues": entry.glues, "paints": entry.paints}
    tables = [
        (f"{b}.{name}", name, (b, name, "row")) for b, names in rows.items() for name in names
    ]
    return tuple((key, source.where(path, name)) for key, name, path in (*named, *tables))
