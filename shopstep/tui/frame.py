"""The whole bench screen for one moment and one size, as plain values.

Imports the arranging rooms (a caution's, and the far view's, when there is one); no widget and no
clock. From top to bottom: unit and clock, alarm, card, timers, notice, the line of the ear,
buttons. The buttons stand at the foot, so nothing above ever moves them.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.present.card import CardMode, StepCard
from shopstep.present.moments import local_time
from shopstep.tui.actions import ANSWERS, ask_twice, leads_on, turn_pages
from shopstep.tui.bars import alarm_rows, notice_rows
from shopstep.tui.clocks import Alarm
from shopstep.tui.lines import Block
from shopstep.tui.places import Place, place_actions, row_height, side_margin
from shopstep.tui.step_sheet import Sheet, clock_scales, glue_rows, step_pages
from shopstep.tui.timer_band import band_rows
from shopstep.tui.top_line import top_rows

AIRY_FROM_HEIGHT = 28
"""Screens that have an empty row above the buttons."""
LEAST_CAUTION_ROWS = 5
"""Rows that a caution's words need before timers get any."""


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
    """Page of the card's words, from 0; one too high means the last."""
    is_read: bool = False
    """Whether this card's last page was seen already."""
    is_far: bool = False
    """Whether it is to be read from two steps away."""
    is_ready: bool = False
    """Whether the first of the two answers to a caution was given."""
    ear: Block = ()
    """The rows of the ear; none where nobody is heard."""


@dataclass(frozen=True, slots=True)
class Frame:
    """The screen in rows and rectangles."""

    top: Block
    alarm: Block
    body: Block
    body_height: int
    band: Block
    notice: Block
    ear: Block
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
    pages: int
    sheet: Sheet
    """How large the timers are."""


def arrange_frame(view: View) -> Frame:
    """Everything that is on the screen."""
    width, height, margin = view.width, view.height, side_margin(view.width)
    notice = notice_rows(view.notice, width, height, margin)
    top = head_rows(view)
    above = int(height >= AIRY_FROM_HEIGHT)
    foot = row_height(height) + above
    room = max(1, height - len(top) - len(notice) - len(view.ear) - foot)
    # an alarm takes room for a moment only: the buttons stay as they are without it
    calm = _arrange_pages(view, room, margin)
    page, pages = min(view.page, len(calm) - 1), len(calm)
    alarm, sheet = _add_alarm(view, calm, room, margin)
    room = max(1, room - len(alarm))
    asked = ask_twice(view.card, is_ready=view.is_ready)
    offers = turn_pages(asked, page, pages, is_read=view.is_read)
    places = tuple(place.below(above) for place in place_actions(offers, width, height))
    return Frame(
        top=top,
        alarm=alarm,
        body=sheet.rows,
        body_height=max(0, room - sheet.band_rows),
        band=timer_rows(view, sheet),
        notice=notice,
        ear=view.ear,
        foot=foot,
        places=places,
        order=tuple(sorted((p.action for p in places), key=lambda name: name not in ANSWERS)),
        first_focus=offers.actions[0].id if leads_on(offers) else "",
        offers=offers,
        page=page,
        pages=pages,
        sheet=sheet,
    )


def _add_alarm(view: View, calm: list[Sheet], room: int, margin: int) -> tuple[Block, Sheet]:
    """The alarm bar and the sheet under it; the time of open glue keeps its size if it can."""
    alarm: Block = ()
    sheets = calm
    for may_be_tall in (True, False) if view.alarms else ():
        alarm = alarm_rows(
            view.alarms, view.now_s, view.zone, view.width, view.height, margin,
            may_be_tall=may_be_tall,
        )  # fmt: skip
        sheets = _arrange_pages(view, max(1, room - len(alarm)), margin)
        is_glue = any(timer.is_most for timer in view.card.timers)
        if not is_glue or sheets[0].band_scale >= calm[0].band_scale:
            break
    return alarm, sheets[min(view.page, len(sheets) - 1)]


def head_rows(view: View) -> Block:
    """Unit, mark, step and clock."""
    clock = local_time(view.now_s, view.zone)
    return top_rows(view.card, clock, view.width, view.height, side_margin(view.width))


def timer_rows(view: View, sheet: Sheet) -> Block:
    """The running limits as they stand now, in the rows that the sheet left for them."""
    waited = view.card.sentence if view.card.mode is CardMode.WAITING else ""
    timers, rows, scale = view.card.timers, sheet.band_rows, sheet.band_scale
    return band_rows(timers, view.now_s, view.zone, view.width, rows, scale, waited)


def _arrange_pages(view: View, room: int, margin: int) -> list[Sheet]:
    """The body, page by page."""
    if view.card.mode is not CardMode.CAUTION:
        if view.is_far:
            from shopstep.tui.far_sheet import far_pages

            return far_pages(view.card, view.width, room, margin)
        return step_pages(view.card, view.width, room, margin)
    return _caution_sheets(view.card, view.width, room, margin)


def _caution_sheets(card: StepCard, width: int, room: int, margin: int) -> list[Sheet]:
    """The pages of a caution; open glue keeps its tall digits, larger where no page is added."""
    from shopstep.tui.caution_sheet import caution_pages

    scales = clock_scales(width) if any(timer.is_most for timer in card.timers) else []
    kept: list[Sheet] = []
    for scale in reversed(scales):
        band = glue_rows(scale)
        if room - band < LEAST_CAUTION_ROWS:
            break
        pages = caution_pages(card, width, room - band, margin)
        if kept and len(pages) > len(kept):
            break
        kept = [Sheet(rows, band, scale) for rows in pages]
    if kept:
        return kept
    band = min(1, len(card.timers)) if room > LEAST_CAUTION_ROWS else 0
    return [Sheet(rows, band, 0) for rows in caution_pages(card, width, room - band, margin)]
