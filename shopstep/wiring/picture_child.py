"""The process that draws pictures beside the bench: one question in, one answer out, then it ends.

Run as ``python -m shopstep.wiring.picture_child``; ``wiring.picturing`` is the other end. The
question is one line of JSON, the answer one line: the picture, or ``null`` where there is none.
``{"plan": …, "kind": …}`` asks for a step, ``{"build": …, "shop": …}`` for what a build of the
shelf looks like when it is done. The solids are loaded here and nowhere else, so the screen's own
process never waits for them. It ends by itself when nobody listens any more.
"""

from __future__ import annotations

import json
import os
import sys
import threading

from shopstep.model.codec import decode, encode
from shopstep.model.picture import Picture
from shopstep.model.plan import Plan
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.languages import speak_as_chosen
from shopstep.wiring.pictures import find_picture, find_whole

_NICER = 5
"""The bench goes first where both want the same core."""


def main() -> None:
    """Answers the one question on standard input; what was drawn is kept for the next time."""
    asked = json.loads(sys.stdin.readline())
    threading.Thread(target=_end_with_input, daemon=True).start()
    if hasattr(os, "nice"):
        os.nice(_NICER)
    speak_as_chosen()
    picture = (
        _picture_build(asked["build"], asked["shop"])
        if "build" in asked
        else find_picture(decode(Plan, asked["plan"]), asked["kind"])
    )
    sys.stdout.write(json.dumps(None if picture is None else encode(picture)) + "\n")
    sys.stdout.flush()


def _picture_build(build: str, shop: str | None) -> Picture | None:
    from shopstep.desk import Wish
    from shopstep.wiring.desks import open_desk

    clock = make_clock(None)
    return find_whole(open_desk().plan(Wish(build, shop=shop), clock.now().at_s))


def _end_with_input() -> None:
    """Waits for the other end to go away, and goes too.

    Reads past ``sys.stdin``: whoever waits inside it holds a lock that ending needs.
    """
    while os.read(0, 65536):
        continue
    os._exit(1)


if __name__ == "__main__":
    main()
