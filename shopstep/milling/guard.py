"""Where riving knife and guard are while the steps are laid out, and what that asks of a step.

Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from shopstep.milling.drafts import GUARD_OFF, TABLE_SAW
from shopstep.model.operation import Setup


@dataclass(slots=True)
class Guard:
    """The state of the guard; it changes from step to step, so it is not frozen."""

    on: list[str] = field(default_factory=list)
    """Saw steps since it was last put back, less those that another of them needs."""
    off: list[str] = field(default_factory=list)
    """Saw steps since it was taken off."""
    last_off: Setup | None = None
    refit: tuple[str, ...] = ()
    """The step that last put it back."""

    def follows(self, setup: Setup) -> str | None:
        """The step that this setup follows at once, because the guard is off already."""
        return self.off[-1] if setup.kind in GUARD_OFF and self.off else None

    def needs(self, tool: str, kind: str) -> tuple[str, ...]:
        """Steps that must be done so that the guard is where this work wants it."""
        if tool != TABLE_SAW:
            return ()
        return (*self.refit, *(self.on if kind in GUARD_OFF else ()))

    def note_on(self, tool: str, step: str, needs: Iterable[str]) -> None:
        """Remember a step that is done with the guard on."""
        if tool == TABLE_SAW:
            self.on = [other for other in self.on if other not in needs] + [step]

    def note_off(self, setup: Setup, step: str) -> None:
        """Remember a step that is done with the guard off."""
        self.off.append(step)
        self.last_off = setup
