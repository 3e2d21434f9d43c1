"""What the keeper gives: measurements and choices, against what the build asks for."""

from __future__ import annotations

import re
from dataclasses import dataclass

from shopstep.design.build_file import BuildFile
from shopstep.design.nearest import did_you_mean
from shopstep.design.values import Values
from shopstep.model.plan import BuildFileError, Finding, Level, Measured, Where
from shopstep.units import Length, UnitError, format_length, parse_length
from shopstep.words import say, to_say

AT_BENCH = to_say("read at the bench")
_NAME = re.compile(r"[a-z][a-z0-9_]*")


@dataclass(frozen=True, slots=True)
class Inputs:
    """Measurements and choices as they enter the design, with what was wrong with them."""

    measured: tuple[Measured, ...]
    choices: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]


def define_inputs(
    build: BuildFile, values: Values, given: tuple[tuple[str, str], ...], display: str
) -> Inputs:
    """Name all measurements and choices in ``values``.

    A value outside its range is a finding of level stop; what is no length, and a name that the
    build does not ask for, raise BuildFileError.
    """
    asked = set(build.entry.measurements) | set(build.entry.choices)
    for name, _ in given:
        if name not in asked:
            raise BuildFileError(
                say(
                    "'{name}' is no measurement or choice of this build{did_you_mean}",
                    name=name,
                    did_you_mean=did_you_mean(name, asked),
                ),
                Where("--set", 0, name),
            )
    chosen = dict(given)
    choices = _define_choices(build, values, chosen)
    measured = _define_measurements(build, values, chosen)
    return Inputs(measured, choices, _range_findings(build, values, measured, chosen, display))


def _define_measurements(
    build: BuildFile, values: Values, given: dict[str, str]
) -> tuple[Measured, ...]:
    """In the order of the file: a usual value may depend on what stands above it."""
    found: list[Measured] = []
    for name in build.entry.measurements:
        item = _measure(build, values, name, given.get(name))
        values.define(name, lambda value=item.value: value, ("measurements", name))  # type: ignore[misc]
        found.append(item)
    return tuple(found)


def _range_findings(
    build: BuildFile,
    values: Values,
    measured: tuple[Measured, ...],
    typed: dict[str, str],
    display: str,
) -> tuple[Finding, ...]:
    """Values outside their ranges. A range that hangs on such a value says nothing, so it is
    left out until that value is right."""
    found: dict[str, Finding] = {}
    for item in measured:
        entry = build.entry.measurements[item.name]
        if not found.keys() & set(_NAME.findall(f"{entry.least} {entry.most}")):
            finding = _range_finding(build, values, item, typed.get(item.name), display)
            if finding is not None:
                found[item.name] = finding
    return tuple(found.values())


def _define_choices(
    build: BuildFile, values: Values, given: dict[str, str]
) -> tuple[tuple[str, str], ...]:
    chosen: list[tuple[str, str]] = []
    for name, entry in build.entry.choices.items():
        path = ("choices", name)
        pick = given.get(name, entry.usual)
        if pick not in entry.options:
            where = Where("--set", 0, name) if name in given else build.source.where(path, name)
            options = say(" or ").join(f"'{option}'" for option in entry.options)
            raise BuildFileError(
                say(
                    "'{name}' is '{pick}'; it must be {options}",
                    name=name,
                    pick=pick,
                    options=options,
                ),
                where,
            )
        values.define(name, lambda pick=pick: pick, path)  # type: ignore[misc]
        for option in entry.options:
            values.define(option, lambda option=option: option, path)  # type: ignore[misc]
        chosen.append((name, pick))
    return tuple(chosen)


def _measure(build: BuildFile, values: Values, name: str, typed: str | None) -> Measured:
    entry = build.entry.measurements[name]
    if name in values.fixed:
        return Measured(name, entry.prompt, values.fixed[name], usual=False, origin=say(AT_BENCH))
    if typed is None:
        usual = values.size(entry.usual, ("measurements", name, "usual"))
        return Measured(name, entry.prompt, usual, True)
    try:
        return Measured(name, entry.prompt, parse_length(typed), False)
    except UnitError as problem:
        raise BuildFileError(f"{name}: {problem}", Where("--set", 0, name)) from None


def _range_finding(
    build: BuildFile, values: Values, item: Measured, typed: str | None, display: str
) -> Finding | None:
    entry = build.entry.measurements[item.name]
    path = ("measurements", item.name)
    least = values.length(entry.least, (*path, "least"))
    most = values.length(entry.most, (*path, "most"))
    if least > most:
        raise BuildFileError(
            say(
                "measurement '{item_name}': 'least' is more than 'most'; change them round",
                item_name=item.name,
            ),
            build.source.where((*path, "least"), item.name),
        )
    if least <= item.value <= most:
        return None
    if item.usual and all(map(_is_written, (entry.usual, entry.least, entry.most))):
        raise BuildFileError(
            say(
                "measurement '{item_name}': 'usual' is {usual}, and is not from {least} to {most}",
                item_name=item.name,
                usual=entry.usual,
                least=entry.least,
                most=entry.most,
            ),
            build.source.where((*path, "usual"), item.name),
        )

    def shown(length: Length) -> str:
        return format_length(length, display)

    return Finding(
        Level.STOP,
        "measurement_range",
        say(
            "{item_name} is {typed}; this build works from {shown} to {shown_2}.",
            item_name=item.name,
            typed=typed or shown(item.value),
            shown=shown(least),
            shown_2=shown(most),
        ),
        build.source.where(path, item.name),
        say("Measure again: {prompt}", prompt=entry.prompt),
    )


def _is_written(text: str) -> bool:
    """Whether a length stands there as such, and does not follow from other measurements."""
    try:
        parse_length(text)
    except UnitError:
        return False
    return True
