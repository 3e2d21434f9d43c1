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
        raise _wrong(build, step, index, f"gives '{extra}' to '{entry.wait}'; only within has one")
    return False


def read_limit(
    build: BuildFile, step: str, entry: StepEntry, after: AfterEntry, index: int
) -> WaitRule:
    """The rule of one longest wait; the span is from the build, or its row names it."""
    if (after.at_most is None) is (after.row is None):
        text = "says 'within' and needs at_most: '14 d' or row: NAME, one of the two"
        raise _wrong(build, step, index, text)
    if after.row is not None and after.source is not None:
        raise _wrong(build, step, index, "gives a source, but the row has its own")
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
        raise _wrong(build, step, index, f"says within, and {problem}") from None
    if not LEAST_S <= seconds <= MOST_S:
        said = f"{format_span(LEAST_S)} to {format_span(MOST_S)} is possible"
        raise _wrong(build, step, index, f"says within '{text}'; {said}")
    return seconds


def _first_small(title: str) -> str:
    return f"{title[:1].lower()}{title[1:]}"


def _wrong(build: BuildFile, step: str, index: int, text: str) -> BuildFileError:
    path: Path = ("steps", step, "after", index)
    return BuildFileError(f"step '{step}' {text}", build.source.where(path, step))
