"""A button for gloves: a filled block of several rows, its key number and its words.

Imports ``places``, ``glyphs`` and the painting of this room. Which button has the focus is told by
a change of fill and by arrowheads, its letter key by an underline. Ordinary buttons have strokes
at both sides, so that they are seen as buttons without any colour.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol, cast

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Offset
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from shopstep.tui.actions import ACTION_BY_ID
from shopstep.tui.glyphs import can_draw, tall, tall_width
from shopstep.tui.key_map import KeyMap
from shopstep.tui.lines import fold
from shopstep.tui.places import Place
from shopstep.tui.theme import Role
from shopstep.tui.widgets.painting import dress_of

if TYPE_CHECKING:
    from textual import events

BLINK_S = 0.2
"""How long a button shows that a touch came too soon."""
NOWHERE = Place("", "", "", 0, 0, 1, 1)


class Keyed(Protocol):
    """An app that says which keys ask for what."""

    key_map: KeyMap


class BigButton(Widget, can_focus=True):
    """One button; where it stands and what it says comes from its place."""

    DEFAULT_CSS = "BigButton { position: absolute; }"
    ALLOW_SELECT = False

    class Chosen(Message):
        """Sent when the button is tapped."""

        def __init__(self, choice: str) -> None:
            super().__init__()
            self.choice = choice
            """The id of the action or choice."""

    def __init__(self) -> None:
        super().__init__()
        self.place = NOWHERE
        self.is_tall = False
        """Whether the words are drawn in tall letters."""
        self._is_hollow = False

    def stand(self, place: Place, is_tall: bool = False) -> None:
        """Take a place; repaints when anything differs."""
        self.place, self.is_tall = place, is_tall
        self.styles.offset = Offset(place.x, place.y)
        self.styles.width = place.width
        self.styles.height = place.height
        self.display = True
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        """A tap, a click, a smeared touch that ends on the button."""
        event.stop()
        self.post_message(self.Chosen(self.place.action))

    def on_focus(self) -> None:
        """Show the arrowheads."""
        self.refresh()

    def on_blur(self) -> None:
        """Take the arrowheads away."""
        self.refresh()

    def blink(self) -> None:
        """Show for a moment that a touch was seen and not taken: no fill, then as before."""
        if not self._is_hollow:
            self._is_hollow = True
            self.refresh()
            self.set_timer(BLINK_S, self._end_blink)

    def _end_blink(self) -> None:
        self._is_hollow = False
        self.refresh()

    def _letters(self) -> tuple[str, ...]:
        """Keys of the action, as the keeper has them."""
        name = self.place.action
        return cast("Keyed", self.app).key_map.keys_of(name) if name in ACTION_BY_ID else ()

    def _role(self) -> Role:
        if self._is_hollow:
            return Role.QUIET
        if self.has_focus:
            return Role.FOCUS
        return Role.LEAD if self.place.is_lit else Role.BUTTON

    def render_line(self, y: int) -> Strip:
        """One row of the block."""
        width, height = self.size
        dress = dress_of(self)
        role = self._role()
        style = dress[role]
        rows = button_rows(self.place, width, height, self.is_tall)
        text = rows[y] if y < len(rows) else " " * width
        left, right = _edges(y, height, role)
        edge = style + dress[Role.EDGE] if role is Role.BUTTON else style
        body = text[1:-1] if width > 1 else text
        letters = self._letters() if not self.is_tall else ()
        segments = [Segment(left, edge), *_underline(body, self.place, letters, style)]
        return Strip([*segments, Segment(right, edge)]).adjust_cell_length(width, style)


def button_rows(place: Place, width: int, height: int, is_tall: bool) -> list[str]:
    """The rows of a button: words in the middle, the key number in front of them."""
    words = tall(place.label) if is_tall else _fold_label(place, width, height)
    rows = [row.center(width) for row in words[:height]]
    if is_tall and place.key:
        rows[0] = f" {place.key}{rows[0][2:]}"
    above = (height - len(rows)) // 2
    blank = " " * width
    return [blank] * above + rows + [blank] * (height - above - len(rows))


def fits_tall(place: Place) -> bool:
    """Whether the label fits its button in tall letters, with a column for the key number."""
    return (
        place.height >= 6 and can_draw(place.label) and tall_width(place.label) + 6 <= place.width
    )


def _fold_label(place: Place, width: int, height: int) -> list[str]:
    """The label in at most ``height`` lines; the key number goes before what has to be cut."""
    with_key = f"{place.key} {place.label}".strip()
    for room in (width - 4, width - 2):
        rows = fold(with_key, room)
        is_whole = max(len(word) for word in with_key.split()) <= room
        if is_whole and len(rows) <= height and place.label.split()[0] in rows[0]:
            return rows
    rows = fold(with_key, width - 2)
    return rows if len(rows) <= height else fold(place.label, width - 2)[:height]


def _edges(y: int, height: int, role: Role) -> tuple[str, str]:
    """First and last cell of a row: a stroke, or the arrowheads of the focused button."""
    if role is Role.FOCUS and y == (height - 1) // 2:
        return "►", "◄"
    return ("▌", "▐") if role is Role.BUTTON else (" ", " ")


def _underline(body: str, place: Place, keys: tuple[str, ...], style: Style) -> list[Segment]:
    """The body of a row with the letter key underlined where it stands in the label."""
    word = place.label.split()[0] if place.label else ""
    start = body.find(word) if word and keys else -1
    hits = [word.lower().find(key) for key in keys if key in word.lower()]
    if start < 0 or not hits:
        return [Segment(body, style)]
    at = start + hits[0]
    return [
        Segment(body[:at], style),
        Segment(body[at], style + Style(underline=True)),
        Segment(body[at + 1 :], style),
    ]
