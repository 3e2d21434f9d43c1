"""How people say that one thing is larger than another: without a sign.

Imports ``units``.
"""

from __future__ import annotations

from shopstep.units import Length, format_length
from shopstep.words import say


def format_difference(length: Length, unit: str = "in") -> str:
    """How much larger or smaller: "1/8 in more", "1/8 in less", "the same"."""
    if not length:
        return say("the same")
    shown = format_length(abs(length), unit)
    return (
        say("{length} more", length=shown) if length.nm > 0 else say("{length} less", length=shown)
    )


def format_difference_range(least: Length | None, most: Length | None, unit: str = "in") -> str:
    """The range of a difference: "1/2 in less to 1/8 in less", "at least 1/8 in more"."""
    if least is not None and most is not None:
        if least == most:
            return format_difference(least, unit)
        return say(
            "{difference} to {difference_2}",
            difference=format_difference(least, unit),
            difference_2=format_difference(most, unit),
        )
    end = least if least is not None else most
    if end is None:
        return say("any")
    if not end:
        return say("not less") if least is not None else say("not more")
    # the least of what may be missing is the most of what may be there
    is_bottom = (least is not None) is (end.nm > 0)
    return say(
        "at {is_bottom} {difference}",
        is_bottom=say("least") if is_bottom else say("most"),
        difference=format_difference(end, unit),
    )
