"""Why a step does not start earlier in a plan."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.units import ZERO, Length


class Binds(StrEnum):
    """What keeps a step from an earlier start."""

    BEGIN = "begin"
    """It is the first that can be done, at the moment the plan begins."""
    NEED = "need"
    WAIT = "wait"
    HOURS = "hours"
    """It does not fit before closing time, so it stands at the next opening."""
    MACHINES = "machines"
    """Machines must be quiet, or it is the last quarter of an hour."""
    PERSON = "person"
    """Two hands: something else is done until then."""
    LIMIT = "limit"
    """Started earlier, another step would come too long after it."""
    DAYLIGHT = "daylight"
    """It is done outdoors, and it is not light before."""
    RESOURCE = "resource"
    """Clamps, drying places or bench places are taken until then."""
    HELPER = "helper"
    """It needs a second pair of hands, and no helper is there before."""


@dataclass(frozen=True, slots=True)
class Reason:
    """What binds one step."""

    step: str
    """The step that was asked about."""
    binds: Binds
    other: str = ""
    """The step that is needed, waited for, done before, or that gives something back."""
    wait: str = ""
    """Id of the wait."""
    resource: str = ""
    reach: Length = ZERO
    """Of clamps: only those that reach so far are lacking."""
