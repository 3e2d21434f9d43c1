"""Ticks and takes back the step that cuts boards of the rack until killed: ``run_rack PATH RACK``.

Each line is out before the next thing is done.
"""

from __future__ import annotations

import sys
from itertools import count
from pathlib import Path

from shopstep.session import commands as c
from shopstep.storage.clock import FixedClock
from shopstep.storage.racked_session import RackedSession
from shopstep.workbench import Accepted, Workbench
from tests.floor import BEGIN_S


def main(path: Path, rack: Path) -> None:
    """Never returns."""
    clock = FixedClock(BEGIN_S + 30 * 86400)
    with RackedSession.open(path) as file:
        file.rack, file.identity = rack, file.request().kept_rack
        bench = Workbench(file, clock, "bench")
        print("open", flush=True)
        for number in count(1):
            clock.at_s += 20
            card = bench.card()
            step = card.step_id
            names = {action.id for action in card.actions}
            command: c.Command = c.FinishStep(id=f"k{number}", step=step, seen=card.version)
            if "ack" in names:
                command = c.AcknowledgeCaution(id=f"k{number}", step=step)
            elif not step.startswith("all/rough_cut"):
                command = c.GoBack(id=f"k{number}")
            answer = bench.do(command)
            assert isinstance(answer, Accepted), answer
            assert file.told() is not None
            print("done", bench.state.version, flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
