"""The chart of the evenings: every bar is where its step is, in the lines and in the picture."""

from __future__ import annotations

import itertools
from xml.etree import ElementTree

from shopstep.model.plan import Plan
from shopstep.present.chart import CELLS, KEY, chart_evenings, chart_lines, chart_svg
from shopstep.present.evenings import plan_evenings
from tests.floor import floor_plan

SVG = "{http://www.w3.org/2000/svg}"


def test_every_minute_of_work_is_in_one_of_the_two_bars() -> None:
    plan = floor_plan(units=2)
    for chart, evening in zip(chart_evenings(plan), plan_evenings(plan), strict=True):
        shown = sorted((*chart.hands, *chart.machine))
        assert shown == sorted((step.start_s, step.end_s) for step in evening.steps)
        assert chart.begin_s <= evening.start_s
        assert evening.end_s <= chart.end_s
        # one person: the two bars never overlap
        assert all(one[1] <= other[0] for one, other in itertools.pairwise(shown))


def bars(plan: Plan) -> list[str]:
    """The lines of the charts without what has to begin by when."""
    return [line for line in chart_lines(plan) if not line.startswith(("Begin by ", KEY))]


def test_the_lines_show_work_where_it_is() -> None:
    plan = floor_plan(units=1)
    lines = bars(plan)
    charts = chart_evenings(plan)
    assert len(lines) == 6 * len(charts)
    for number, chart in enumerate(charts):
        machine, hands = (lines[6 * number + row][10:].ljust(CELLS) for row in (2, 3))
        length = chart.end_s - chart.begin_s
        for cell in range(CELLS):
            begin = chart.begin_s + length * cell // CELLS
            end = chart.begin_s + length * (cell + 1) // CELLS
            for bar, spans in ((machine, chart.machine), (hands, chart.hands)):
                works = any(s < end and begin < e for s, e in spans)
                assert (bar[cell] == "█") == works


def test_clamps_are_counted_while_they_are_on() -> None:
    plan = floor_plan(units=2)
    lines = bars(plan)
    most = max(
        int(mark)
        for number in range(len(chart_evenings(plan)))
        for mark in lines[6 * number + 4][10:]
        if mark.isdigit()
    )
    # by hand: two clamps for each of two frames
    assert most == 4


def test_the_picture_is_whole_and_its_bars_say_their_times() -> None:
    plan = floor_plan(units=1)
    root = ElementTree.fromstring(chart_svg(plan))
    assert root.tag == f"{SVG}svg"
    bars = [rect for rect in root.iter(f"{SVG}rect") if rect.find(f"{SVG}title") is not None]
    work = sum(len(chart.hands) + len(chart.machine) for chart in chart_evenings(plan))
    assert len(bars) >= work == len(plan.steps)
    assert all(" to " in str(bar.find(f"{SVG}title").text) for bar in bars)  # type: ignore[union-attr]
    wide = float(root.attrib["width"])
    for bar in bars:
        assert 0 <= float(bar.attrib["x"]) <= wide
        assert float(bar.attrib["x"]) + float(bar.attrib["width"]) <= wide


def test_an_hour_is_as_wide_on_every_evening() -> None:
    charts = chart_evenings(floor_plan())
    assert len({chart.end_s - chart.begin_s for chart in charts}) == 1
    for chart in charts:
        assert chart.begin_s <= chart.evening.start_s < chart.begin_s + 3600
        assert chart.evening.end_s <= chart.end_s
