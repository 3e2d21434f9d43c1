"""All longest paths between activities at once, kept up to date while arcs are added.

Row ``i`` holds, for every ``j``, the least that lies between the starts of ``i`` and ``j``. Rows
are replaced, never changed, so a copy of the list of rows is a cheap copy of all.
Imports ``engine.network``.
"""

from __future__ import annotations

from shopstep.sequence.engine.network import Network

Rows = list[list[int]]


def close_paths(network: Network) -> Rows:
    """Rows for the activities, the origin (``size``) and the end of everything (``size + 1``).

    Pairs that no path joins hold a number so low that it binds nothing below the sum of all
    durations and lags, within which every problem that has a schedule has a shortest one.
    """
    size = network.size
    origin, end = size, size + 1
    least = -4 * _all_time(network) - 4
    rows = [[least] * (size + 2) for _ in range(size + 2)]
    for node, arcs in enumerate(network.after):
        for other, lag in arcs:
            rows[node][other] = lag
    for node, duration in enumerate(network.durations):
        rows[node][end] = duration
    rows[origin][end] = 0
    for node, row in enumerate(rows):
        row[node] = 0
    for middle in range(size + 2):
        through = rows[middle]
        for node, row in enumerate(rows):
            first = row[middle]
            if first > least // 2 and node != middle:
                rows[node] = [
                    way if way >= first + onward else first + onward
                    for way, onward in zip(row, through, strict=True)
                ]
    return rows


def _all_time(network: Network) -> int:
    """Longer than any path may get, whatever order is added."""
    total = max(network.heads, default=0)
    for duration, arcs in zip(network.durations, network.after, strict=False):
        total += max([duration, *(abs(lag) for _, lag in arcs)])
    return total


def add_arc(rows: Rows, before: int, after: int, least: int) -> bool:
    """Adds ``start(after) >= start(before) + least``; False where it makes a positive cycle."""
    if rows[before][after] >= least:
        return True
    if rows[after][before] + least > 0:
        return False
    onward = [least + way for way in rows[after]]
    for node, row in enumerate(rows):
        first = row[before]
        if first + least > row[after]:
            rows[node] = [
                way if way >= first + more else first + more
                for way, more in zip(row, onward, strict=True)
            ]
    return True
