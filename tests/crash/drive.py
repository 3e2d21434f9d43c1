"""A bench that is played from a seed: the same seed always gives the same commands.

The script beside this one plays it on a real file and is killed; the test plays it again in
memory and so knows what the file must hold.
"""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from shopstep.session import commands as c
from shopstep.storage.clock import FixedClock
from shopstep.units import Length
from shopstep.workbench import Workbench

HEAVY = ("pydantic", "textual", "pint", "numpy", "rich", "ruamel", "lark", "click")
"""What a running session never needs."""


def drive(bench: Workbench, clock: FixedClock, seed: int) -> Iterator[str]:
    """Plays for ever; yields ``begin ID`` before a command and ``done ID VERSION`` after it."""
    random = Random(seed)
    number = 0
    while True:
        number += 1
        command = _choose(random, bench, f"{seed}-{number}")
        yield f"begin {command.id}"
        bench.do(command)
        yield f"done {command.id} {bench.state.version}"
        clock.at_s += random.choice((5, 60, 200, 4000))


def _choose(random: Random, bench: Workbench, command_id: str) -> c.Command:
    card = bench.card()
    step = card.step_id or None
    chance = random.random()
    if card.mode.value == "held":
        return c.ResumeBatch(id=command_id)
    if card.mode.value == "complete" or chance < 0.06:
        return c.GoBack(id=command_id)
    if chance < 0.2:
        return c.TakeNote(id=command_id, text="x" * random.randrange(1, 4000))
    if chance < 0.3 or step is None:
        return c.HoldBatch(id=command_id, reason="seeded")
    if card.mode.value == "caution":
        return c.AcknowledgeCaution(id=command_id, step=step)
    if any(check.name == "diagonals_differ" and not check.measured for check in card.checks):
        return c.TakeMeasure(
            id=command_id, step=step, name="diagonals_differ", value=Length.inches(0)
        )
    if chance < 0.5:
        return c.AcceptDeviation(id=command_id, step=step, name="open_time")
    return c.FinishStep(id=command_id, step=step, seen=card.version)
