"""A schedule from another one that is no longer right, with as little moved as can be.

Imports ``engine.building``, ``engine.network``, ``engine.problem``, ``engine.profile`` and
``engine.shifting``.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopstep.sequence.engine.building import build_schedule
from shopstep.sequence.engine.network import Network
from shopstep.sequence.engine.problem import BadProblem
from shopstep.sequence.engine.profile import Profile
from shopstep.sequence.engine.shifting import justify


def repair_starts(network: Network, starts: Sequence[int]) -> list[int] | None:
    """A feasible schedule in the order of ``starts``, never longer than they are where they hold.

    None where that order leads to none. Raises ``BadProblem`` where the counts differ.
    """
    if len(starts) != network.size:
        raise BadProblem(f"{len(starts)} starts for {network.size} activities.")
    if is_feasible(network, starts):
        return justify(network, starts)
    built = build_schedule(network, [float(start) for start in starts], None)
    return None if built is None else justify(network, built)


def is_feasible(network: Network, starts: Sequence[int]) -> bool:
    """Whether the starts keep every lag, release, fixed start and capacity."""
    moments = [*starts, 0]
    for node, arcs in enumerate(network.after):
        if any(moments[other] < moments[node] + lag for other, lag in arcs):
            return False
    profile = Profile(network.packing)
    for start, duration, demand in zip(starts, network.durations, network.demands, strict=True):
        if profile.earliest(start, duration, demand) != start:
            return False
        profile.take(start, duration, demand)
    return True
