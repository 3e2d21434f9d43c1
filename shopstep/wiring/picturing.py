"""The real pictures of a bench screen: kept ones from disk, others drawn in a process of their own.

A thread looks on disk and asks the process, so the screen never waits and never loads the solids.
Whatever goes wrong (no process can be started, it crashes, hangs, answers nonsense) means that the
step has no picture. The process is ended at its deadline and on ``stop``; it ends by itself when
this program is gone.
"""

from __future__ import annotations

import json
import sys
import threading
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from shopstep.model.plan import Plan
from shopstep.present.step_picture import pictured_kind
from shopstep.wiring.child_answers import ChildAnswer

if TYPE_CHECKING:
    from shopstep.model.picture import Picture

CHILD = (sys.executable, "-m", "shopstep.wiring.picture_child")
DEADLINE_S = 30.0
"""When a drawing process is ended whatever it is doing."""


class _Held:
    """Pictures held in memory once they are there; one is drawn at a time."""

    def __init__(self, command: Sequence[str] = CHILD, deadline_s: float = DEADLINE_S) -> None:
        self._command = tuple(command)
        self._deadline_s = deadline_s
        self._held: dict[str, Picture | None] = {}
        self._drawing: _Drawing | None = None

    def _look(
        self,
        key: str,
        asked: Callable[[], dict[str, object]],
        kept: Callable[[], tuple[Picture | None] | None],
    ) -> tuple[Picture | None] | None:
        """The picture or none, in a tuple of one; None while this call has it drawn."""
        drawing = self._drawing
        if drawing is not None and drawing.is_over.is_set():
            self._held[drawing.key] = drawing.found
            self._drawing = None
        if key in self._held:
            return (self._held[key],)
        if self._drawing is None or self._drawing.key != key:
            self.stop()
            child = ChildAnswer(self._command, self._deadline_s)
            self._drawing = _Drawing(key, asked, kept, child)
            self._drawing.start()
        return None

    def stop(self) -> None:
        """Give up what is drawn now; its process is ended, nobody waits for it."""
        drawing, self._drawing = self._drawing, None
        if drawing is not None:
            drawing.stop()


class ChildPictures(_Held):
    """Pictures of one plan's steps."""

    _shown: tuple[object, ...] = ()

    def cells(self, plan: Plan, kind_id: str, columns: int, rows: int) -> tuple[str, ...] | None:
        """The picture as lines; () for none. None while it is drawn, asked for by this call."""
        found = self._find(plan, kind_id)
        return None if found is None else _lines(found[0], columns, rows)

    def drawing(self, plan: Plan, kind_id: str) -> tuple[str, str] | None:
        """The picture as SVG for a dark page, and what it shows in words; empty ones for none.

        None while it is drawn, asked for by this call.
        """
        found = self._find(plan, kind_id)
        return None if found is None else _drawing_of(found[0])

    def _find(self, plan: Plan, kind_id: str) -> tuple[Picture | None] | None:
        self._forget_other(plan)
        return self._look(kind_id, lambda: _question(plan, kind_id), lambda: _kept(plan, kind_id))

    def _forget_other(self, plan: Plan) -> None:
        """Other parts, steps or setups have other pictures; other times have the same."""
        shown = (plan.parts, plan.kinds, plan.setups)
        if shown != self._shown:
            self.stop()
            self._held = {}
        self._shown = shown


class ShelfPictures(_Held):
    """What the builds of the shelf look like when they are done, each fit to a shop's own sizes."""

    def cells(
        self, build: str, shop: str | None, columns: int, rows: int
    ) -> tuple[str, ...] | None:
        """The picture as lines; () for none. None while it is drawn, asked for by this call."""
        asked: dict[str, object] = {"build": build, "shop": shop}
        found = self._look(json.dumps(asked), lambda: asked, lambda: None)
        return None if found is None else _lines(found[0], columns, rows)

    def forget(self) -> None:
        """Measurements may have changed: all are drawn anew."""
        self.stop()
        self._held = {}


def step_lines(plan: Plan, step_id: str, columns: int, rows: int) -> tuple[str, ...]:
    """The picture of a step as lines, drawn while the caller waits; () where there is none."""
    from shopstep.wiring.pictures import find_picture

    kind_id = pictured_kind(plan, step_id)
    try:
        return _lines(find_picture(plan, kind_id), columns, rows) if kind_id else ()
    except Exception:  # as on the screen: what cannot be drawn is not there
        return ()


def _lines(picture: Picture | None, columns: int, rows: int) -> tuple[str, ...]:
    from shopstep.present.picture_cells import picture_cells

    try:
        return () if picture is None else picture_cells(picture, columns, rows)
    except (ArithmeticError, ValueError):
        return ()


def _drawing_of(picture: Picture | None) -> tuple[str, str]:
    from shopstep.paper.picture_svg import bare_svg, picture_words

    try:
        return ("", "") if picture is None else (bare_svg(picture), picture_words(picture))
    except (ArithmeticError, ValueError):
        return "", ""


class _Drawing(threading.Thread):
    """One picture: looked for on disk, else drawn by a process."""

    def __init__(
        self,
        key: str,
        asked: Callable[[], dict[str, object]],
        kept: Callable[[], tuple[Picture | None] | None],
        child: ChildAnswer,
    ) -> None:
        super().__init__(name="picture", daemon=True)
        self.key = key
        self._asked = asked
        self._kept = kept
        self._child = child
        self.found: Picture | None = None
        self.is_over = threading.Event()
        """Set once ``found`` will change no more and the process is gone."""

    def run(self) -> None:
        """Looks, then asks."""
        try:
            self.found = self._find()
        except Exception:  # a picture that cannot be drawn is none: the words stand without it
            self.found = None
        finally:
            self.is_over.set()

    def stop(self) -> None:
        """Ends the process."""
        self._child.stop()

    def _find(self) -> Picture | None:
        from shopstep.model.codec import decode
        from shopstep.model.picture import Picture

        kept = self._kept()
        if kept is not None:
            return kept[0]
        found = json.loads(self._child.ask(json.dumps(self._asked())))
        return None if found is None else decode(Picture, found)


def _question(plan: Plan, kind_id: str) -> dict[str, object]:
    from shopstep.model.codec import encode

    return {"plan": encode(plan), "kind": kind_id}


def _kept(plan: Plan, kind_id: str) -> tuple[Picture | None] | None:
    from shopstep.wiring.pictures import kept_picture

    return kept_picture(plan, kind_id)
