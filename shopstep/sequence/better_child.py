"""The process that makes a plan in progress better: one question in, one answer out, then it ends.

Run as ``python -m shopstep.sequence.better_child``; ``wiring.improver`` is the other end. The
question is one line of JSON on standard input, the answer one on standard output: ``{"starts":
{step: seconds}}``, or ``{"starts": null}`` where nothing better was found. It ends by itself when
its input ends, since then nobody listens any more, and in any case some seconds after its time.
"""

from __future__ import annotations

import json
import os
import sys
import threading
from time import monotonic, process_time

from shopstep.model.codec import decode
from shopstep.sequence.bettering import Asked, better_starts

PATIENCE = 3
"""The time is that of the processor; where others use it too, so many times as long is the most."""
GRACE_S = 1.0
"""How long after that the process may still be there."""
_NICER = 5
"""The bench goes first where both want the same core."""


def main() -> None:
    """Answers the one question on standard input."""
    line = sys.stdin.readline()
    asked = json.loads(line)
    seconds = float(asked["seconds"])
    threading.Thread(target=_end_with_input, daemon=True).start()
    longest = seconds * PATIENCE
    watchdog = threading.Timer(longest + GRACE_S, os._exit, (2,))
    watchdog.daemon = True
    watchdog.start()
    if hasattr(os, "nice"):
        os.nice(_NICER)
    plan = decode(Asked, asked["plan"])
    busy_s, over_s = process_time() + seconds, monotonic() + longest
    starts = better_starts(
        plan,
        asked["seed"],
        asked["rounds"],
        lambda: process_time() > busy_s or monotonic() > over_s,
    )
    sys.stdout.write(json.dumps({"starts": starts}) + "\n")
    sys.stdout.flush()


def _end_with_input() -> None:
    """Waits for the other end to go away, and goes too.

    Reads past ``sys.stdin``: whoever waits inside it holds a lock that ending needs.
    """
    while os.read(0, 65536):
        continue
    os._exit(1)


if __name__ == "__main__":
    main()
