"""What lies in sight on the screen of an app under test."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shopstep.tui.widgets.big_button import BigButton
from shopstep.tui.widgets.painting import Rows

if TYPE_CHECKING:
    from textual.app import App


def buttons_in(app: App[Any]) -> dict[str, BigButton]:
    """Buttons in sight by what they choose."""
    found = app.screen.query(BigButton)
    return {button.place.action: button for button in found if button.display}


def text_in(app: App[Any]) -> str:
    """The words in sight, folded rows joined; tall letters as they are drawn."""
    parts = [widget for widget in app.screen.query(Rows) if widget.display]
    return " ".join(" ".join(row.text for row in part.rows) for part in parts)


def words_in(app: App[Any]) -> str:
    """The same with single spaces."""
    return " ".join(text_in(app).split())
