"""The keys of the bench: numbers and letters of the table of actions, and what moves the focus.

Imports the actions.
"""

from __future__ import annotations

from textual.binding import Binding, BindingType

from shopstep.tui.actions import ACTIONS

_LETTERS = sorted({key for action in ACTIONS for key in action.keys})

BENCH_BINDINGS: list[BindingType] = [
    *[Binding(str(n), f"key('{n}')", id=f"bench.number_{n}") for n in range(10)],
    *[Binding(key, f"key('{key}')", id=f"bench.letter_{key}") for key in _LETTERS],
    Binding("enter,space,pagedown", "choose_focused", id="bench.choose"),
    Binding("pageup,right,down,tab", "move_focus(1)", id="bench.focus_next"),
    Binding("left,up,shift+tab", "move_focus(-1)", id="bench.focus_previous"),
    Binding("question_mark,f1", "open_help", id="bench.help"),
    Binding("q", "leave", id="bench.leave"),
]
