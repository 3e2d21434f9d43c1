"""The pictures that pages show now: asked for, never waited for, held under a name of their own.

A picture is given by the digest of its bytes, so a page never shows that of another step. Imports
the words of ``present`` and the ports.
"""

from __future__ import annotations

from hashlib import sha256

from shopstep.model.plan import Plan
from shopstep.present.step_picture import pictured_kind
from shopstep.tablet.ports import Pictures

PATH = "/picture.svg"
MOST_HELD = 40
"""Pictures that are held at most; a page that is behind asks for one of the last."""


class PictureShelf:
    """Asked from the thread of the session; what is held may be read from any."""

    def __init__(self, pictures: Pictures | None) -> None:
        self._pictures = pictures
        self._held: dict[str, bytes] = {}

    def show(self, plan: Plan, step_id: str) -> list[str]:
        """Address and words of a step's picture; empty while it is drawn, and where there is none.

        What is shown last is held longest.
        """
        kind_id = pictured_kind(plan, step_id) if step_id else ""
        if self._pictures is None or not kind_id:
            return []
        drawing = self._pictures.drawing(plan, kind_id)
        if drawing is None or not drawing[0]:
            return []
        body = drawing[0].encode("utf-8")
        name = sha256(body).hexdigest()[:32]
        self._held[name] = self._held.pop(name, body)
        while len(self._held) > MOST_HELD:
            del self._held[next(iter(self._held))]
        return [f"{PATH}?of={name}", drawing[1]]

    def body(self, name: str) -> bytes | None:
        """The file under a name; None where none is held under it."""
        return self._held.get(name)

    def stop(self) -> None:
        """Draw no more."""
        if self._pictures is not None:
            self._pictures.stop()
