"""Too few clamps: refused only where no order exists, and what is blamed is what is lacking.

Held against every order of small random batches, tried one by one; shares no code with the
sequencer.
"""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopstep.model.step import Hold, Step
from tests.schedule_samples import make_shop, schedule, step

RESOURCES = ("clamps", "drying_places")


@dataclass(frozen=True)
class Batch:
    """Steps, what they hold, and how much there is."""

    steps: tuple[Step, ...]
    holds: tuple[Hold, ...]
    have: dict[str, int]


@st.composite
def batches(draw: st.DrawFn) -> Batch:
    """Up to seven steps; needs and holds run forward; little of everything."""
    count = draw(st.integers(2, 7))
    pairs = [(i, j) for i in range(count) for j in range(i + 1, count)]
    needs = draw(st.lists(st.sampled_from(pairs), max_size=4, unique=True))
    held = draw(st.lists(st.sampled_from(pairs), min_size=1, max_size=5))
    steps = tuple(
        step(f"s{j}", 5, *[f"s{i}" for i, k in needs if k == j], unit=draw(st.integers(1, 2)))
        for j in range(count)
    )
    holds = tuple(
        Hold(draw(st.sampled_from(RESOURCES)), draw(st.integers(1, 2)), f"s{i}", f"s{j}")
        for i, j in held
    )
    have = {name: draw(st.integers(2, 3)) for name in RESOURCES}
    return Batch(steps, holds, have)


def can_be_done(batch: Batch, have: dict[str, int]) -> bool:
    """Whether some order of the steps never takes more than there is."""
    after = {s.id: set(s.needs) for s in batch.steps}
    for hold in batch.holds:
        after[hold.last].add(hold.first)
    seen: set[frozenset[str]] = set()

    def go_on(done: frozenset[str]) -> bool:
        if len(done) == len(batch.steps):
            return True
        if done in seen:
            return False
        seen.add(done)
        return any(
            go_on(done | {s.id})
            for s in batch.steps
            if s.id not in done and after[s.id] <= done and fits(done, s.id)
        )

    def fits(done: frozenset[str], beginning: str) -> bool:
        now = done | {beginning}
        used = dict.fromkeys(RESOURCES, 0)
        for hold in batch.holds:
            if hold.first in now and hold.last not in now:
                used[hold.resource] += hold.amount
        return all(used[name] <= have[name] for name in RESOURCES)

    return go_on(frozenset())


@settings(max_examples=500, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(batches())
def test_a_batch_is_refused_just_where_no_order_exists_and_what_is_blamed_is_lacking(
    batch: Batch,
) -> None:
    shop = make_shop(clamps=batch.have["clamps"], drying_places=batch.have["drying_places"])
    made = schedule(batch.steps, (), batch.holds, shop)
    if can_be_done(batch, batch.have):
        # ``schedule`` asserts that the independent checker finds nothing: no deadlock half-way
        assert made.steps, made.findings
        return
    assert not made.steps
    (finding,) = made.findings
    assert finding.rule == "resource_deadlock"
    blamed = [name for name in RESOURCES if name.replace("_", " ") in finding.text]
    assert blamed
    plenty = {name: 100 if name in blamed else have for name, have in batch.have.items()}
    assert can_be_done(batch, plenty), finding.text
    loose = make_shop(clamps=plenty["clamps"], drying_places=plenty["drying_places"])
    assert schedule(batch.steps, (), batch.holds, loose).steps
