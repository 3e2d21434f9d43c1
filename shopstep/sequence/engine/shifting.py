"""Forward-backward justification: the same schedule pushed late, then early; never longer.

After Valls, Ballestin and Quintanilla 2005; with maximum lags each move stays between what the
others' present starts allow, so every schedule on the way is feasible. Imports
``engine.network`` and ``engine.profile``.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopstep.sequence.engine.network import Network
from shopstep.sequence.engine.profile import Profile


def justify(network: Network, starts: Sequence[int]) -> list[int]:
    """A schedule whose last end is no later than that of the feasible ``starts``."""
    moved = list(starts)
    profile = Profile(network.packing)
    for number, start in enumerate(moved):
        profile.take(start, network.durations[number], network.demands[number])
    ends = [start + network.durations[number] for number, start in enumerate(moved)]
    _shift_late(network, profile, moved, max(ends, default=0))
    _shift_early(network, profile, moved)
    return moved


def _shift_late(network: Network, profile: Profile, starts: list[int], end: int) -> None:
    durations, demands, size = network.durations, network.demands, network.size
    order = sorted(range(size), key=lambda i: (starts[i] + durations[i], starts[i]), reverse=True)
    for number in order:
        if number in network.frozen:
            continue
        duration, demand, now = durations[number], demands[number], starts[number]
        latest = end - duration
        for other, lag in network.after[number]:
            if other != size and starts[other] - lag < latest:
                latest = starts[other] - lag
        if latest > now:
            profile.give_back(now, duration, demand)
            starts[number] = profile.latest(latest, duration, demand)
            profile.take(starts[number], duration, demand)


def _shift_early(network: Network, profile: Profile, starts: list[int]) -> None:
    durations, demands, size = network.durations, network.demands, network.size
    for number in sorted(range(size), key=lambda i: (starts[i], i)):
        if number in network.frozen:
            continue
        duration, demand, now = durations[number], demands[number], starts[number]
        earliest = 0
        for other, lag in network.before[number]:
            moment = lag if other == size else starts[other] + lag
            if moment > earliest:
                earliest = moment
        if earliest < now:
            profile.give_back(now, duration, demand)
            starts[number] = profile.earliest(earliest, duration, demand)
            profile.take(starts[number], duration, demand)
