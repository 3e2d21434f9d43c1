"""Steps that need each other in a circle: found while the build is read, with the line.

Takes the needs as resolved, and the steps until which something of the shop stays in use.
"""

from __future__ import annotations

from collections.abc import Mapping

from shopstep.design.build_file import BuildFile
from shopstep.design.yaml_source import Path
from shopstep.model.plan import BuildFileError
from shopstep.words import say


def refuse_circles(build: BuildFile, needs: Mapping[str, tuple[str, ...]]) -> None:
    """BuildFileError for a step that needs itself, or that comes before and after another."""
    before = {step: set(named) for step, named in needs.items()}
    for step, entry in build.entry.steps.items():
        for take in entry.takes:
            before.setdefault(take.until, set()).add(step)
    done: set[str] = set()
    for step in before:
        ring = _ring_from(step, before, done)
        if ring:
            raise _complaint(build, ring)


def _ring_from(start: str, before: Mapping[str, set[str]], done: set[str]) -> list[str]:
    """A circle that can be reached from a step, or nothing; without recursion."""
    way = [start]
    ahead = [iter(sorted(before[start]))] if start not in done else []
    while ahead:
        step = next(ahead[-1], None)
        if step is None:
            done.add(way.pop())
            ahead.pop()
        elif step in way:
            return way[way.index(step) :]
        elif step in before and step not in done:
            way.append(step)
            ahead.append(iter(sorted(before[step])))
    return []


def _complaint(build: BuildFile, ring: list[str]) -> BuildFileError:
    """Names the ring in the order of the work, at the step of it that stands last in the file."""
    order = list(build.entry.steps)
    last = max(ring, key=order.index)
    where = build.source.where(_written(build, last, set(ring)), last)
    if len(ring) == 1:
        return BuildFileError(
            say("step '{last}' comes before itself; name another step", last=last), where
        )
    turned = ring[::-1]
    start = turned.index(min(ring, key=order.index))
    said = " → ".join([*turned[start:], *turned[:start], turned[start]])
    return BuildFileError(
        say("these steps go round in a circle: {said}; take one of their needs away", said=said),
        where,
    )


def _written(build: BuildFile, step: str, ring: set[str]) -> Path:
    """Where the step says what it needs of the ring; the step itself where it does not say it."""
    entry = build.entry.steps[step]
    lists: tuple[tuple[Path, list[str]], ...] = (
        (("needs",), entry.needs or []),
        (("needs_also",), entry.needs_also),
        *(((("after", i, "step"), [after.step]) for i, after in enumerate(entry.after))),
        *(((("takes", i, "until"), [take.until]) for i, take in enumerate(entry.takes))),
        (("closes",), [entry.closes] if entry.closes else []),
    )
    named = [place for place, steps in lists if ring.intersection(steps)]
    return ("steps", step, *(named[0] if named else ()))
