"""Colours of the bench screen: four themes of our own, and none at all under NO_COLOR.

Imports only ``rich``'s style. The look is a bench: walnut ground, maple for the one thing that
leads on. The colours of the signal words (ANSI Z535.1: red, orange, yellow, blue) are kept for
cautions alone, so that orange on this screen always means a hazard. Every text pair has a contrast
of at least 7:1 (WCAG 2.2, success criterion 1.4.6), edges of controls 4.5:1. Nothing is told by
colour alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from rich.style import Style


class Role(StrEnum):
    """What a piece of text is; the theme says how it looks."""

    TEXT = "text"
    STRONG = "strong"
    QUIET = "quiet"
    HEAD = "head"
    NUMBER = "number"
    RULE = "rule"
    """Progress and bars: no text."""
    EDGE = "edge"
    """Strokes at the sides of a button."""
    CHIP = "chip"
    """The pencil mark and plates."""
    PANEL = "panel"
    """The words that must not be missed."""
    BUTTON = "button"
    LEAD = "lead"
    """The button that leads on."""
    FOCUS = "focus"
    NOTICE = "notice"
    ALARM = "alarm"
    HALF = "half"
    NEARLY = "nearly"
    LATE = "late"
    READY = "ready"
    DANGER = "danger"
    WARNING = "warning"
    CAUTION = "caution"
    ADVICE = "advice"
    """Signal word NOTICE."""


@dataclass(frozen=True, slots=True)
class Palette:
    """The colours of one theme as ``#rrggbb``."""

    ground: str
    ink: str
    quiet: str
    block: str
    """Ground of an ordinary button."""
    lead: str
    """Ground of the button that leads on, and of plates."""
    lead_ink: str
    rule: str
    is_dark: bool


PALETTES: dict[str, Palette] = {
    "dark": Palette(
        "#15120e", "#f6f0e4", "#cbbfac", "#3b3127", "#e6c88f", "#15120e", "#ad9b80", True
    ),
    "light": Palette(
        "#fbf7ef", "#17130e", "#463d32", "#ded2bd", "#3d2c17", "#fff8ea", "#66563f", False
    ),
    "contrast": Palette(
        "#000000", "#ffffff", "#ffffff", "#262626", "#ffffff", "#000000", "#a6a6a6", True
    ),
    "contrast-light": Palette(
        "#ffffff", "#000000", "#000000", "#d9d9d9", "#000000", "#ffffff", "#595959", False
    ),
}

SIGNALS: dict[Role, tuple[str, str]] = {
    Role.DANGER: ("#ffffff", "#a3001b"),
    Role.WARNING: ("#000000", "#ff8200"),
    Role.CAUTION: ("#000000", "#ffd100"),
    Role.ADVICE: ("#ffffff", "#003f87"),
}
"""Letters and ground of each signal word, the same in all themes."""

SIGNAL_ROLES = {
    "DANGER": Role.DANGER,
    "WARNING": Role.WARNING,
    "CAUTION": Role.CAUTION,
    "NOTICE": Role.ADVICE,
}

_BOLD = {Role.STRONG, Role.HEAD, Role.NUMBER, Role.HALF} | set(SIGNALS)
_FILLED = {
    Role.CHIP, Role.PANEL, Role.LEAD, Role.FOCUS, Role.NOTICE, Role.ALARM, Role.NEARLY,
    Role.LATE, Role.READY,
}  # fmt: skip


def colour_pair(palette: Palette, role: Role) -> tuple[str, str]:
    """Letters and ground of a role as ``#rrggbb``."""
    if role in SIGNALS:
        return SIGNALS[role]
    if role in (Role.CHIP, Role.LEAD, Role.NOTICE, Role.NEARLY, Role.READY):
        return palette.lead_ink, palette.lead
    if role in (Role.PANEL, Role.FOCUS, Role.ALARM, Role.LATE):
        return palette.ground, palette.ink
    if role is Role.BUTTON:
        return palette.ink, palette.block
    if role is Role.HALF:
        return palette.lead, palette.ground
    if role is Role.EDGE:
        return palette.rule, palette.block
    ink = {Role.QUIET: palette.quiet, Role.RULE: palette.rule}.get(role, palette.ink)
    return ink, palette.ground


Dress = Mapping[Role, Style]
"""How every role looks just now."""


def make_dress(name: str, *, is_coloured: bool = True) -> Dress:
    """Styles of a theme; without colours only bold and reverse are left to tell roles apart."""
    if not is_coloured:
        return {role: _plain_style(role) for role in Role}
    palette = PALETTES[name]
    return {role: _coloured_style(palette, role) for role in Role}


def _coloured_style(palette: Palette, role: Role) -> Style:
    ink, ground = colour_pair(palette, role)
    return Style(color=ink, bgcolor=ground, bold=role in _BOLD | _FILLED)


def _plain_style(role: Role) -> Style:
    return Style(bold=role in _BOLD | _FILLED, reverse=role in _FILLED or role in SIGNALS)
