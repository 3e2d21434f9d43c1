"""Ticks and takes back a step that moves the rack until killed: ``run_rack PATH RACK STEP``.

Each line is out before the next thing is done.
"""

from __future__ import annotations

import sys
from itertools import count
from pathlib import Path

from shopstep.session import commands as c
from shopstep.storage.clock import FixedClock
from shopstep.storage.racked_session import RackedSession
from shopstep.units import Length
from shopstep.workbench import Accepted, Workbench
from tests.floor import BEGIN_S


def main(path: Path, rack: Path, wanted: str) -> None:
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
            elif step != wanted:
                command = c.GoBack(id=f"k{number}")
            for check in card.checks if step == wanted else ():
                if check.expected_nm is not None and not check.measured and "ack" not in names:
                    value = Length(check.expected_nm)
                    command = c.TakeMeasure(
                        id=f"k{number}", step=step, name=check.name, value=value
                    )
            answer = bench.do(command)
            assert isinstance(answer, Accepted), answer
            assert file.told() is not None
            print("done", bench.state.version, flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3])
