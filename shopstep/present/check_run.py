"""The checks of a step as one short run: how many there are, which one this is, and its end.

Nothing is ticked by default: a run is read and confirmed as a whole by Done, a number by its
reading. That its end is said is the completion call of flight-deck checklists, the one sign that a
run which was interrupted is whole (Degani and Wiener, NASA Contractor Report 177549, 1990; the
passage was read as quoted from their paper in Human Factors 35(2), 1993).
Imports the card's shapes and the spoken words of this room.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.present.card import CardCheck, CardRun
from shopstep.present.spoken import say_integer, say_text
from shopstep.session.evolve import LATE
from shopstep.words import say


def number_checks(checks: tuple[CardCheck, ...]) -> tuple[CardCheck, ...]:
    """The checks with their places in the run; one that stands alone needs none.

    A joint that is closed late comes up while the step is worked at: it is no part of the run.
    """
    run = [check.name for check in checks if check.name not in LATE]
    if len(run) < 2:
        return checks
    places = {
        name: say("{place} of {run}", place=place, run=len(run))
        for place, name in enumerate(run, 1)
    }
    return tuple(replace(check, place=places.get(check.name, "")) for check in checks)


def run_of(checks: tuple[CardCheck, ...]) -> CardRun | None:
    """What is said before, in and after the run; None where there is no run."""
    run = [check for check in checks if check.place]
    if not run:
        return None
    count = say_integer(len(run))
    return CardRun(
        opening=say("{run} checks, then Done", run=len(run)),
        closing=say("That is all {run}.", run=len(run)),
        spoken=(
            say("{count} checks, then done.", count=count.capitalize()),
            *(_say_check(place, len(run), check) for place, check in enumerate(run, 1)),
            say("That is all {count}.", count=count),
        ),
    )


def _say_check(place: int, count: int, check: CardCheck) -> str:
    """One check as it is said: "One of three: difference of the diagonals, zero inches…"."""
    words = [say_text(check.text)]
    if check.expected:
        tolerance = check.tolerance.replace("±", "plus or minus")
        words.append(say_text(f"{check.expected} {tolerance}".strip()))
    said = ", ".join(words)
    stop = "" if said.endswith((".", "?", "!")) else "."
    return say(
        "{integer} of {integer_2}: {said}{stop}",
        integer=say_integer(place).capitalize(),
        integer_2=say_integer(count),
        said=said,
        stop=stop,
    )
