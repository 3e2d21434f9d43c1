"""What stands there at each step, and what comes in it. Loads no solids by itself.

A step that says what it adds brings it; a step before it in the list has brought what it adds. What
is put together apart is there only in the steps of its own stage, until it comes to the rest.
Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from shopstep.model.step import Added, StepKind
from shopstep.solids.bodies import Piece
from shopstep.words import say


@dataclass(frozen=True, slots=True)
class Coming:
    """Pieces that come in one movement."""

    pieces: tuple[Piece, ...]
    comes_from: str
    """The face that they come from, as the build says it; empty: to be worked out."""

    @property
    def label(self) -> str:
        """What comes, in words: "panel with 2 × well side"."""
        if len(self.pieces) == 1:
            return self.pieces[0].label
        counted = Counter(piece.part.label for piece in self.pieces)
        said = [f"{n} × {label}" if n > 1 else label for label, n in counted.items()]
        return say(" with ").join(said[:2]) + "".join(f", {label}" for label in said[2:])


@dataclass(frozen=True, slots=True)
class Scene:
    """One step: what is there before it, and what it brings, in its order."""

    kind: StepKind
    there: tuple[Piece, ...]
    coming: tuple[Coming, ...]
    in_hand: tuple[Piece, ...]
    """Pieces of the parts that the step names, brought here or not."""

    @property
    def new(self) -> tuple[Piece, ...]:
        """Everything that comes."""
        return tuple(piece for coming in self.coming for piece in coming.pieces)


def scenes_of(kinds: Iterable[StepKind], pieces: tuple[Piece, ...]) -> tuple[Scene, ...]:
    """A scene for each step, in the order of the steps."""
    placed: dict[tuple[str, str, int], Piece] = {}
    apart: dict[str, list[Piece]] = {}
    scenes: list[Scene] = []
    for kind in kinds:
        coming = tuple(c for added in kind.adds for c in _movements(added, pieces))
        is_apart = any(added.apart for added in kind.adds)
        beside = apart.setdefault(kind.stage, [])
        there = tuple(beside) if is_apart or (beside and not kind.adds) else tuple(placed.values())
        in_hand = tuple(piece for piece in pieces if piece.part.name in kind.parts)
        scenes.append(Scene(kind, there, coming, in_hand))
        for added in kind.adds:
            moved = [p for c in _movements(added, pieces) for p in c.pieces]
            if added.apart:
                beside += moved
            else:
                placed |= {piece.key: piece for piece in moved}
                for group in apart.values():
                    group[:] = [piece for piece in group if piece.key not in placed]
    return tuple(scenes)


def _movements(added: Added, pieces: tuple[Piece, ...]) -> list[Coming]:
    meant = [piece for name in added.pieces for piece in pieces if _is_named(piece, name)]
    if added.as_one:
        return [Coming(tuple(meant), added.comes_from)] if meant else []
    return [Coming((piece,), added.comes_from) for piece in meant]


def _is_named(piece: Piece, name: str) -> bool:
    hand, _, part = name.rpartition(" ")
    return piece.part.name == part and (not hand or piece.part.hand == hand)
