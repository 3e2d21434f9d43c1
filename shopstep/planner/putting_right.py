"""Steps that put right what is cut and does not fit any more: take off, shim, make again, or keep.

Imports ``model`` and the rooms below.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from shopstep.model.bench import CUT_MISFIT, PUT_RIGHT
from shopstep.model.material import Form, Material
from shopstep.model.plan import Finding, Fit, Level, Plan, Where
from shopstep.model.step import Check, GlueRole, Number, Scope, Source, Step, StepKind
from shopstep.planner.following import Following, Misfit, parts_of_fit
from shopstep.units import ZERO, Length, format_length
from shopstep.words import say, to_say

MINUTES_S = 300
PLANED = Length.inches("1/8")
"""As much comes off with a plane; more is sawn off first (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class PutRight:
    """What is added to a plan to put things right."""

    kinds: tuple[StepKind, ...] = ()
    steps: tuple[Step, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class _Telling:
    """How numbers are written, and what things are made of."""

    display: str
    materials: Mapping[str, Material]

    def length(self, value: Length) -> str:
        """As on a rule."""
        return format_length(value, self.display)


def put_right(
    follow: Following,
    remade: Iterable[tuple[str, int | None]],
    plan: Plan,
    done: frozenset[str],
    cut_before: Mapping[str, tuple[str, ...]],
) -> PutRight:
    """One step for each part (and unit) that is off, and for each broken fit that none explains.

    ``remade``: part and unit of pieces that are made again. ``cut_before``: by part, the steps
    that cut it. Steps that are done already stay as they were.
    """
    design = follow.whole
    telling = _Telling(design.display, {m.id: m for m in design.materials})
    again = set(remade)
    kinds = {kind.id: kind for kind in plan.kinds}
    made: dict[str, tuple[StepKind, Step]] = {
        step.id: (kinds[step.kind], step)
        for step in plan.steps
        if step.id in done and kinds[step.kind].stage == PUT_RIGHT
    }
    told: list[Finding] = []
    for (name, unit), misfits in _grouped(follow.misfits).items():
        if (name, unit) in again:
            continue
        kind = _part_kind(name, unit, misfits, telling)
        if _add(made, kind, unit, cut_before.get(name, ())):
            told += [_tell(misfit, telling) for misfit in misfits]
    explained = {(m.part.name, m.unit) for m in follow.misfits}
    for unit, fit in follow.broken:
        parts = parts_of_fit(fit, follow.whole)
        if not any((part, u) in explained for part in parts for u in (unit, None)):
            before = [s for part in parts for s in cut_before.get(part, ())]
            _add(made, _fit_kind(fit, unit, tuple(sorted(parts)), telling), unit, before)
    return PutRight(
        tuple(kind for kind, _ in made.values()),
        tuple(step for _, step in made.values()),
        tuple(dict.fromkeys(told)),
    )


def _grouped(misfits: tuple[Misfit, ...]) -> dict[tuple[str, int | None], list[Misfit]]:
    """By part and unit; both hands of a handed part together."""
    groups: dict[tuple[str, int | None], list[Misfit]] = {}
    for misfit in misfits:
        groups.setdefault((misfit.part.name, misfit.unit), []).append(misfit)
    return groups


def _add(
    made: dict[str, tuple[StepKind, Step]], kind: StepKind, unit: int | None, needs: Iterable[str]
) -> bool:
    """Under its own id, or a further one where a step of that id did something else already.

    False where just this is done.
    """
    lead = "all" if unit is None else f"u{unit}"
    base, number, end = kind.id, 1, ""
    while (before := made.get(f"{lead}/{base}{end}")) is not None:
        if before[0].numbers == kind.numbers:
            return False
        number += 1
        end = f"-{number}"
    named = replace(kind, id=f"{base}{end}" + ("" if unit is None else f"~u{unit}"))
    step = Step(
        id=f"{lead}/{base}{end}",
        kind=named.id,
        unit=unit,
        needs=tuple(dict.fromkeys(needs)),
        duration_s=kind.duration_s,
        start_s=0,
        end_s=0,
        resources=(),
    )
    made[step.id] = (named, step)
    return True


def _part_kind(name: str, unit: int | None, misfits: list[Misfit], telling: _Telling) -> StepKind:
    first = misfits[0].part
    own = [m for m in misfits if not m.feature]
    is_large = all(m.cut > m.wanted for m in own) and not any(m.feature for m in misfits)
    title = (
        say("Trim the {first_title}", first_title=first.title)
        if is_large
        else say("Put right: {first_title}", first_title=first.title)
    )
    said = list(dict.fromkeys(_sentence(m, telling) for m in misfits))
    tool = _tool(misfits, telling) if is_large else "hand"
    way = _how(misfits, telling) if is_large else _ways(name, unit)
    return _kind(
        f"{PUT_RIGHT}/{name}",
        title,
        f"{' '.join(said)} {way}",
        (name,),
        tool,
        tuple(
            Number(say("wanted {size}", size=_size_words(m)), m.wanted)
            for m in {(_size_words(m)): m for m in misfits}.values()
        ),
        tuple({_check_name(m): _check(m) for m in misfits}.values()),
        unit,
    )


def _check_name(misfit: Misfit) -> str:
    feature = f"{misfit.feature}_" if misfit.feature else ""
    return f"{misfit.part.name}_{feature}{misfit.size}"


def _check(misfit: Misfit) -> Check:
    becomes = "" if misfit.feature else f"{misfit.part.name}.{misfit.size}"
    text = say(
        "{size} of the {part_title} as it is now",
        size=_size_words(misfit).capitalize(),
        part_title=misfit.part.title,
    )
    return Check(_check_name(misfit), text, misfit.wanted, misfit.exact, becomes)


def _size_words(misfit: Misfit) -> str:
    """ "length", "groove width"."""
    size = misfit.size.replace("_", " ")
    if not misfit.feature:
        return size
    kind = next(f.kind for f in misfit.part.features if f.name == misfit.feature)
    return f"{kind} {size}"


_MORE = {"length": ("long", "short"), "width": ("wide", "narrow"), "thickness": ("thick", "thin")}


def _sentence(misfit: Misfit, telling: _Telling) -> str:
    """What is off, by how much, on which piece."""
    off = telling.length(abs(misfit.cut - misfit.wanted))
    unit = "" if misfit.unit is None else say(" of unit {misfit_unit}", misfit_unit=misfit.unit)
    owner = f"{misfit.part.title}{unit}"
    is_more = misfit.cut > misfit.wanted
    if misfit.feature:
        owner = say("{size} in the {owner}", size=_size_words(misfit), owner=owner)
        cut, off_words = (
            telling.length(misfit.cut),
            say("too much") if is_more else say("too little"),
        )
    else:
        more, less = _MORE[misfit.size]
        cut = f"{telling.length(misfit.cut)} {more}"
        off_words = say("too {more}", more=more if is_more else less)
    wanted = telling.length(misfit.wanted)
    joined = say(" It is joined already.") if misfit.is_joined else ""
    return say(
        "The {owner} is cut {cut}; {wanted} is wanted: {off} {off_2}.{joined}",
        owner=owner,
        cut=cut,
        wanted=wanted,
        off=off,
        off_2=off_words,
        joined=joined,
    )


def _tool(misfits: list[Misfit], telling: _Telling) -> str:
    material = telling.materials[misfits[0].part.material]
    if material.form is Form.ROLL or material.stuff == "metal":
        return "snips"
    if material.stuff == "foam":
        return "knife"
    most = max(m.cut - m.wanted for m in misfits)
    return "hand_plane" if most <= PLANED else "hand_saw"


_HOW = to_say(
    {
        "snips": "Scribe the wanted size and cut along it.",
        "knife": "Mark the wanted size and cut it along a straightedge.",
        "hand_plane": "Plane it off, on an end from both corners towards the middle, and try it in "
        "place as you go.",
        "hand_saw": "Mark the wanted size square across, saw on the waste side, plane to the line.",
    }
)


def _how(misfits: list[Misfit], telling: _Telling) -> str:
    return say(_HOW[_tool(misfits, telling)])


def _ways(name: str, unit: int | None) -> str:
    """The choice that is left where nothing can be taken off."""
    spoken = f"spoiled {name} unit {unit if unit is not None else 'N'}"
    return say(
        "Shim it with a strip that thick, make it again (in words: `{spoken}`), or keep it as it "
        "is: measure, and say which.",
        spoken=spoken,
    )


def _fit_kind(fit: Fit, unit: int | None, parts: tuple[str, ...], telling: _Telling) -> StepKind:
    is_little = fit.least is not None and fit.value < fit.least
    trouble = fit.too_little if is_little else fit.too_much
    bounds = ((say("at least"), fit.least), (say("at most"), fit.most))
    right = say(" and ").join(f"{w} {telling.length(b)}" for w, b in bounds if b is not None)
    where = "" if unit is None else say(" of unit {unit}", unit=unit)
    said = [
        fit.text.rstrip(".")
        + say(
            "{where}: {fit_value}, {right} is right.",
            where=where,
            fit_value=telling.length(fit.value),
            right=right,
        ),
        say("So {trouble}.", trouble=trouble) if trouble else "",
        f"{fit.ease[:1].upper()}{fit.ease[1:]}." if fit.ease else "",
        say("Ease it by hand, make a part again, or keep it as it is."),
    ]
    words = fit.name.replace("_", " ")
    return _kind(
        f"{PUT_RIGHT}/fit_{fit.name}",
        say("Put right: {words}", words=words),
        " ".join(part for part in said if part),
        parts,
        "hand",
        (Number("is", fit.value),),
        (_fit_check(fit, words),),
        unit,
    )


def _fit_check(fit: Fit, words: str) -> Check:
    """A number where the range has two ends; else it is tried in place."""
    if fit.least is None or fit.most is None:
        return Check(
            f"fit_{fit.name}",
            say("{words}: tried in place, it works", words=words.capitalize()),
            None,
            ZERO,
        )
    half = (fit.most - fit.least).over(2)
    return Check(
        f"fit_{fit.name}",
        say("{words} as it is now", words=words.capitalize()),
        fit.least + half,
        half,
    )


def _kind(
    kind_id: str,
    title: str,
    text: str,
    parts: tuple[str, ...],
    tool: str,
    numbers: tuple[Number, ...],
    checks: tuple[Check, ...],
    unit: int | None,
) -> StepKind:
    return StepKind(
        id=kind_id,
        stage=PUT_RIGHT,
        title=title,
        text=text,
        why=say("Something was measured at the bench, and the rest follows it."),
        numbers=numbers,
        parts=parts,
        tool=tool,
        cautions=(),
        fasteners=(),
        checks=checks,
        role=GlueRole.NONE,
        glue=None,
        scope=Scope.BATCH if unit is None else Scope.UNIT,
        source=Source.DERIVED,
        duration_s=MINUTES_S,
        picture=None,
        line=0,
    )


def _tell(misfit: Misfit, telling: _Telling) -> Finding:
    remedy = say("Take it off, shim it, make it again, or keep it: there is a step for it.")
    where = Where(name=misfit.part.name)
    return Finding(Level.WARN, CUT_MISFIT, _sentence(misfit, telling), where, remedy)


def need_put_right(
    steps: tuple[Step, ...],
    kinds: tuple[StepKind, ...],
    right: PutRight,
    done: frozenset[str],
) -> tuple[Step, ...]:
    """Steps that hold a part which is put right, and are ahead, wait for that.

    Not what follows a finished step at once: that chain has begun and is not torn.
    """
    holds = {kind.id: frozenset(kind.parts) for kind in kinds}
    own = {kind.id: frozenset(kind.parts) for kind in right.kinds}
    ahead = {step.id: step for step in steps if step.id not in done}

    def has_begun(step: Step) -> bool:
        while step.behind is not None:
            if step.behind in done:
                return True
            if step.behind not in ahead:
                return False
            step = ahead[step.behind]
        return False

    def needs(step: Step) -> tuple[str, ...]:
        more = [
            other.id
            for other in right.steps
            if (other.unit is None or step.unit in (None, other.unit))
            and own[other.kind] & holds.get(step.kind, frozenset())
        ]
        return tuple(dict.fromkeys((*step.needs, *more)))

    return tuple(
        replace(step, needs=needs(step)) if step.id in ahead and not has_begun(step) else step
        for step in steps
    )
