"""Problems for the tests of the scheduling engine: published job shops, and random small ones."""

from __future__ import annotations

import random

from hypothesis import strategies as st

from shopstep.sequence.engine.problem import Activity, Lag, Problem, Resource

FT06 = """6 6
2 1 0 3 1 6 3 7 5 3 4 6
1 8 2 5 4 10 5 10 0 10 3 4
2 5 3 4 5 8 0 9 1 1 4 7
1 5 0 5 2 5 3 3 4 8 5 9
2 9 1 3 4 5 5 4 0 3 3 1
1 3 3 3 5 9 0 10 4 4 2 1
"""
"""Fisher and Thompson 1963, in Muth and Thompson, Industrial Scheduling; the optimum is 55."""

FT10 = """10 10
0 29 1 78 2 9 3 36 4 49 5 11 6 62 7 56 8 44 9 21
0 43 2 90 4 75 9 11 3 69 1 28 6 46 5 46 7 72 8 30
1 91 0 85 3 39 2 74 8 90 5 10 7 12 6 89 9 45 4 33
1 81 2 95 0 71 4 99 6 9 8 52 7 85 3 98 9 22 5 43
2 14 0 6 1 22 5 61 3 26 4 69 8 21 7 49 9 72 6 53
2 84 1 2 5 52 3 95 8 48 9 72 0 47 6 65 4 6 7 25
1 46 0 37 3 61 2 13 6 32 5 21 9 32 8 89 7 30 4 55
2 31 0 86 1 46 5 74 4 32 6 88 8 19 9 48 7 36 3 79
0 76 1 69 3 76 5 51 2 85 9 11 6 40 7 89 4 26 8 74
1 85 0 13 2 61 6 7 8 64 9 76 5 47 3 52 4 90 7 45
"""
"""Fisher and Thompson 1963, as above; the optimum is 930 (Carlier and Pinson 1989)."""

LA01 = """10 5
1 21 0 53 4 95 3 55 2 34
0 21 3 52 4 16 2 26 1 71
3 39 4 98 1 42 2 31 0 12
1 77 0 55 4 79 2 66 3 77
0 83 3 34 2 64 1 19 4 37
1 54 2 43 4 79 0 92 3 62
3 69 4 77 1 87 2 87 0 93
2 38 0 60 1 41 3 24 4 83
3 17 1 49 4 25 0 44 2 98
4 77 3 79 2 43 1 75 0 96
"""
"""Lawrence 1984, Resource Constrained Project Scheduling; the optimum is 666."""


def random_problem(chance: random.Random, size: int) -> Problem:
    """A small problem with minimum and maximum lags, releases and now and then a fixed start."""
    kinds = chance.randint(1, 2)
    resources = tuple(Resource(f"r{k}", chance.randint(1, 3)) for k in range(kinds))
    activities = tuple(
        Activity(
            f"a{i}",
            chance.randint(0, 4),
            tuple((k, chance.randint(0, r.capacity)) for k, r in enumerate(resources)),
            chance.choice((0, 0, 0, 2)),
        )
        for i in range(size)
    )
    lags = []
    for _ in range(chance.randint(0, 2 * size) if size > 1 else 0):
        before, after = chance.sample(range(size), 2)
        if before < after:
            lags.append(Lag(before, after, chance.randint(-1, 5)))
        else:
            lags.append(Lag(before, after, -chance.randint(0, 9)))
    frozen = ((0, chance.randint(0, 3)),) if chance.random() < 0.25 else ()
    return Problem(resources, activities, tuple(lags), frozen)


def small_problems(most: int = 5) -> st.SearchStrategy[Problem]:
    """Problems of one to ``most`` activities."""
    return st.builds(
        lambda seed, size: random_problem(random.Random(seed), size),
        st.integers(0, 2**32),
        st.integers(1, most),
    )


def random_jobs(chance: random.Random) -> list[list[tuple[int, int]]]:
    """Two or three jobs over two or three machines, every machine once."""
    machines = chance.randint(2, 3)
    return [
        [(m, chance.randint(1, 9)) for m in chance.sample(range(machines), machines)]
        for _ in range(chance.randint(2, 3))
    ]


def middling_problem(seed: int, size: int) -> Problem:
    """One that no rule solves at once: four resources, chains of lags, no contradiction."""
    chance = random.Random(seed)
    resources = tuple(Resource(f"r{k}", 5) for k in range(4))
    activities = tuple(
        Activity(
            f"a{i}",
            chance.randint(1, 9),
            tuple((k, chance.randint(1, 4)) for k in range(4) if chance.random() < 0.6),
        )
        for i in range(size)
    )
    lags = [Lag(i, j, activities[i].duration) for i, j in _links(chance, size)]
    return Problem(resources, activities, tuple(lags))


def _links(chance: random.Random, size: int) -> list[tuple[int, int]]:
    return [(chance.randrange(j), j) for j in range(3, size)]
