"""What past sessions on this machine teach."""

from __future__ import annotations

from pathlib import Path

from shopstep.model.estimate import TimeFactor
from shopstep.present.lessons import Lessons, Past, gather_lessons, notes_about, time_factors
from shopstep.storage.folders import sessions_folder
from shopstep.storage.past_sessions import past_sessions
from shopstep.wiring.problems import plain_problems
from shopstep.words import say


class PastWork:
    """The sessions folder, as the desk asks it."""

    def times(self) -> tuple[TimeFactor, ...]:
        """What guesses are to be multiplied by, from all sessions."""
        return time_factors(_pasts(sessions_folder()))

    def to_get(self) -> tuple[str, ...]:
        """What was noted as to be bought in the newest session."""
        pasts = _pasts(sessions_folder())
        newest = max(pasts, key=lambda past: past.envelopes[-1].moment.at_s, default=None)
        notes = notes_about([newest], "to_get") if newest is not None else ()
        return tuple(
            dict.fromkeys(
                say("{note} (noted {day})", note=note.text, day=note.day) for note in notes
            )
        )


def lessons_of(build: str, folder: Path | None) -> Lessons:
    """All that the sessions of a build teach; Problem where there is no such build."""
    from shopstep.wiring.desks import open_desk

    with plain_problems():
        build_id = open_desk().build_id(build)
        return gather_lessons(_pasts(folder or sessions_folder()), build_id)


def _pasts(folder: Path) -> list[Past]:
    return [Past(plan, envelopes) for plan, envelopes in past_sessions(folder) if envelopes]
