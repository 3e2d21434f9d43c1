"""The process that draws pictures beside the bench: one question in, one answer out, then it ends.

Run as ``python -m shopstep.wiring.picture_child``; ``wiring.picturing`` is the other end. The
question is one line of JSON, ``{"plan": …, "kind": …}``, the answer one line: the picture, or
``null`` for a step that has none. The solids are loaded here and nowhere else, so the screen's own
process never waits for them. It ends by itself when nobody listens any more.
"""

from __future__ import annotations

import json
import os
import sys
import threading

from shopstep.model.codec import decode, encode
from shopstep.model.plan import Plan
from shopstep.wiring.pictures import find_picture

_NICER = 5
"""The bench goes first where both want the same core."""


def main() -> None:
    """Answers the one question on standard input; what was drawn is kept for the next time."""
    asked = json.loads(sys.stdin.readline())
    threading.Thread(target=_end_with_input, daemon=True).start()
    if hasattr(os, "nice"):
        os.nice(_NICER)
    picture = find_picture(decode(Plan, asked["plan"]), asked["kind"])
    sys.stdout.write(json.dumps(None if picture is None else encode(picture)) + "\n")
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
