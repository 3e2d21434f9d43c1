"""A batch in a real file that was built from paper: every tick entered in one go."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from random import Random

from shopstep.session import commands as c
from shopstep.session.paper_ticks import Asked, asked_until, find_until
from shopstep.session.situation import Situation
from shopstep.wiring.benches import OpenSession
from shopstep.workbench import Accepted
from tests.floor import BEGIN_S
from tests.rack_bench import RackBench, new_id

A_MONTH_S = 30 * 86400


def written(at_s: int) -> str:
    """A moment as it is written down on paper."""
    return datetime.fromtimestamp(at_s, UTC).strftime("%Y-%m-%d %H:%M")


def worked(situation: Situation, asked: Asked, draw: Random) -> dict[str, str]:
    """Times of joints and coats of somebody who works in the asked order and keeps all waits."""
    done = dict(situation.state.finished)
    at_s = situation.state.started_s
    told: dict[str, str] = {}
    names = {each.step: each.is_joint for each in asked.times}
    for step in asked.steps:
        waits = situation.index.waits_before.get(step.id, ())
        dues = [done[wait.after] + wait.seconds for wait in waits if wait.is_least]
        idle_s = 0 if names.get(step.id) else draw.choice((0, 0, 0, 60, 1800))
        at_s = -(-(max(at_s, *dues, 0) + step.duration_s + idle_s) // 60) * 60
        done[step.id] = at_s
        if step.id in names:
            told[step.id] = written(at_s)
    return told


def as_planned(until: str, asked: Asked, times: dict[str, str]) -> c.EnterTicks:
    """All that is asked, with every number as planned and every caution kept."""
    return c.EnterTicks(
        id=new_id(),
        step=until,
        times=tuple(c.ToldTime(step, clock) for step, clock in times.items()),
        readings=tuple(c.ToldReading(a.step, a.check.name, a.expected) for a in asked.numbers),
        cautions_read=True,
    )


def build_from_paper(path: Path, units: int = 1, *, uses_rack: bool = False) -> OpenSession:
    """A complete batch of floors, entered a month later."""
    batch = RackBench(path, units, uses_rack=uses_rack)
    batch.clock.at_s = BEGIN_S + A_MONTH_S
    bench = batch.opened.bench
    batch.do(c.ReadLabel(id=new_id(), step="u1/glue/spread_left", seconds=0))
    situation = Situation(bench.state, bench.plan, batch.clock.at_s)
    until = bench.plan.steps[-1].id
    step = find_until(situation, until)
    assert not isinstance(step, c.Refusal)
    asked = asked_until(situation, step)
    assert not isinstance(asked, c.Refusal)
    answer = bench.do(as_planned(until, asked, worked(situation, asked, Random(7))))
    assert isinstance(answer, Accepted), answer
    assert bench.state.completed_s is not None
    return batch.opened
