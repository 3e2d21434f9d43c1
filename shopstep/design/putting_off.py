"""Longest waits as a build writes them: how long a step may be put off after another one.

Imports the build file's shapes and ``model``.
"""

from __future__ import annotations

from shopstep.design.build_file import BuildFile
from shopstep.design.schema_steps import AfterEntry, StepEntry
from shopstep.design.yaml_source import Path
from shopstep.model.plan import BuildFileError
from shopstep.model.step import WaitKind, WaitRule
from shopstep.units import UnitError, format_span, parse_duration
from shopstep.words import say

LEAST_S, MOST_S = 900, 366 * 86_400
"""A shorter span is open time or 'at_once'; a longer one limits nothing."""
COMMON = "common practice, no source"
_ONLY_WITHIN = ("at_most", "row", "late", "source", "timer")


def is_limit(build: BuildFile, step: str, entry: AfterEntry, index: int) -> bool:
    """Whether the entry is a longest wait; BuildFileError where its words do not go together."""
    if entry.wait == "within":
        return True
    extra = next((name for name in _ONLY_WITHIN if getattr(entry, name)), None)
    if extra is not None:
        raise _wrong(
            build,
            step,
            index,
            say("gives '{extra}' to '{wait}'; only within has one", extra=extra, wait=entry.wait),
        )
    return False


def read_limit(
    build: BuildFile, step: str, entry: StepEntry, after: AfterEntry, index: int
) -> WaitRule:
    """The rule of one longest wait; the span is from the build, or its row names it."""
    if (after.at_most is None) is (after.row is None):
        text = say("says 'within' and needs at_most: '14 d' or row: NAME, one of the two")
        raise _wrong(build, step, index, text)
    if after.row is not None and after.source is not None:
        raise _wrong(build, step, index, say("gives a source, but the row has its own"))
    return WaitRule(
        WaitKind.WITHIN,
        after.step,
        step,
        supply="",
        title=after.timer or entry.timer or _first_small(entry.title)[:30],
        seconds=_seconds(build, step, index, after.at_most) if after.at_most else 0,
        row=after.row or "",
        source=after.source or COMMON,
        late=after.late or "",
    )


def _seconds(build: BuildFile, step: str, index: int, text: str) -> int:
    try:
        seconds = parse_duration(text).s
    except UnitError as problem:
        raise _wrong(
            build, step, index, say("says within, and {problem}", problem=problem)
        ) from None
    if not LEAST_S <= seconds <= MOST_S:
        said = say(
            "{least} to {most} is possible", least=format_span(LEAST_S), most=format_span(MOST_S)
        )
        raise _wrong(build, step, index, say("says within '{text}'; {said}", text=text, said=said))
    return seconds


def _first_small(title: str) -> str:
    return f"{title[:1].lower()}{title[1:]}"


def _wrong(build: BuildFile, step: str, index: int, text: str) -> BuildFileError:
    path: Path = ("steps", step, "after", index)
    return BuildFileError(
        say("step '{step}' {text}", step=step, text=text), build.source.where(path, step)
    )
