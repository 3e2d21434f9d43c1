"""What stands between a command and a new plan: which commands ask for one, what is said of it.

Imports ``model``; the session's commands with the first command.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopstep.model.plan import Conditions, Level, PlanRefused
from shopstep.words import say, to_say

if TYPE_CHECKING:
    from shopstep.session.commands import Command, Refusal

MOVED = to_say("it follows the build file as it stands now")
"""Why a plan was made anew."""


def revision_id(command: Command) -> str:
    """The new plan is stored after its fact, so it needs an id of its own."""
    return f"{command.id}/plan"


def note_of(air: Conditions, command_id: str) -> Command:
    """The command that notes what a thermometer says."""
    from shopstep.session.commands import NoteConditions

    return NoteConditions(
        id=command_id,
        temperature_c=air.temperature_c,
        humidity_percent=air.humidity_percent,
    )


def asks_for_plan(command: Command) -> bool:
    """Whether a command notes a fact that the plan has to follow."""
    from shopstep.session.commands import NoteConditions, ReadLabel, SpoilPart

    return isinstance(command, NoteConditions | SpoilPart | ReadLabel)


def say_refused(refused: PlanRefused) -> Refusal:
    """The first thing that stops the plan, with what to do about it."""
    from shopstep.session.commands import Refusal

    stop = next((f for f in refused.findings if f.level is Level.STOP), None)
    if stop is None:
        return Refusal(str(refused) or say("No new plan can be made."), "no_plan")
    return Refusal(f"{stop.text} {stop.remedy}".strip(), stop.rule)


def plan_not_stored(problem: Exception) -> str:
    """What is told where a fact is on disk and the plan that follows it is not."""
    return say(
        "This is kept, but the plan that follows it is not: {problem}. It is made when you open"
        " the session next.",
        problem=str(problem).rstrip("."),
    )


def several_builds() -> Refusal:
    """What a batch of several builds cannot do yet."""
    from shopstep.session.commands import Refusal

    text = say("A batch of several builds cannot move over to a changed one yet.")
    return Refusal(say("{text} Keep its plan.", text=text), "several_builds")
