"""The shipped floor where turning it over needs two people; invented, for the tests of help."""

from __future__ import annotations

from shopstep.model.resources import HelperTime
from tests.floor import floor_text

SATURDAY, SUNDAY = 5, 6
AFTERNOON = (HelperTime((SATURDAY,), 18 * 60 + 30, 20 * 60),)
"""On Saturdays from 18:30 to 20:00; the shop of the floor is open from 18:00 to 21:00."""
TURN = "glue/turn_over"


def helped_text() -> str:
    """The build's text; ``glue/turn_over`` stands in the block of the frame's glue-up."""
    head, name, tail = floor_text().partition(f"  {TURN}:\n")
    assert name
    return f"{head}{name}    people: 2\n{tail}"
