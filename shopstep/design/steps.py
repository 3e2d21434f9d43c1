"""Authored steps: their words with the plan's numbers put in, their order, waits and takings."""

from __future__ import annotations

from shopstep.design.adding import resolve_add
from shopstep.design.build_file import BuildFile
from shopstep.design.fastening import resolve_coats, resolve_cuts, resolve_fastener
from shopstep.design.nearest import did_you_mean
from shopstep.design.order import refuse_circles
from shopstep.design.putting_off import is_limit, read_limit
from shopstep.design.schema_steps import CheckEntry, StepEntry, TakesEntry
from shopstep.design.values import Values
from shopstep.design.words import fill_words
from shopstep.design.yaml_source import Path
from shopstep.model.plan import BuildFileError
from shopstep.model.step import (
    Check,
    GlueRole,
    Number,
    Outline,
    Scope,
    Source,
    StepKind,
    Supply,
    TakeRule,
    WaitKind,
    WaitRule,
)
from shopstep.units import ZERO, Length
from shopstep.words import say


def resolve_outline(build: BuildFile, values: Values, display: str) -> Outline:
    """All authored steps in the order of the build file."""
    entries = list(build.entry.steps.items())
    kinds = tuple(_kind(build, values, step, entry, display) for step, entry in entries)
    needs = tuple(_needs(build, entries, i) for i in range(len(entries)))
    refuse_circles(build, dict(zip(build.entry.steps, needs, strict=True)))
    waits: list[WaitRule] = []
    takes: list[TakeRule] = []
    for step, entry in entries:
        waits += _waits(build, step, entry)
        takes += _takes(build, values, step, entry)
    _check_closings(build, entries)
    behind = tuple(
        (step, needs[i][0])
        for i, (step, entry) in enumerate(entries)
        if _at_once(build, entries, i)
    )
    painted = tuple((step, entry.paint) for step, entry in entries if entry.paint is not None)
    places = tuple((step, entry.place) for step, entry in entries if entry.place is not None)
    glues, paints = _supplies(build)
    return Outline(
        kinds, needs, tuple(waits), tuple(takes), glues, paints, behind, painted, places=places
    )


def _at_once(build: BuildFile, entries: list[tuple[str, StepEntry]], index: int) -> bool:
    step, entry = entries[index]
    if not entry.at_once:
        return False
    above = entries[index - 1] if index else None
    if above is None or entry.needs is not None or above[1].scope != entry.scope:
        raise BuildFileError(
            say(
                "step '{step}' says 'at_once', so it must follow the step above it, of the same "
                "scope",
                step=step,
            ),
            build.source.where(("steps", step, "at_once"), step),
        )
    if entry.after:
        raise BuildFileError(
            say(
                "step '{step}' follows 'at_once' and waits for '{step_2}' as well; give"
                " it one of the two",
                step=step,
                step_2=entry.after[0].step,
            ),
            build.source.where(("steps", step, "at_once"), step),
        )
    return True


def _supplies(build: BuildFile) -> tuple[tuple[Supply, ...], tuple[Supply, ...]]:
    glues = tuple(Supply(k, e.title, e.row) for k, e in build.entry.glues.items())
    paints = tuple(Supply(k, e.title, e.row) for k, e in build.entry.paints.items())
    return glues, paints


def _kind(build: BuildFile, values: Values, step: str, entry: StepEntry, display: str) -> StepKind:
    path: Path = ("steps", step)
    for part in entry.parts:
        _known(build, (*path, "parts"), say("a part"), part, build.entry.parts)
    adds = tuple(resolve_add(build, step, add) for add in entry.adds)
    return StepKind(
        id=step,
        stage=step.split("/")[0],
        title=entry.title,
        text=fill_words(values, entry.text, (*path, "text"), display, entry.numbers),
        why=fill_words(values, entry.why, (*path, "why"), display, entry.numbers),
        numbers=tuple(
            Number(label, values.number(text, (*path, "numbers", label)))
            for label, text in entry.numbers.items()
        ),
        parts=tuple(entry.parts),
        tool=entry.tool,
        cautions=(),
        fasteners=tuple(
            resolve_fastener(build, values, item, (*path, "fasteners", i))
            for i, item in enumerate(entry.fasteners)
        ),
        checks=tuple(
            _check(values, name, check, (*path, "checks", name), display)
            for name, check in entry.checks.items()
        ),
        role=GlueRole(entry.role or "none"),
        glue=_glue(build, path, entry),
        scope=Scope(entry.scope),
        source=Source.AUTHORED,
        duration_s=max(1, round(entry.minutes * 60)),
        picture=None,
        line=build.source.line(path),
        people=entry.people,
        adds=adds,
        coats=resolve_coats(build, step, entry),
        cuts=resolve_cuts(build, values, step, entry),
        turns=entry.turns,
    )


def _known(build: BuildFile, path: Path, what: str, name: str, known: object) -> None:
    names = list(known) if isinstance(known, dict) else []
    if name not in names:
        raise BuildFileError(
            say(
                "step '{path}' names {what} '{name}' that is not there{did_you_mean}",
                path=path[1],
                what=what,
                name=name,
                did_you_mean=did_you_mean(name, names),
            ),
            build.source.where(path, str(path[1])),
        )


def _glue(build: BuildFile, path: Path, entry: StepEntry) -> str | None:
    if entry.role is not None and entry.glue is None:
        raise BuildFileError(
            say("step '{path}' spreads or closes glue, but names none; add 'glue:'", path=path[1]),
            build.source.where(path, str(path[1])),
        )
    if (entry.role == "close") is not (entry.closes is not None):
        raise BuildFileError(
            say(
                "step '{path}' needs both 'role: close' and 'closes: stage/step', or neither",
                path=path[1],
            ),
            build.source.where(path, str(path[1])),
        )
    if entry.glue is not None:
        _known(build, (*path, "glue"), say("a glue"), entry.glue, build.entry.glues)
    if entry.paint is not None:
        _known(build, (*path, "paint"), say("a paint"), entry.paint, build.entry.paints)
    return entry.glue


def _check(values: Values, name: str, entry: CheckEntry, path: Path, display: str) -> Check:
    if entry.becomes is not None:
        _check_becoming(values, entry, path)
    return Check(
        name=name,
        text=fill_words(values, entry.text, path, display),
        value=values.length(entry.value, (*path, "value")) if entry.value else None,
        tolerance=values.distance(entry.tolerance, (*path, "tolerance")),
        becomes=entry.becomes or "",
    )


def _check_becoming(values: Values, entry: CheckEntry, path: Path) -> None:
    """What becomes a size must be asked for as a number, and the size must be there."""
    if entry.value is None:
        raise BuildFileError(
            say(
                "check '{path}' becomes '{becomes}', but asks for no number; add 'value:'",
                path=path[-1],
                becomes=entry.becomes,
            ),
            values.source.where(path, str(path[-1])),
        )
    values.length(entry.becomes or "", (*path, "becomes"))


def _needs(build: BuildFile, entries: list[tuple[str, StepEntry]], index: int) -> tuple[str, ...]:
    step, entry = entries[index]
    path: Path = ("steps", step)
    named = entry.needs
    if named is None:
        named = [entries[index - 1][0]] if index else []
    said: dict[str, list[str]] = {
        "needs": named,
        "needs_also": list(entry.needs_also),
        "after": [after.step for after in entry.after],
        "closes": [entry.closes] if entry.closes else [],
    }
    for key, others in said.items():
        for other in others:
            _known(build, (*path, key), say("a step"), other, build.entry.steps)
    return tuple(dict.fromkeys(other for others in said.values() for other in others))


def _check_closings(build: BuildFile, entries: list[tuple[str, StepEntry]]) -> None:
    """Every glue that is spread is closed by one step, so that its open time is watched."""
    closed = [entry.closes for _, entry in entries if entry.closes is not None]
    for step, entry in entries:
        if entry.role == "spread" and closed.count(step) != 1:
            many = say("nothing closes it") if step not in closed else say("two steps close it")
            raise BuildFileError(
                say(
                    "step '{step}' spreads glue, and {many}; one step must say 'closes: {step}'",
                    step=step,
                    many=many,
                ),
                build.source.where(("steps", step), step),
            )


def _waits(build: BuildFile, step: str, entry: StepEntry) -> list[WaitRule]:
    path: Path = ("steps", step)
    rules = [
        read_limit(build, step, entry, after, index)
        if is_limit(build, step, after, index)
        else WaitRule(
            WaitKind(after.wait),
            after.step,
            step,
            _supply_of(build, path, after.step, after.wait),
            _timer(build, after.step),
        )
        for index, after in enumerate(entry.after)
    ]
    if entry.closes is not None:
        spread = build.entry.steps[entry.closes]
        if spread.role != "spread" or spread.glue != entry.glue or entry.glue is None:
            raise BuildFileError(
                say(
                    "step '{step}' closes '{closes}', which does not spread the same glue",
                    step=step,
                    closes=entry.closes,
                ),
                build.source.where((*path, "closes"), step),
            )
        rules.append(
            WaitRule(WaitKind.OPEN, entry.closes, step, entry.glue, _timer(build, entry.closes))
        )
    return rules


def _timer(build: BuildFile, step: str) -> str:
    """The timer's name: the author's word, else what it waits for."""
    entry = build.entry.steps[step]
    return entry.timer or (say("glue") if entry.glue else say("paint"))


def _supply_of(build: BuildFile, path: Path, after: str, wait: str) -> str:
    entry = build.entry.steps[after]
    supply = entry.glue if wait in ("clamp", "cure") else entry.paint
    if supply is None:
        wanted = "glue" if wait in ("clamp", "cure") else "paint"
        raise BuildFileError(
            say(
                "step '{path}' waits ({wait}) for '{after}', which uses no {wanted}",
                path=path[1],
                wait=wait,
                after=after,
                wanted=wanted,
            ),
            build.source.where(path, str(path[1])),
        )
    return supply


def _takes(build: BuildFile, values: Values, step: str, entry: StepEntry) -> list[TakeRule]:
    for take in entry.takes:
        _known(build, ("steps", step), say("a step"), take.until, build.entry.steps)
    return [
        TakeRule(t.resource, t.amount, step, t.until, _reach(build, values, step, i, t))
        for i, t in enumerate(entry.takes)
    ]


def _reach(build: BuildFile, values: Values, step: str, number: int, take: TakesEntry) -> Length:
    """How far its clamps must reach; 0 where any will do."""
    if take.reach is None:
        return ZERO
    path: Path = ("steps", step, "takes", number, "reach")
    reach = values.distance(take.reach, path)
    if take.resource == "clamps" and reach > ZERO:
        return reach
    problem = say(
        "has '{reach}' as the reach of its clamps; give a length above 0", reach=take.reach
    )
    if take.resource != "clamps":
        problem = say(
            "gives a reach to {resource}; only clamps have one",
            resource=take.resource.replace("_", " "),
        )
    raise BuildFileError(
        say("step '{step}' {problem}", step=step, problem=problem), build.source.where(path, step)
    )
