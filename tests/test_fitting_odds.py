"""Worst case and odds of every fit on the shelf, against brute force and a Monte Carlo."""

from __future__ import annotations

import math
from functools import cache
from itertools import product
from random import Random

import pytest

from shopstep.fitting.odds import levers_that_matter, odds_of, spread_of, tails
from shopstep.fitting.tolerances import TOLERANCES, deviation_nm, with_tolerance
from shopstep.model.lever import Lever, Origin, SizeKind
from shopstep.model.plan import Fit
from shopstep.units import SIXTY_FOURTH, ZERO, Length
from tests.shelf_builds import BUILDS, shelf_fits, shelf_movements

inch = Length.inches
SAMPLES = 40_000


def fit(value: str, least: str | None, most: str | None, *levers: Lever) -> Fit:
    """A fit of the test's own."""
    low, high = (None if each is None else inch(each) for each in (least, most))
    return Fit("slide", "must", inch(value), low, high, True, "a test", "", 1, levers=levers)


def lever(name: str = "width", ratio: float = 1.0, tolerance: str = "1/64") -> Lever:
    """A lever of the test's own, whose tolerance is set."""
    return Lever(name, ratio, inch(tolerance), kind=SizeKind.RIP)


def seasons(name: str, found: Fit) -> list[float]:
    """What the fit moves by in the shop, at the dry end and at the wet end, in nanometres."""
    moves = shelf_movements(name)
    return [0.0] + [
        sum(
            each.ratio * each.value.nm * moves[each.material][state]
            for each in found.levers
            if each.across_grain
        )
        for state in (0, 1)
    ]


@cache
def normal_column(number: int) -> list[float]:
    """Standard normal numbers, the same in every run; each lever of a fit has its own column."""
    chance = Random(20_260_115 + number)
    return [chance.gauss(0.0, 1.0) for _ in range(SAMPLES)]


def sampled_odds(name: str, found: Fit) -> float:
    """Share of pieces that are broken in the shop, at the dry end or at the wet end."""
    moves = seasons(name, found)
    low = found.least.nm - min(moves) if found.least is not None else -math.inf
    high = found.most.nm - max(moves) if found.most is not None else math.inf
    made = [float(found.value.nm)] * SAMPLES
    for number, each in enumerate(found.levers):
        step = each.ratio * each.tolerance.nm / 3
        made = [nm + step * z for nm, z in zip(made, normal_column(number), strict=True)]
    return sum(nm < low or nm > high for nm in made) / SAMPLES


@pytest.mark.parametrize("name", BUILDS)
def test_the_odds_of_every_fit_agree_with_a_seeded_monte_carlo(name: str) -> None:
    assert shelf_fits(name)
    for found in shelf_fits(name):
        assert found.odds == pytest.approx(sampled_odds(name, found), abs=0.02), found.name


@pytest.mark.parametrize("name", BUILDS)
def test_the_worst_case_is_the_worst_of_all_corners_in_all_seasons(name: str) -> None:
    for found in shelf_fits(name):
        corners = [
            found.value.nm
            + move
            + sum(s * e.ratio * e.tolerance.nm for s, e in zip(signs, found.levers, strict=True))
            for signs in product((-1, 1), repeat=len(found.levers))
            for move in seasons(name, found)
        ]
        assert found.worst is not None
        assert found.worst[0].nm == pytest.approx(min(corners), abs=2), found.name
        assert found.worst[1].nm == pytest.approx(max(corners), abs=2), found.name


@pytest.mark.parametrize("name", BUILDS)
def test_no_must_of_the_shelf_is_broken_at_the_usual_values(name: str) -> None:
    assert [
        found.name for found in shelf_fits(name) if found.level == "must" and not found.ok
    ] == []


@pytest.mark.parametrize("name", BUILDS)
def test_every_lever_on_the_shelf_has_a_tolerance_and_a_name_for_people(name: str) -> None:
    for found in shelf_fits(name):
        for each in found.levers:
            assert ZERO < each.tolerance <= TOLERANCES[each.kind].amount
            assert each.title
            assert "_" not in each.title


@pytest.mark.parametrize(
    ("limit_in_sigmas", "tail"), [(1.0, 0.158655), (2.0, 0.022750), (3.0, 0.001350)]
)
def test_tails_are_those_of_the_printed_normal_table(limit_in_sigmas: float, tail: float) -> None:
    """Areas beyond 1, 2 and 3 standard deviations of any printed table of the normal law."""
    sizes = (lever(tolerance="3/64"),)  # three sigma, so one sigma is 1/64 in
    most = f"{int(limit_in_sigmas)}/64"
    found = fit("0", None, most, *sizes)
    assert tails(found, spread_of(found.value, sizes, {}))[1] == pytest.approx(tail, abs=1e-6)


def test_tolerances_add_as_the_root_of_the_sum_of_squares_and_in_the_worst_case_whole() -> None:
    sizes = (lever("a", 1.0, "3/64"), lever("b", -2.0, "2/64"))  # 3 and 4: root of squares is 5
    spread = spread_of(inch("1/4"), sizes, {})
    assert spread.sigma * 3 == pytest.approx(5 * SIXTY_FOURTH.nm)
    assert spread.reach == pytest.approx(7 * SIXTY_FOURTH.nm)


def test_a_size_without_any_spread_is_right_or_wrong_for_certain() -> None:
    for value, chance in (("1/64", 0.0), ("1/32", 0.0), ("3/64", 1.0), ("0", 1.0)):
        found = fit(value, "1/64", "1/32")
        assert odds_of(*tails(found, spread_of(found.value, (), {}))) == chance


def test_a_range_narrower_than_the_movement_is_broken_in_one_season_or_the_other() -> None:
    board = Lever("width", 1.0, inch("1/64"), across_grain=True, material="board", value=inch(10))
    found = fit("10", "639/64", "641/64", board)
    spread = spread_of(found.value, (board,), {"board": (-0.01, 0.01)})
    assert odds_of(*tails(found, spread)) == 1.0


def test_wood_moves_only_across_its_grain_and_plywood_not_at_all() -> None:
    across = Lever("w", -1.0, ZERO, across_grain=True, material="board", value=inch(10))
    along = Lever("l", -1.0, ZERO, material="board", value=inch(10))
    sheet = Lever("p", -1.0, ZERO, across_grain=True, material="plywood", value=inch(10))
    moves = {"board": (-0.002, 0.01)}
    spread = spread_of(inch(1), (across, along, sheet), moves)
    assert spread.shrinks == pytest.approx(-0.1 * 25_400_000)
    assert spread.swells == pytest.approx(0.02 * 25_400_000)


def test_every_kind_of_size_has_a_row_with_a_source() -> None:
    assert set(TOLERANCES) == set(SizeKind)
    for row in TOLERANCES.values():
        assert row.amount > ZERO
        assert "no source" in row.source or "PS 1" in row.source


def test_plywood_is_off_as_ps_1_allows() -> None:
    """PS 1, unsanded: 15/32 is 0.438 to 0.500 in, 23/32 is 0.688 to 0.750 in; 5 % above 13/16."""
    for nominal, least, most in (("15/32", 0.438, 0.500), ("23/32", 0.688, 0.750)):
        sheet = Lever("t", 1.0, kind=SizeKind.SHEET_THICKNESS, value=inch(nominal))
        off = with_tolerance(sheet, {}).tolerance.in_inches
        assert inch(nominal).in_inches - off == pytest.approx(least, abs=0.0006)
        assert inch(nominal).in_inches + off == pytest.approx(most, abs=0.0006)
    thick = Lever("t", 1.0, kind=SizeKind.SHEET_THICKNESS, value=inch(1))
    assert with_tolerance(thick, {}).tolerance == inch("1/20")


def test_a_check_of_the_steps_holds_a_size_tighter_and_never_looser() -> None:
    place = Lever("tray_space", 1.0, kind=SizeKind.PLACE, held=inch("1/64"))
    assert with_tolerance(place, {}).tolerance == inch("1/64")
    loose = Lever("width", 1.0, kind=SizeKind.PLACE, held=inch("1/4"))
    assert with_tolerance(loose, {}).tolerance == inch("1/32")


def test_the_keepers_own_readings_give_the_sample_deviation() -> None:
    """2, 4, 4, 4, 5, 5, 7, 9 has a sum of squares of 32 about its mean: s² = 32/7."""
    marks = tuple(SIXTY_FOURTH.times(n) for n in (2, 4, 4, 4, 5, 5, 7, 9))
    deviation = math.sqrt(32 / 7) * SIXTY_FOURTH.nm
    assert deviation_nm(marks) == pytest.approx(deviation)
    for key in ("door.width", "rip_width"):
        own = with_tolerance(Lever("door.width", 1.0, kind=SizeKind.RIP), {key: marks})
        assert own.tolerance.nm == pytest.approx(3 * deviation, abs=1)
        assert (own.readings, own.origin) == (8, Origin.MEASURED)


def test_equal_readings_do_not_prove_equal_pieces_and_one_reading_proves_nothing() -> None:
    same = (inch("3/4"),) * 3
    own = with_tolerance(Lever("t", 1.0, kind=SizeKind.READING), {"t": same})
    assert own.tolerance == inch("1/128")
    single = with_tolerance(Lever("t", 1.0, kind=SizeKind.READING), {"t": same[:1]})
    assert (single.tolerance, single.readings) == (inch("1/64"), 0)


def test_what_brings_little_of_the_spread_does_not_matter() -> None:
    strong, weak = lever("a", 1.0, "1/32"), lever("b", 1.0, "1/256")
    assert levers_that_matter((weak, strong)) == (strong,)
    assert levers_that_matter(()) == ()
