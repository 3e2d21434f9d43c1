"""The bench screen in a terminal: one card in large type, few big buttons, running clocks.

Imports nothing until it is run, so that other faces can ask for it at no cost.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopstep.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopstep.present.face import Bench
    from shopstep.present.readings import MeasureCard
    from shopstep.tui.bench import Pictures
    from shopstep.tui.door import Door
    from shopstep.tui.hearing import Ears
    from shopstep.tui.key_map import KeyMap
    from shopstep.tui.screens.measure_page import KeepReading
    from shopstep.tui.screens.offcut_page import PutPiece
    from shopstep.tui.speaking import Speech
    from shopstep.workbench.ports import Alarm

THEMES = ("dark", "light", "contrast", "contrast-light")
"""Names that ``run_bench`` and ``run_measuring`` take."""


def run_bench(
    bench: Bench,
    *,
    theme: str = "dark",
    is_resumed: bool = False,
    is_far: bool = False,
    alarm: Alarm | None = None,
    rings_at_machines: bool = False,
    key_map: KeyMap | None = None,
    pictures: Pictures | None = None,
    put_offcut: PutPiece | None = None,
    speech: Speech | None = None,
    ears: Ears | None = None,
    listens: str = "push",
) -> int:
    """Show the bench until the person leaves; gives the exit code.

    ``is_resumed``: somebody comes back to it, and is told first where the work stands; ``is_far``:
    in distance view; ``alarm``: what can be heard, the terminal's bell where None;
    ``rings_at_machines``: also during a machine's step; ``pictures``: draws the steps,
    none where None; ``put_offcut``: puts a piece on the rack, which is not offered where None;
    ``speech``: says the card and alarms, silent where None; ``ears``: hear the person, nobody is
    heard where None; ``listens``: ``push``, ``armed`` or ``open``.
    Raises ValueError with a sentence for a theme that there is not.
    """
    _check_theme(theme)
    from shopstep.tui.app import BenchApp

    app = BenchApp(
        bench, theme, is_resumed=is_resumed, is_far=is_far, greets=True, alarm=alarm,
        rings_at_machines=rings_at_machines, key_map=key_map, pictures=pictures,
        put_offcut=put_offcut, speech=speech, ears=ears, listens=listens,
    )  # fmt: skip
    try:
        app.run()
    finally:
        for beside in (pictures, speech, ears):
            if beside is not None:
                beside.stop()
    return app.return_code or 0


def run_measuring(cards: Sequence[MeasureCard], keep: KeepReading, *, theme: str = "dark") -> int:
    """Ask for measurements (at least one) until the person leaves; gives the exit code.

    ``keep`` stores each reading as it is taken. Raises ValueError for a theme that there is not.
    """
    _check_theme(theme)
    from shopstep.tui.measure_app import MeasureApp

    app = MeasureApp(cards, keep, theme)
    app.run()
    return app.return_code or 0


def run_offcuts(unit: str, put: PutPiece, *, theme: str = "dark") -> int:
    """Ask for offcuts by large keys until the person leaves; gives the exit code.

    ``unit``: ``in`` or ``mm``. Raises ValueError for a theme that there is not.
    """
    _check_theme(theme)
    from shopstep.tui.offcut_app import OffcutApp

    app = OffcutApp(unit, put, theme)
    app.run()
    return app.return_code or 0


def run_start(door: Door, *, theme: str = "dark", notice: str = "") -> int:
    """Show the start screen until a session is open or the person leaves; gives the exit code.

    The door then holds what was opened. Raises ValueError for a theme that there is not.
    """
    _check_theme(theme)
    from shopstep.tui.start_app import StartApp

    app = StartApp(door, theme, notice)
    app.run()
    return app.return_code or 0


def _check_theme(theme: str) -> None:
    if theme not in THEMES:
        raise ValueError(
            say(
                "There is no theme '{theme}'; there are {themes}.",
                theme=theme,
                themes=", ".join(THEMES),
            )
        )
