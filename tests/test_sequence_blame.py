"""Too few clamps or places: refused only where no order exists, and what is blamed is lacking.

Held against every order of small random batches, tried one by one; shares no code with the
sequencer.
"""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopstep.model.plan import Shop
from shopstep.model.resources import ClampSet
from shopstep.model.step import Hold, Step
from shopstep.units import Length
from tests.schedule_samples import make_shop, schedule, step

LONG = Length.inches(48)
SHORT = Length.inches(24)
RESOURCES = ("clamps", "long clamps", "drying_places", "bench_places")
"""What is counted; a long clamp is a clamp of 48 in, the others reach 24 in."""
WORDS = {
    "clamps": "clamps are",
    "long clamps": "clamps of 48 in reach",
    "drying_places": "drying places",
    "bench_places": "bench places",
}


@dataclass(frozen=True)
class Batch:
    """Steps, what they hold, and how much there is."""

    steps: tuple[Step, ...]
    holds: tuple[Hold, ...]
    have: dict[str, int]
    """Of clamps: all of them, the long ones too."""


@st.composite
def batches(draw: st.DrawFn) -> Batch:
    """Up to seven steps; needs and holds run forward; little of everything."""
    count = draw(st.integers(2, 7))
    pairs = [(i, j) for i in range(count) for j in range(i + 1, count)]
    needs = draw(st.lists(st.sampled_from(pairs), max_size=4, unique=True))
    held = draw(st.lists(st.sampled_from(pairs), min_size=1, max_size=6))
    steps = tuple(
        step(f"s{j}", 5, *[f"s{i}" for i, k in needs if k == j], unit=draw(st.integers(1, 2)))
        for j in range(count)
    )
    holds = tuple(hold_of(draw(st.sampled_from(RESOURCES)), draw(st.integers(1, 2)), i, j)
                  for i, j in held)  # fmt: skip
    have = {name: draw(st.integers(2, 3)) for name in RESOURCES}
    have["clamps"] = have["long clamps"] + draw(st.integers(0, 1))
    return Batch(steps, holds, have)


def hold_of(name: str, amount: int, first: int, last: int) -> Hold:
    """A hold of one of these."""
    is_long = name == "long clamps"
    resource = "clamps" if is_long else name
    return Hold(resource, amount, f"s{first}", f"s{last}", LONG if is_long else Length(0))


def shop_with(have: dict[str, int]) -> Shop:
    """A shop that has just this; clamps of two reaches."""
    short = have["clamps"] - have["long clamps"]
    sets = (ClampSet(have["long clamps"], LONG), *([ClampSet(short, SHORT)] if short else []))
    return make_shop(
        drying_places=have["drying_places"], bench_places=have["bench_places"], sets=sets
    )


def used_by(hold: Hold) -> list[str]:
    """What a hold uses; a long clamp is a clamp as well."""
    is_long = hold.resource == "clamps" and hold.reach == LONG
    return ["clamps", "long clamps"] if is_long else [hold.resource]


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
                for name in used_by(hold):
                    used[name] += hold.amount
        return all(used[name] <= have[name] for name in RESOURCES)

    return go_on(frozenset())


@settings(max_examples=500, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(batches())
def test_a_batch_is_refused_just_where_no_order_exists_and_what_is_blamed_is_lacking(
    batch: Batch,
) -> None:
    made = schedule(batch.steps, (), batch.holds, shop_with(batch.have))
    if can_be_done(batch, batch.have):
        # ``schedule`` asserts that the independent checker finds nothing: no deadlock half-way
        assert made.steps, made.findings
        return
    assert not made.steps
    (finding,) = made.findings
    assert finding.rule == "resource_deadlock"
    blamed = [name for name, words in WORDS.items() if is_blamed(words, finding.text)]
    assert blamed, finding.text
    plenty = {name: 100 if name in blamed else have for name, have in batch.have.items()}
    plenty["clamps"] = max(plenty["clamps"], batch.have["clamps"] - batch.have["long clamps"]
                           + plenty["long clamps"])  # fmt: skip
    assert can_be_done(batch, plenty), finding.text
    assert schedule(batch.steps, (), batch.holds, shop_with(plenty)).steps


def is_blamed(words: str, text: str) -> bool:
    """Whether a resource is named; "clamps" alone stands before "and" or "are"."""
    return words in text or (words == "clamps are" and "clamps and" in text)
