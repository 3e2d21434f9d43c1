"""Six floors from forty mixed offcuts: the first layout, checked independently, on many racks.

``python -m tests.benchmarks.random_racks`` does it on 500.
"""

from __future__ import annotations

import pytest

from tests.random_racks import lay_floors

RACKS, GROUPS = 200, 4


@pytest.mark.parametrize("group", range(GROUPS))
def test_every_layout_on_a_random_rack_can_be_cut_and_is_safe(group: int) -> None:
    used = proved = 0
    for seed in range(group, RACKS, GROUPS):
        plan = lay_floors(seed)
        used += any(piece.from_rack for piece in plan.pieces)
        assert all(least.bought >= least.least for least in plan.least)
        proved += sum(least.is_proved for least in plan.least)
    assert used == RACKS // GROUPS, "the rack comes first"
    assert proved == 3 * used, "boards, plywood and cloth are proved least"
