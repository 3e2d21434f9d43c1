"""Several designs as one: their parts are cut together, their steps share hands and evenings.

The first design keeps its names; those of the others end in ``@`` and their tag
(``door@hive-body``), so that no two things bear one name. Units are numbered on from design to
design. Stock that is the same in all of them is one stock. Imports ``shopstep.model`` and the
resolved design.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from shopstep.design.resolve import Design
from shopstep.model.feature import Feature
from shopstep.model.joint import Joint
from shopstep.model.lever import Lever
from shopstep.model.material import Material
from shopstep.model.naming import BUILD_MARK
from shopstep.model.part import Part
from shopstep.model.plan import Finding, Fit, Made
from shopstep.model.step import Check, Fastener, Outline, StepKind, Supply, TakeRule, WaitRule
from shopstep.units import Length


@dataclass(frozen=True, slots=True)
class Share:
    """One design among several."""

    tag: str
    """Empty for the first."""
    design: Design
    units: tuple[int, ...]
    """Its unit numbers in the whole batch."""


def tag_of(name: str) -> str:
    """The tag of a name; empty for the first design's."""
    return name.partition(".")[0].partition(BUILD_MARK)[2]


def own_values(values: Mapping[str, Length], tag: str) -> dict[str, Length]:
    """Of values by name those of one design, under the names that it gives them itself."""
    return {
        name.replace(f"{BUILD_MARK}{tag}", "", 1) if tag else name: value
        for name, value in values.items()
        if tag_of(name) == tag
    }


def merge_designs(shares: tuple[Share, ...]) -> Design:
    """One design of all; the first one's title, unit of display and sides."""
    first = shares[0].design
    everyone = tuple(unit for share in shares for unit in share.units)
    materials: dict[str, Material] = {}
    merged: list[Design] = []
    for share in shares:
        stock = _same_stock(share, materials)
        merged.append(_Renamed(share.tag, stock).design(share, everyone))
    known = {(item.name, item.value) for item in first.measured}
    extra = [
        item
        for design in merged[1:]
        for item in design.measured
        if (item.name.partition(BUILD_MARK)[0], item.value) not in known
    ]
    return replace(
        first,
        build_id="+".join(share.design.build_id for share in shares),
        title=", ".join(share.design.title for share in shares),
        measured=(*first.measured, *extra),
        choices=tuple(pair for design in merged for pair in design.choices),
        sizes=tuple(pair for design in merged for pair in design.sizes),
        materials=tuple(materials.values()),
        parts=tuple(part for design in merged for part in design.parts),
        joints=tuple(joint for design in merged for joint in design.joints),
        fits=tuple(fit for design in merged for fit in design.fits),
        outline=_join_outlines(tuple(design.outline for design in merged)),
        sundries=tuple(dict.fromkeys(item for design in merged for item in design.sundries)),
        findings=tuple(finding for design in merged for finding in design.findings),
        places=tuple(place for design in merged for place in design.places),
        makes=tuple(Made(share.design.title, share.units) for share in shares),
    )


def _same_stock(share: Share, materials: dict[str, Material]) -> dict[str, str]:
    """The merged id of each of its materials; new ones are added to ``materials``."""
    names: dict[str, str] = {}
    for material in share.design.materials:
        alike = next(
            (m for m in materials.values() if replace(m, id="", title="") ==
             replace(material, id="", title="")),
            None,
        )  # fmt: skip
        if alike is None:
            taken = material.id in materials
            name = f"{material.id}{BUILD_MARK}{share.tag}" if taken else material.id
            alike = materials[name] = replace(material, id=name)
        names[material.id] = alike.id
    return names


@dataclass(frozen=True, slots=True)
class _Renamed:
    """One design under the names that it has among the others."""

    tag: str
    stock: Mapping[str, str]

    def name(self, name: str) -> str:
        """The name with its tag, before a dot where there is one."""
        if not self.tag or not name:
            return name
        first, dot, rest = name.partition(".")
        return f"{first}{BUILD_MARK}{self.tag}{dot}{rest}"

    def names(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """All of them."""
        return tuple(self.name(name) for name in names)

    def design(self, share: Share, everyone: tuple[int, ...]) -> Design:
        """All of it."""
        old = share.design
        joints = [joint.name for joint in old.joints]
        others = tuple(unit for unit in everyone if unit not in share.units)
        return replace(
            old,
            measured=tuple(replace(item, name=self.name(item.name)) for item in old.measured),
            choices=tuple((self.name(name), chosen) for name, chosen in old.choices),
            sizes=tuple((self.name(name), value) for name, value in old.sizes),
            parts=tuple(self._part(part, joints, others) for part in old.parts),
            joints=tuple(self._joint(joint) for joint in old.joints),
            fits=tuple(self._fit(fit) for fit in old.fits),
            outline=self._outline(old.outline, share.units),
            findings=tuple(self._finding(finding) for finding in old.findings),
            places=tuple((self.name(name), where) for name, where in old.places),
        )

    def _part(self, part: Part, joints: list[str], others: tuple[int, ...]) -> Part:
        features = tuple(self._feature(feature, joints) for feature in part.features)
        return replace(
            part,
            name=self.name(part.name),
            material=self.stock[part.material],
            features=features,
            apart=others,
        )

    def _feature(self, feature: Feature, joints: list[str]) -> Feature:
        """A joint's feature begins with the joint's name, so that goes along."""
        for joint in sorted(joints, key=len, reverse=True):
            if feature.name == joint or feature.name.startswith(f"{joint}_"):
                tail = feature.name.removeprefix(joint)
                return replace(feature, name=f"{self.name(joint)}{tail}")
        return feature

    def _joint(self, joint: Joint) -> Joint:
        return replace(
            joint,
            name=self.name(joint.name),
            member=self.name(joint.member),
            into=self.name(joint.into),
            glue=self.name(joint.glue) if joint.glue else None,
        )

    def _fit(self, fit: Fit) -> Fit:
        return replace(
            fit, name=self.name(fit.name), levers=tuple(self._lever(x) for x in fit.levers)
        )

    def _lever(self, lever: Lever) -> Lever:
        stock = self.stock.get(lever.material, lever.material)
        return replace(lever, name=self.name(lever.name), material=stock)

    def _finding(self, finding: Finding) -> Finding:
        rule = finding.rule
        if rule.startswith("fit:"):
            rule = f"fit:{self.name(rule.removeprefix('fit:'))}"
        return replace(finding, rule=rule)

    def _outline(self, old: Outline, units: tuple[int, ...]) -> Outline:
        return Outline(
            kinds=tuple(self._kind(kind) for kind in old.kinds),
            needs=tuple(self.names(needs) for needs in old.needs),
            waits=tuple(self._wait(rule) for rule in old.waits),
            takes=tuple(self._take(rule) for rule in old.takes),
            glues=tuple(self._supply(supply) for supply in old.glues),
            paints=tuple(self._supply(supply) for supply in old.paints),
            behind=tuple((self.name(step), self.name(other)) for step, other in old.behind),
            painted=tuple((self.name(step), self.name(paint)) for step, paint in old.painted),
            units=tuple((self.name(kind.id), units) for kind in old.kinds),
            places=tuple((self.name(step), place) for step, place in old.places),
        )

    def _kind(self, kind: StepKind) -> StepKind:
        return replace(
            kind,
            id=self.name(kind.id),
            parts=self.names(kind.parts),
            adds=tuple(replace(add, pieces=self.names(add.pieces)) for add in kind.adds),
            glue=self.name(kind.glue) if kind.glue else None,
            checks=tuple(self._check(check) for check in kind.checks),
            fasteners=tuple(self._fastener(fastener) for fastener in kind.fasteners),
            coats=tuple(replace(face, part=self.name(face.part)) for face in kind.coats),
            cuts=tuple(replace(cut, part=self.name(cut.part)) for cut in kind.cuts),
        )

    def _fastener(self, fastener: Fastener) -> Fastener:
        rows = tuple(
            replace(row, through=self.name(row.through), into=self.name(row.into))
            for row in fastener.rows
        )
        return replace(fastener, rows=rows)

    def _check(self, check: Check) -> Check:
        return replace(check, becomes=self.name(check.becomes))

    def _wait(self, rule: WaitRule) -> WaitRule:
        return replace(
            rule,
            after=self.name(rule.after),
            before=self.name(rule.before),
            supply=self.name(rule.supply),
        )

    def _take(self, rule: TakeRule) -> TakeRule:
        return replace(rule, first=self.name(rule.first), last=self.name(rule.last))

    def _supply(self, supply: Supply) -> Supply:
        return replace(supply, id=self.name(supply.id))


def _join_outlines(outlines: tuple[Outline, ...]) -> Outline:
    return Outline(
        kinds=tuple(x for each in outlines for x in each.kinds),
        needs=tuple(x for each in outlines for x in each.needs),
        waits=tuple(x for each in outlines for x in each.waits),
        takes=tuple(x for each in outlines for x in each.takes),
        glues=tuple(x for each in outlines for x in each.glues),
        paints=tuple(x for each in outlines for x in each.paints),
        behind=tuple(x for each in outlines for x in each.behind),
        painted=tuple(x for each in outlines for x in each.painted),
        units=tuple(x for each in outlines for x in each.units),
        places=tuple(x for each in outlines for x in each.places),
    )
