"""A chart of the evenings: hands, machines, clamps, bench places and what waits, against the clock.

As lines for a terminal and as SVG (https://www.w3.org/TR/SVG11/). Imports ``model`` and the
evenings of this room.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

from shopstep.model.plan import Plan
from shopstep.present.evenings import EveningPlan, plan_evenings
from shopstep.present.moments import day_words, local_time
from shopstep.present.put_off import by_lines
from shopstep.words import say, to_say

CELLS = 60
"""Columns of one evening on a terminal."""
_LABEL = 10
_FULL, _EMPTY = "█", "·"
KEY = to_say("█ at work · nothing; a digit says how many clamps are on, or how much waits")
"""What stands under the charts on a terminal; + is more than nine."""
HOUR_S = 3600
BENCH = "bench_places"

Span = tuple[int, int]
"""Start and end, seconds since 1970 UTC."""


@dataclass(frozen=True, slots=True)
class EveningChart:
    """What happens when in one evening."""

    evening: EveningPlan
    begin_s: int
    end_s: int
    hands: tuple[Span, ...]
    machine: tuple[Span, ...]
    clamps: tuple[tuple[int, Span], ...]
    """How many, while."""
    waits: tuple[Span, ...]
    """Glue that sets and paint that dries, each once."""
    bench: tuple[tuple[int, Span], ...] = ()
    """How many bench places are taken, while."""


def chart_evenings(plan: Plan) -> tuple[EveningChart, ...]:
    """One chart for each evening, from a whole hour before its work on.

    All are as long as the longest, to a whole hour after its work: an hour is as wide in each.
    """
    evenings = plan_evenings(plan)
    longest_s = max((_hours_to(evening) for evening in evenings), default=0)
    return tuple(_chart(plan, evening, longest_s) for evening in evenings)


def _hours_to(evening: EveningPlan) -> int:
    """Seconds from the whole hour before the work to the whole hour after it."""
    return -(-evening.end_s // HOUR_S) * HOUR_S - evening.start_s // HOUR_S * HOUR_S


def _chart(plan: Plan, evening: EveningPlan, length_s: int) -> EveningChart:
    begin_s = evening.start_s // HOUR_S * HOUR_S
    end_s = begin_s + length_s
    starts = {step.id: step.start_s for step in plan.steps}
    ends = {step.id: step.end_s for step in plan.steps}
    waits = {
        (ends[wait.after], ends[wait.after] + wait.seconds)
        for wait in plan.waits
        if wait.is_least and wait.after in ends
    }
    inside = (begin_s, end_s)

    def held(resource: str) -> tuple[tuple[int, Span], ...]:
        spans = [
            (hold.amount, (starts[hold.first], starts[hold.last]))
            for hold in plan.holds
            if hold.resource == resource and hold.first in starts and hold.last in starts
        ]
        return tuple((amount, span) for amount, span in spans if _meet(span, inside))

    return EveningChart(
        evening,
        begin_s,
        end_s,
        tuple((s.start_s, s.end_s) for s in evening.steps if not s.resources),
        tuple((s.start_s, s.end_s) for s in evening.steps if s.resources),
        held("clamps"),
        tuple(sorted(span for span in waits if _meet(span, inside))),
        held(BENCH),
    )


def _meet(one: Span, other: Span) -> bool:
    return one[0] < other[1] and other[0] < one[1]


def chart_lines(plan: Plan) -> list[str]:
    """The charts for a terminal; a cell is full where work fills any of it."""
    lines: list[str] = []
    ends = {step.id: step.end_s for step in plan.steps}
    for number, chart in enumerate(chart_evenings(plan), 1):
        first, last = (local_time(at, plan.zone) for at in (chart.begin_s, chart.end_s))
        day = f"{number}. {day_words(chart.evening.day)}"
        lines.append(day)
        lines.append(f"{'':{_LABEL}}{first}{last:>{CELLS - len(first)}}")
        lines.append(_bar("machine", chart, chart.machine))
        lines.append(_bar("hands", chart, chart.hands))
        lines.append(_count("clamps", chart, chart.clamps))
        if _takes_bench(plan):
            lines.append(_count("bench", chart, chart.bench))
        lines.append(_count("waiting", chart, [(1, span) for span in chart.waits]))
        lines += by_lines(plan, ends, chart.begin_s, chart.end_s)
    lines.append(say(KEY))
    return [line.rstrip() for line in lines]


def _takes_bench(plan: Plan) -> bool:
    """Whether any step takes a place on the bench; else it has no lane."""
    return any(hold.resource == BENCH for hold in plan.holds)


def _cells(chart: EveningChart) -> list[Span]:
    length = chart.end_s - chart.begin_s
    edges = [chart.begin_s + length * cell // CELLS for cell in range(CELLS + 1)]
    return list(itertools.pairwise(edges))


def _bar(name: str, chart: EveningChart, spans: Iterable[Span]) -> str:
    told = tuple(spans)
    body = "".join(
        _FULL if any(_meet(span, cell) for span in told) else _EMPTY for cell in _cells(chart)
    )
    return f"{name:{_LABEL}}{body}"


def _count(name: str, chart: EveningChart, held: Iterable[tuple[int, Span]]) -> str:
    """The most that is held in each cell; ``+`` for more than nine."""
    told = tuple(held)
    body = ""
    for cell in _cells(chart):
        count = sum(amount for amount, span in told if _meet(span, cell))
        body += _EMPTY if not count else str(count) if count < 10 else "+"
    return f"{name:{_LABEL}}{body}"


_ROW, _BAR, _LEFT, _WIDE, _RIGHT = 18, 12, 120, 640, 50
_LANES = (
    ("machine", "#7a3b00"),
    ("hands", "#00557a"),
    ("clamps", "#555555"),
    ("bench", "#2f6b3a"),
    ("waiting", "#9a8400"),
)


def _lanes(plan: Plan) -> list[tuple[str, str]]:
    return [lane for lane in _LANES if lane[0] != "bench" or _takes_bench(plan)]


def chart_svg(plan: Plan) -> str:
    """The charts as one SVG picture; every bar says its time when it is pointed at."""
    charts = chart_evenings(plan)
    high = _ROW * (len(_lanes(plan)) + 2)
    rows = "\n".join(_svg_evening(plan, chart, high * n) for n, chart in enumerate(charts))
    width, height = _LEFT + _WIDE + _RIGHT, high * len(charts) + 10
    title = escape(
        say("{build_title}: {charts} evenings", build_title=plan.build_title, charts=len(charts))
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" font-family="sans-serif" font-size="12">\n'
        f"<title>{title}</title>\n"
        f'<rect width="{width}" height="{height}" fill="#ffffff"/>\n{rows}\n</svg>\n'
    )


def _svg_evening(plan: Plan, chart: EveningChart, top: int) -> str:
    day = escape(day_words(chart.evening.day))
    parts = [f'<text x="4" y="{top + 14}" font-weight="bold">{day}</text>']
    foot = top + _ROW * (len(_lanes(plan)) + 1) + 4
    for moment in range(chart.begin_s, chart.end_s + 1, HOUR_S):
        x = _x(chart, moment)
        parts.append(
            f'<line x1="{x}" x2="{x}" y1="{top + _ROW}" y2="{foot}" '
            f'stroke="#cccccc"/><text x="{x + 2}" y="{top + 14}" fill="#555555">'
            f"{local_time(moment, plan.zone)}</text>"
        )
    spans = {
        "machine": chart.machine,
        "hands": chart.hands,
        "clamps": tuple(span for _, span in chart.clamps),
        "bench": tuple(span for _, span in chart.bench),
        "waiting": chart.waits,
    }
    for lane, (name, colour) in enumerate(_lanes(plan), 1):
        y = top + _ROW * lane
        parts.append(f'<text x="4" y="{y + 11}">{name}</text>')
        parts += [_svg_bar(plan, chart, span, y, colour) for span in spans[name]]
    return "\n".join(parts)


def _svg_bar(plan: Plan, chart: EveningChart, span: Span, y: int, colour: str) -> str:
    first, last = max(span[0], chart.begin_s), min(span[1], chart.end_s)
    x, width = _x(chart, first), max(1, _x(chart, last) - _x(chart, first))
    told = say(
        "{time} to {time_2}",
        time=local_time(span[0], plan.zone),
        time_2=local_time(span[1], plan.zone),
    )
    return (
        f'<rect x="{x}" y="{y}" width="{width}" height="{_BAR}" fill="{colour}" '
        f'fill-opacity="0.7" stroke="#ffffff"><title>{told}</title></rect>'
    )


def _x(chart: EveningChart, moment_s: int) -> int:
    return _LEFT + _WIDE * (moment_s - chart.begin_s) // (chart.end_s - chart.begin_s)
