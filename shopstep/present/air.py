"""The air in the shop in words: when it is asked for, and what a change of it changes.

Imports ``model``, ``session`` and the days of this room.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.model.plan import Conditions, Finding, Plan
from shopstep.model.step import WaitKind
from shopstep.present.moments import local_date
from shopstep.session.flow import open_joints
from shopstep.session.revision import facts_of
from shopstep.session.state import State
from shopstep.session.statuses import BatchStatus, batch_status
from shopstep.warmth import both_scales, in_celsius, in_fahrenheit
from shopstep.words import figure, say, to_say

ASKED = to_say("How warm and how damp is the shop?")
UNCHANGED = to_say("It changes nothing: glue and paint take the times that they had.")
_BY_AIR = ("glue_", "paint_")
"""How the rules of findings begin that hang on the air."""


@dataclass(frozen=True, slots=True)
class Air:
    """Temperature and humidity, where they come from, for the page that asks."""

    temperature_c: float
    humidity_percent: float
    source: str
    """ "as last time", "as your settings have it"."""

    @property
    def words(self) -> str:
        """Both scales, as thermometers in shops show either: "12 °C (54 °F), 70 %"."""
        return air_words(self.temperature_c, self.humidity_percent)

    @property
    def both(self) -> str:
        """Both scales side by side, for tall letters: "12 °C, 54 °F, 70 %"."""
        warmth = in_celsius(self.temperature_c)
        return f"{warmth}, {in_fahrenheit(self.temperature_c)}, {self._damp}"

    @property
    def _damp(self) -> str:
        return f"{figure(self.humidity_percent, 'g')} %"

    @property
    def brief(self) -> str:
        """ "12 °C, 70 %"."""
        return f"{in_celsius(self.temperature_c)}, {self._damp}"


def air_words(temperature_c: float, humidity_percent: float) -> str:
    """ "12 °C (54 °F), 70 %"."""
    return f"{both_scales(temperature_c)}, {figure(humidity_percent, 'g')} %"


def known_air(state: State, plan: Plan) -> Conditions:
    """The air as it was noted last, else as the plan was made for."""
    return facts_of(state, plan).conditions


def asks_for_air(state: State, plan: Plan, now_s: int) -> bool:
    """Whether somebody who comes back is asked: a new day, and glue or paint still ahead.

    Not over open glue, for the card comes first.
    """
    if batch_status(state, plan) not in (BatchStatus.RUNNING, BatchStatus.HELD):
        return False
    is_new_day = local_date(state.last_s, plan.zone) != local_date(now_s, plan.zone)
    is_ahead = any(
        wait.kind is not WaitKind.OPEN and wait.after not in state.finished for wait in plan.waits
    )
    return state.version > 0 and is_new_day and is_ahead and not open_joints(state, plan)


def air_sentences(findings: tuple[Finding, ...]) -> list[str]:
    """What the plan's findings say of the air, each with what to do."""
    found = (f.sentence for f in findings if f.rule.startswith(_BY_AIR))
    return list(dict.fromkeys(found))


def air_changes(old: Plan, new: Plan) -> list[str]:
    """What is different since the plan follows another air; one sentence where nothing is."""
    before, after = air_sentences(old.findings), air_sentences(new.findings)
    added = [text for text in after if text not in before]
    if added:
        return added
    if old.conditions != new.conditions and before and not after:
        return [say("Glue and paint now take the times of their labels.")]
    return [say(UNCHANGED)]


def last_air_line(state: State, plan: Plan) -> str:
    """What a face without a screen asks, in one line."""
    air = known_air(state, plan)
    told = air_words(air.temperature_c, air.humidity_percent)
    return say(
        "{asked} Last time: {told}. If it is otherwise, say for example: conditions 9C 60%. "
        "Without a word it counts as last time.",
        asked=say(ASKED),
        told=told,
    )
