"""Random project-scheduling instances with minimum and maximum time lags, as ``.sch`` files.

After the published description of ProGen/max (Schwindt 1998, WIOR report 543; Kolisch, Schwindt
and Sprecher 1999), from memory, with the parameters that come with its published sets: lags of 0
to 3 durations, 5 resources, shares of resources used 0.5 to 1, resource strength 0 to 0.5, one to
three cycle structures. It is not that generator: how its cycle structures are drawn and how its
networks reach their restrictiveness is simplified, so figures on these instances are not figures
on the published ones.

``python -m tests.benchmarks.lag_instances FOLDER ACTIVITIES COUNT [SEED]`` writes the files.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path

RESOURCES = 5
SHARES = (0.5, 0.75, 1.0)
STRENGTHS = (0.0, 0.25, 0.5)
DENSITIES = (0.25, 0.5, 0.75)
SLACKS = ((0.25, 0.75), (0.0, 0.25))


def write_instance(activities: int, seed: int) -> str:
    """The text of one ``.sch`` file; the same for the same numbers."""
    chance = random.Random(f"{activities}/{seed}")
    density = DENSITIES[seed % 3]
    share = SHARES[seed // 3 % 3]
    strength = STRENGTHS[seed // 9 % 3]
    slack = SLACKS[seed // 27 % 2]
    durations = [chance.randint(1, 10) for _ in range(activities)]
    arcs = _forward_arcs(chance, durations, density)
    arcs |= _backward_arcs(chance, durations, arcs, slack)
    demands = _demands(chance, activities, share)
    capacities = _capacities(durations, arcs, demands, strength)
    return _as_text(durations, arcs, demands, capacities)


def _forward_arcs(
    chance: random.Random, durations: list[int], density: float
) -> dict[tuple[int, int], int]:
    """Minimum lags of an acyclic network without redundant arcs."""
    count = len(durations)
    reaches: list[set[int]] = [set() for _ in range(count)]
    arcs: dict[tuple[int, int], int] = {}
    wanted = density * count * (count - 1) / 2
    pairs = [(i, j) for i in range(count) for j in range(i + 1, count)]
    chance.shuffle(pairs)
    pairs.sort(key=lambda pair: pair[1] - pair[0] > max(3, count // 5))
    needed = [(chance.randrange(max(0, j - 6), j), j) for j in range(3, count)]
    for i, j in needed + pairs:
        if len(arcs) >= len(needed) and sum(map(len, reaches)) >= wanted:
            break
        if j in reaches[i] or sum(a == i for a, _ in arcs) >= 5:
            continue
        arcs[i, j] = chance.randint(0, 3 * durations[i])
        for k in range(count):
            if k == i or i in reaches[k]:
                reaches[k] |= {j} | reaches[j]
    return arcs


def _longest(count: int, arcs: dict[tuple[int, int], int]) -> list[list[float]]:
    paths = [[0.0 if i == j else float("-inf") for j in range(count)] for i in range(count)]
    for (i, j), lag in arcs.items():
        paths[i][j] = max(paths[i][j], lag)
    for k in range(count):
        for i in range(count):
            for j in range(count):
                paths[i][j] = max(paths[i][j], paths[i][k] + paths[k][j])
    return paths


def _backward_arcs(
    chance: random.Random,
    durations: list[int],
    arcs: dict[tuple[int, int], int],
    slack: tuple[float, float],
) -> dict[tuple[int, int], int]:
    """Maximum lags: the longest path, and a part of the work between as slack."""
    count = len(durations)
    backward: dict[tuple[int, int], int] = {}
    for _ in range(chance.randint(1, max(3, count // 5))):
        paths = _longest(count, arcs | backward)
        near = [
            (i, j)
            for i in range(count)
            for j in range(i + 1, min(count, i + 10))
            if paths[i][j] >= 0 and (j, i) not in backward
        ]
        if not near:
            break
        i, j = chance.choice(near)
        room = sum(durations[i : j + 1])
        backward[j, i] = -max(1, round(paths[i][j] + chance.uniform(*slack) * room))
    return backward


def _demands(chance: random.Random, count: int, share: float) -> list[list[int]]:
    demands = [[0] * RESOURCES for _ in range(count)]
    cells = [(i, k) for i in range(count) for k in range(RESOURCES)]
    chosen = {(i, chance.randrange(RESOURCES)) for i in range(count)}
    chance.shuffle(cells)
    for cell in cells:
        if len(chosen) >= share * len(cells):
            break
        chosen.add(cell)
    for i, k in chosen:
        demands[i][k] = chance.randint(1, 10)
    return demands


def _capacities(
    durations: list[int],
    arcs: dict[tuple[int, int], int],
    demands: list[list[int]],
    strength: float,
) -> list[int]:
    """Between the largest demand (strength 0) and the peak of the earliest starts (1)."""
    count = len(durations)
    paths = _longest(count, arcs)
    starts = [max(0, *(int(max(0, paths[i][j])) for i in range(count))) for j in range(count)]
    capacities = []
    for k in range(RESOURCES):
        least = max(row[k] for row in demands)
        peak = max(
            sum(
                demands[i][k]
                for i in range(count)
                if starts[i] <= moment < starts[i] + durations[i]
            )
            for moment in starts
        )
        capacities.append(max(1, least + round(strength * max(0, peak - least))))
    return capacities


def _as_text(
    durations: list[int],
    arcs: dict[tuple[int, int], int],
    demands: list[list[int]],
    capacities: list[int],
) -> str:
    count = len(durations)
    out: list[list[tuple[int, int]]] = [[] for _ in range(count + 2)]
    headed = {j for i, j in arcs if i < j}
    tailed = {i for i, j in arcs if i < j}
    out[0] = [(j + 1, 0) for j in range(count) if j not in headed]
    for (i, j), lag in sorted(arcs.items()):
        out[i + 1].append((j + 1, lag))
    for i in range(count):
        if i not in tailed:
            out[i + 1].append((count + 1, durations[i]))
    lines = [f"{count}\t{RESOURCES}\t0\t0"]
    for node, links in enumerate(out):
        words = [str(node), "1", str(len(links)), *(str(j) for j, _ in links)]
        lines.append("\t".join([*words, *(f"[{lag}]" for _, lag in links)]))
    rows = [[0] * (RESOURCES + 1), *([d, *row] for d, row in zip(durations, demands, strict=True))]
    for node, row in enumerate([*rows, [0] * (RESOURCES + 1)]):
        lines.append("\t".join(map(str, [node, 1, *row])))
    lines.append("\t".join(map(str, capacities)))
    return "\n".join(lines) + "\n"


def main(arguments: list[str]) -> None:
    """Writes the files; the names carry the numbers that make them again."""
    folder, activities, count = Path(arguments[0]), int(arguments[1]), int(arguments[2])
    first = int(arguments[3]) if len(arguments) > 3 else 0
    folder.mkdir(parents=True, exist_ok=True)
    for seed in range(first, first + count):
        name = f"lags{activities}_{seed:03d}.sch"
        (folder / name).write_text(write_instance(activities, seed), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
