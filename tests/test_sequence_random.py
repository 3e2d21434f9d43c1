"""Small random problems, judged by the independent checker."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopstep.model.plan import Calendar, Level, OtherDay, Shop
from shopstep.model.resources import ClampSet, HelperTime
from shopstep.model.step import Hold, Step, Wait
from shopstep.units import Length
from tests.schedule_samples import BEGIN_S, DAY, least, make_shop, opened, schedule, step

FIRST_DAY = datetime.fromtimestamp(BEGIN_S, UTC).date()
CLAMP_RACKS = tuple(
    tuple(ClampSet(count, Length.inches(reach)) for count, reach in rack)
    for rack in (((4, 24),), ((2, 12), (2, 24)), ((1, 12), (2, 24)), ((3, 12), (2, 48)))
)
ZONES = ("UTC", "Europe/Dublin", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu")


@dataclass(frozen=True)
class Puzzle:
    """Everything that a schedule is made from."""

    steps: tuple[Step, ...]
    waits: tuple[Wait, ...]
    holds: tuple[Hold, ...]
    shop: Shop
    begin_s: int


@st.composite
def calendars(draw: st.DrawFn) -> Calendar:
    """Hours of one to ten hours on some weekdays, also in the night."""
    opens = draw(st.integers(0, 22 * 60))
    length = draw(st.integers(90, 600))
    days = draw(st.lists(st.integers(0, 6), min_size=1, max_size=7, unique=True))
    zone = draw(st.sampled_from(ZONES))
    closes = min(opens + length, 24 * 60)
    quiet = draw(st.one_of(st.none(), st.integers(opens + 75, max(opens + 75, closes))))
    others = draw(st.lists(st.integers(0, 200), max_size=20, unique=True))
    return Calendar(
        zone,
        opens,
        closes,
        tuple(sorted(days)),
        start_up_min=draw(st.integers(0, 10)),
        clean_up_min=draw(st.integers(0, 10)),
        quiet_from_min=None if quiet is None else min(quiet, 24 * 60),
        other_days=tuple(draw(other_days(day)) for day in others),
    )


@st.composite
def other_days(draw: st.DrawFn, day: int) -> OtherDay:
    """A day that is lost, or has hours of its own."""
    told = (FIRST_DAY + timedelta(days=day)).isoformat()
    if draw(st.booleans()):
        return OtherDay(told, None, None)
    opens = draw(st.integers(0, 20 * 60))
    quiet = draw(st.one_of(st.none(), st.integers(opens + 1, opens + 240)))
    return OtherDay(told, opens, opens + draw(st.integers(1, 240)), quiet)


def at_machine(
    is_loud: bool,
    name: str,
    minutes: int,
    *needs: str,
    unit: int | None,
    kind: str,
    behind: str | None,
    people: int,
) -> Step:
    """A step, at a machine or not, for one or two people."""
    made = step(name, minutes, *needs, unit=unit, kind=kind, behind=behind)
    return replace(made, resources=("table_saw",) if is_loud else (), people=people)


@st.composite
def some_holds(draw: st.DrawFn, first: str, last: str) -> Hold:
    """Up to two of something; clamps that any will do for, or of a reach that the racks have."""
    resource = draw(st.sampled_from(["clamps", "clamps", "drying_places", "bench_places"]))
    reach = draw(st.sampled_from([0, 12, 24])) if resource == "clamps" else 0
    return Hold(resource, draw(st.integers(0, 2)), first, last, Length.inches(reach))


@st.composite
def helper_times(draw: st.DrawFn) -> tuple[HelperTime, ...]:
    """One to three times of some hours; they may meet, and may lie where the shop is closed."""
    found = []
    for _ in range(draw(st.integers(1, 3))):
        days = draw(st.lists(st.integers(0, 6), min_size=1, max_size=7, unique=True))
        begin = draw(st.integers(0, 22 * 60))
        end = min(24 * 60, begin + draw(st.integers(10, 1200)))
        found.append(HelperTime(tuple(sorted(days)), begin, end))
    return tuple(found)


@st.composite
def puzzles(draw: st.DrawFn) -> Puzzle:
    """Up to ten steps; needs, waits and holds run forward, so that there is no cycle."""
    count = draw(st.integers(1, 10))
    pairs = [(f"s{i}", f"s{j}") for i in range(count) for j in range(i + 1, count)] or [
        ("s0", "s0")
    ]
    some = st.lists(st.sampled_from(pairs), max_size=6 if count > 1 else 0, unique=True)
    needs, waited, glued, held = draw(some), draw(some), draw(some)[:2], draw(some)[:3]
    steps = tuple(
        at_machine(
            draw(st.booleans()),
            f"s{j}",
            draw(st.integers(1, 50)),
            *[one for one, other in needs if other == f"s{j}"],
            unit=draw(st.sampled_from([None, 1, 2])),
            kind=draw(st.sampled_from(["rip", "bore", "glue"])),
            behind=draw(st.sampled_from([None, None, None, f"s{j - 1}"])) if j else None,
            people=draw(st.sampled_from([1, 1, 2])),
        )
        for j in range(count)
    )
    waits = tuple(least(*pair, draw(st.integers(0, 1500))) for pair in waited)
    waits += tuple(opened(*pair, draw(st.integers(1, 120))) for pair in glued)
    holds = tuple(draw(some_holds(*pair)) for pair in held)
    shop = make_shop(
        draw(calendars()),
        draw(st.integers(2, 4)),
        draw(st.integers(2, 4)),
        draw(st.sampled_from([None, 2, 3])),
        draw(st.sampled_from([(), *CLAMP_RACKS])),
        draw(st.sampled_from([(), draw(helper_times())])),
    )
    return Puzzle(steps, waits, holds, shop, BEGIN_S + draw(st.integers(0, 200 * DAY)))


@settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(puzzles())
def test_every_schedule_of_a_random_problem_is_without_a_violation(puzzle: Puzzle) -> None:
    # ``schedule`` asserts that the checker finds nothing
    made = schedule(puzzle.steps, puzzle.waits, puzzle.holds, puzzle.shop, puzzle.begin_s)
    if not made.steps:
        rules = {finding.rule for finding in made.findings}
        assert rules <= {
            *("open_time", "step_too_long", "step_too_loud", "resource_deadlock", "helper_never"),
        }
        assert all(finding.level is Level.STOP for finding in made.findings)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(puzzles())
def test_where_nothing_binds_steps_together_every_random_problem_is_scheduled(
    puzzle: Puzzle,
) -> None:
    steps = tuple(replace(step, behind=None) for step in puzzle.steps)
    waits = tuple(wait for wait in puzzle.waits if wait.kind != "open")
    shop = replace(puzzle.shop, helper=())
    assert schedule(steps, waits, (), shop, puzzle.begin_s).findings == ()


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(puzzles(), st.integers(0, 10))
def test_what_is_left_of_a_random_schedule_can_be_planned_again(puzzle: Puzzle, done: int) -> None:
    given_ = (puzzle.steps, puzzle.waits, puzzle.holds, puzzle.shop)
    first = schedule(*given_, puzzle.begin_s).steps
    fixed = {s.id: (s.start_s, s.end_s) for s in first[:done]}
    now = max([puzzle.begin_s, *(end for _, end in fixed.values())])
    again = schedule(*given_, now, fixed)
    if first:
        assert again.findings == ()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(puzzles())
def test_more_clamps_and_longer_hours_never_make_a_problem_impossible(puzzle: Puzzle) -> None:
    poor = schedule(puzzle.steps, puzzle.waits, puzzle.holds, puzzle.shop, puzzle.begin_s)
    calendar = replace(puzzle.shop.calendar, opens_min=0, closes_min=24 * 60)
    sets = (ClampSet(9, Length.inches(24)),)
    shop = make_shop(calendar, 9, 9, 9, sets if puzzle.shop.clamp_sets else ())
    rich = schedule(puzzle.steps, puzzle.waits, puzzle.holds, shop, puzzle.begin_s)
    assert bool(rich.steps) >= bool(poor.steps)
