"""Longest waits of hours to weeks: kept by the order, put off or pulled forward, or refused.

Held against every order of small random batches, tried one by one; shares no code with the
sequencer. Data invented.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise, permutations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopstep.model.plan import Level, Prefer
from shopstep.model.step import Step, Wait, WaitKind
from shopstep.sequence.schedule import schedule_steps
from tests.schedule_checker import violations
from tests.schedule_samples import BEGIN_S, DAY, MIN, H, least, make_shop, schedule, step

OPEN_S, CLOSE_S = 18 * H, 21 * H


def within(after: str, before: str, minutes: int, late: str = "Sand again.") -> Wait:
    """A longest wait."""
    name = f"{after}:within:{before}"
    seconds = minutes * MIN
    return Wait(name, WaitKind.WITHIN, "coat", after, before, seconds, "invented", late)


def spans(steps: tuple[Step, ...]) -> dict[str, tuple[int, int]]:
    return {s.id: (s.start_s, s.end_s) for s in steps}


def test_the_earlier_step_is_put_off_where_the_later_cannot_come_sooner() -> None:
    steps = (step("sand", 10), step("glue", 10), step("prime", 10, "sand", "glue"))
    waits = (least("glue", "prime", 3 * 24 * 60), within("sand", "prime", 24 * 60))
    made = spans(schedule(steps, waits).steps)
    # the glue takes three days whatever is done, so sanding waits for it
    assert made["prime"][0] - made["glue"][1] >= 3 * DAY
    assert 0 <= made["prime"][0] - made["sand"][1] <= DAY
    assert made["sand"][0] >= BEGIN_S + 2 * DAY


def test_the_later_step_is_pulled_forward_where_other_work_would_come_between() -> None:
    sand = tuple(step(f"u{u}/sand", 30, unit=u) for u in range(1, 7))
    other = tuple(step(f"u{u}/other", 60, unit=u) for u in range(1, 13))
    prime = tuple(step(f"u{u}/prime", 30, f"u{u}/sand", unit=u) for u in range(1, 7))
    waits = tuple(within(f"u{u}/sand", f"u{u}/prime", 24 * 60) for u in range(1, 7))
    made = schedule((*sand, *other, *prime), waits)
    assert made.steps
    loose = schedule((*sand, *other, *prime))
    assert max(s.end_s for s in made.steps) <= max(s.end_s for s in loose.steps)


def test_what_no_order_can_keep_is_refused_with_the_limit_and_what_stands_between() -> None:
    steps = (step("sand", 10), step("fill", 10, "sand"), step("prime", 10, "fill"))
    waits = (least("fill", "prime", 48 * 60), within("sand", "prime", 24 * 60))
    (finding,) = schedule(steps, waits).findings
    assert (finding.level, finding.rule, finding.where.name) == (Level.STOP, "put_off", "prime")
    assert "within 1 day after 'sand'" in finding.text
    assert "at least 2 days 10 min" in finding.text
    loosened = (waits[0], within("sand", "prime", 3 * 24 * 60))
    assert schedule(steps, loosened).steps


def test_hours_that_never_meet_the_limit_are_refused_too() -> None:
    # nothing stands between but a wait of 4 h, and an evening is 3 h long: the next is 24 h away
    steps = (step("sand", 10), step("prime", 10, "sand"))
    waits = (least("sand", "prime", 4 * 60), within("sand", "prime", 5 * 60))
    (finding,) = schedule(steps, waits).findings
    assert finding.rule == "put_off"
    assert "No order of the steps was found" in finding.text
    assert "too late" in finding.text


def test_a_limit_inside_what_follows_at_once_counts_too() -> None:
    steps = (
        step("sand", 10),
        step("wipe", 40, "sand", behind="sand"),
        step("prime", 10, "wipe", behind="wipe"),
    )
    assert schedule(steps, (within("sand", "prime", 40),)).steps
    (finding,) = schedule(steps, (within("sand", "prime", 39),)).findings
    assert finding.rule == "put_off"
    assert "'prime' begins within 39 min of the end of 'sand'" in finding.text


def test_a_limit_that_runs_pulls_its_step_forward() -> None:
    other = tuple(step(f"u{u}/other", 170, unit=u) for u in range(1, 6))
    steps = (step("sand", 10), *other, step("prime", 10, "sand"))
    done = {"sand": (BEGIN_S, BEGIN_S + 10 * MIN)}
    made = schedule(steps, (within("sand", "prime", 49 * 60),), begin_s=BEGIN_S + H, fixed=done)
    assert made.findings == ()
    assert spans(made.steps)["prime"][0] <= BEGIN_S + 10 * MIN + 49 * H


def test_late_is_said_and_not_refused_where_the_earlier_step_is_done() -> None:
    steps = (step("sand", 10), step("prime", 10, "sand"))
    done = {"sand": (BEGIN_S - 3 * DAY, BEGIN_S - 3 * DAY + 10 * MIN)}
    made = schedule(steps, (within("sand", "prime", 24 * 60),), fixed=done)
    (finding,) = made.findings
    assert made.steps
    assert (finding.level, finding.rule) == (Level.WARN, "put_off_late")
    assert "'prime' begins 1 day 23 h later than the 1 day after 'sand'" in finding.text
    assert finding.sentence.endswith("Sand again.")


def test_nothing_is_said_where_both_are_done() -> None:
    steps = (step("sand", 10), step("prime", 10, "sand"), step("look", 5, "prime"))
    done = {
        "sand": (BEGIN_S - 3 * DAY, BEGIN_S - 3 * DAY + 10 * MIN),
        "prime": (BEGIN_S - H, BEGIN_S - H + 10 * MIN),
    }
    assert schedule(steps, (within("sand", "prime", 60),), fixed=done).findings == ()


def test_a_batch_under_way_is_not_refused_for_what_is_still_ahead() -> None:
    steps = (step("rip", 5), step("sand", 10, "rip"), step("prime", 10, "sand"))
    waits = (least("sand", "prime", 48 * 60), within("sand", "prime", 24 * 60))
    made = schedule_steps(steps, waits, (), make_shop(), BEGIN_S, {"rip": (BEGIN_S - 300, BEGIN_S)})
    assert [(f.level, f.rule) for f in made.findings] == [(Level.WARN, "put_off_late")]
    assert len(made.steps) == 3


@dataclass(frozen=True)
class Small:
    """Steps with least and longest waits, and the longest order of a schedule."""

    steps: tuple[Step, ...]
    waits: tuple[Wait, ...]


@st.composite
def smalls(draw: st.DrawFn) -> Small:
    """Up to six steps of up to two hours; waits run forward."""
    count = draw(st.integers(2, 6))
    pairs = [(f"s{i}", f"s{j}") for i in range(count) for j in range(i + 1, count)]
    some = st.lists(st.sampled_from(pairs), max_size=4, unique=True)
    needs, waited = draw(some), draw(some)
    limited = draw(st.lists(st.sampled_from(pairs), min_size=1, max_size=3, unique=True))
    steps = tuple(
        step(f"s{j}", draw(st.integers(1, 120)), *[a for a, b in needs if b == f"s{j}"])
        for j in range(count)
    )
    leasts = tuple(least(*pair, draw(st.integers(0, 3000))) for pair in waited)
    mosts = tuple(within(*pair, draw(st.integers(15, 4500))) for pair in limited)
    return Small(steps, (*leasts, *mosts))


def fits_at(moment: int, length_s: int) -> int:
    """The first start not before a moment at which it lies inside an evening (UTC, every day)."""
    day = moment // DAY * DAY
    start = max(moment, day + OPEN_S)
    return start if start + length_s <= day + CLOSE_S else day + DAY + OPEN_S


def can_be_done(small: Small) -> bool:
    """Whether some order of the steps keeps every wait.

    In one order every rule reads "not before": a longest wait puts its earlier step off. So the
    earliest times that keep them all are found by raising starts until nothing moves.
    """
    length = {s.id: s.duration_s for s in small.steps}
    before = [(need, s.id, 0) for s in small.steps for need in s.needs]
    before += [(w.after, w.before, w.seconds) for w in small.waits if w.kind != "within"]
    before += [(w.after, w.before, 0) for w in small.waits if w.kind == "within"]
    mosts = [(w.after, w.before, w.seconds) for w in small.waits if w.kind == "within"]

    def keeps(order: tuple[str, ...]) -> bool:
        start = {name: fits_at(BEGIN_S, length[name]) for name in order}
        while max(start.values()) < BEGIN_S + 60 * DAY:
            was = dict(start)
            for one, other in pairwise(order):
                start[other] = max(start[other], start[one] + length[one])
            for one, other, wait in before:
                start[other] = max(start[other], start[one] + length[one] + wait)
            for one, other, most in mosts:
                start[one] = max(start[one], start[other] - most - length[one])
            start = {name: fits_at(moment, length[name]) for name, moment in start.items()}
            if start == was:
                return True
        return False

    return any(
        keeps(order)
        for order in permutations(length)
        if all(order.index(one) < order.index(other) for one, other, _ in before)
    )


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(smalls())
def test_a_small_batch_is_refused_just_where_no_order_keeps_its_limits(small: Small) -> None:
    # ``schedule`` asserts that the independent checker finds nothing
    made = schedule(small.steps, small.waits)
    if can_be_done(small):
        assert made.steps, made.findings
        return
    assert not made.steps
    (finding,) = made.findings
    assert (finding.level, finding.rule) == (Level.STOP, "put_off")
    limits = [w for w in small.waits if w.kind == "within"]
    assert any(f"'{w.after}'" in finding.text and w.before == finding.where.name for w in limits)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(smalls())
def test_more_time_never_makes_a_batch_impossible_and_no_bound_is_above_the_plan(
    small: Small,
) -> None:
    tight = schedule(small.steps, small.waits)
    loose = schedule(
        small.steps,
        tuple(replace(w, seconds=2 * w.seconds) if w.kind == "within" else w for w in small.waits),
    )
    assert bool(loose.steps) >= bool(tight.steps)
    if tight.steps:
        evenings = {s.start_s // DAY for s in tight.steps}
        assert tight.least_evenings <= len(evenings)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(smalls(), st.integers(0, 5), st.integers(0, 20 * DAY), st.sampled_from(list(Prefer)))
def test_what_is_left_is_always_planned_again_however_late(
    small: Small, done: int, later_s: int, prefer: Prefer
) -> None:
    first = schedule(small.steps, small.waits).steps
    fixed = spans(first[:done])
    if not fixed:
        return
    now = max(end for _, end in fixed.values()) + later_s
    shop = replace(make_shop(), prefer=prefer)
    like = {s.id: s.start_s for s in first}
    made = schedule_steps(small.steps, small.waits, (), shop, now, fixed, like)
    assert made == schedule_steps(small.steps, small.waits, (), shop, now, fixed, like)
    assert {f.rule for f in made.findings} <= {"put_off_late"}
    late = {f.where.name for f in made.findings}
    kept = tuple(w for w in small.waits if w.kind != "within" or w.before not in late)
    assert violations(small.steps, made.steps, kept, (), shop, now, fixed) == []
