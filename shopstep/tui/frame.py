"""The whole bench screen for one moment and one size, as plain values.

Imports the arranging rooms; no widget and no clock. From top to bottom: unit and clock, alarm,
card, timers, notice, buttons. The buttons stand at the foot, so nothing above ever moves them.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.present.card import CardMode, StepCard
from shopstep.present.moments import local_time
from shopstep.tui.actions import ANSWERS, leads_on, turn_pages
from shopstep.tui.bars import alarm_rows, notice_rows
from shopstep.tui.caution_sheet import caution_pages
from shopstep.tui.clocks import Alarm
from shopstep.tui.lines import Block
from shopstep.tui.places import Place, place_actions, row_height, side_margin
from shopstep.tui.step_sheet import Sheet, arrange_step
from shopstep.tui.timer_band import band_rows
from shopstep.tui.top_line import top_rows

AIRY_FROM_HEIGHT = 20
"""Screens that have an empty row above the buttons."""


@dataclass(frozen=True, slots=True)
class View:
    """What is to be shown, and on how many cells."""

    card: StepCard
    notice: str
    alarms: tuple[Alarm, ...]
    now_s: int
    zone: str
    width: int
    height: int
    page: int = 0
    """Page of a caution's words, from 0; one too high means the last."""


@dataclass(frozen=True, slots=True)
class Frame:
    """The screen in rows and rectangles."""

    top: Block
    alarm: Block
    body: Block
    body_height: int
    band: Block
    notice: Block
    foot: int
    """Rows of the buttons, with the empty one above them."""
    places: tuple[Place, ...]
    """Buttons, from the foot's upper left corner."""
    order: tuple[str, ...]
    """Actions in the order in which the focus moves."""
    first_focus: str
    """The action that has the focus by itself; empty on a card that has nothing leading on."""
    offers: StepCard
    """The card with what can be chosen on this page."""
    page: int
    sheet: Sheet
    """How large the timers are."""


def arrange_frame(view: View) -> Frame:
    """Everything that is on the screen."""
    width, height, margin = view.width, view.height, side_margin(view.width)
    alarm = alarm_rows(view.alarms, view.now_s, view.zone, width, height, margin)
    notice = notice_rows(view.notice, width, height, margin)
    top = head_rows(view)
    above = int(height >= AIRY_FROM_HEIGHT)
    foot = row_height(height) + above
    room = max(1, height - len(top) - len(alarm) - len(notice) - foot)
    sheet, page, pages = _arrange_body(view, room, margin)
    offers = turn_pages(view.card, page, pages)
    return Frame(
        top=top,
        alarm=alarm,
        body=sheet.rows,
        body_height=max(0, room - sheet.band_rows),
        band=timer_rows(view, sheet),
        notice=notice,
        foot=foot,
        places=tuple(place.below(above) for place in place_actions(offers, width, height)),
        order=tuple(sorted((a.id for a in offers.actions), key=lambda name: name not in ANSWERS)),
        first_focus=offers.actions[0].id if leads_on(offers) else "",
        offers=offers,
        page=page,
        sheet=sheet,
    )


def head_rows(view: View) -> Block:
    """Unit, mark, step and clock."""
    clock = local_time(view.now_s, view.zone)
    return top_rows(view.card, clock, view.width, view.height, side_margin(view.width))


def timer_rows(view: View, sheet: Sheet) -> Block:
    """The running limits as they stand now, in the rows that the sheet left for them."""
    return band_rows(
        view.card.timers, view.now_s, view.zone, view.width, sheet.band_rows, sheet.band_scale
    )


def _arrange_body(view: View, room: int, margin: int) -> tuple[Sheet, int, int]:
    """The body, the page it shows and how many pages there are."""
    if view.card.mode is not CardMode.CAUTION:
        return arrange_step(view.card, view.width, room, margin), 0, 1
    band = min(1, len(view.card.timers)) if room > 5 else 0
    pages = caution_pages(view.card, view.width, room - band, margin)
    page = min(view.page, len(pages) - 1)
    return Sheet(pages[page], band, 0), page, len(pages)
