"""What the pages of the start screen show: words and buttons for a width. Imports the door.

No word is new here that ``present`` has already.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopstep.model.plan import Plan
from shopstep.present.lines import MANUAL_FIRST
from shopstep.present.shelf_words import KeptSession, ShelfBuild, outline_rows
from shopstep.tui.big_type import tall_block
from shopstep.tui.door import first_open
from shopstep.tui.lines import EMPTY, WIDEST_TEXT, Block, fold_block, labelled
from shopstep.tui.screens.page import BACK
from shopstep.tui.screens.told_page import Told
from shopstep.tui.theme import Role

GO_ON, NEW, OTHERS, MEASURE, START = "go_on", "new", "others", "measure", "start"
AIR, UNITS, KEEP_PLAN, MOVE_PLAN, LISTS = "air", "units", "keep", "move", "lists"
WELCOME = "From your own measurements to a finished batch, step by step."
NOTHING_YET = "No batch is under way. Choose a build and begin."


def home(sessions: Sequence[KeptSession], day: str, notice: str, width: int, margin: int) -> Told:
    """The last session to go on with, and a new batch."""
    last = first_open(sessions)
    blocks: list[Block] = []
    if notice:
        blocks.append((*_words(notice, width, margin, Role.STRONG), EMPTY))
    if last is None:
        blocks.append(_words(NOTHING_YET if not sessions else WELCOME, width, margin))
    else:
        where = (
            *_words(last.look.where, width, margin),
            *labelled("last entry", last.look.when, width, margin),
        )
        blocks.append((*_headline(last.look.title, width, margin), EMPTY, *where))
    choices = [(GO_ON, "Go on", "1")] if last is not None else []
    choices.append((NEW, "New batch", "2" if choices else "1"))
    if len(sessions) > (last is not None):
        choices.append((OTHERS, "Other batches", "3"))
    choices.append((BACK, "Leave", "4"))
    return Told("shopstep", day, tuple(blocks), tuple(choices))


def build(found: ShelfBuild, width: int, margin: int) -> Told:
    """What a build is, and which of its measurements are kept."""
    measures = found.measures
    rows = tuple(row for text in measures.rows for row in _words(text, width, margin))
    blocks = [
        (*_headline(found.title, width, margin), EMPTY),
        (*_words(found.summary, width, margin), EMPTY),
        (*_words(f"Measurements: {measures.words}.", width, margin, Role.STRONG), *rows),
    ]
    go_on = (GO_ON, "Go on", "3") if measures.missing else (GO_ON, "Go on", "1")
    measure = (MEASURE, "Measure", "1" if measures.missing else "3")
    first, second = (measure, go_on) if measures.missing else (go_on, measure)
    ways = [first, (BACK, "Back", "2"), second] if measures.total else [go_on, (BACK, "Back", "2")]
    return Told("The build", found.title, tuple(blocks), tuple(ways))


def outline(plan: Plan, width: int, margin: int) -> Told:
    """The plan in one page, before anything is made of it."""
    rows = [labelled(label, words, width, margin) for label, words in outline_rows(plan)]
    rows.append((EMPTY, *_words(MANUAL_FIRST, width, margin, Role.QUIET)))
    ways = ((START, "Start", "1"), (BACK, "Back", "2"), (LISTS, "Parts, buy list", "3"))
    return Told("The plan", plan.build_title, tuple(rows), ways)


def refused(sentences: Sequence[str], width: int, margin: int) -> Told:
    """Why there is no plan, and what can be chosen anew."""
    blocks = [(*_words(text, width, margin), EMPTY) for text in sentences]
    head = (*_words("So it cannot be made.", width, margin, Role.STRONG), EMPTY)
    ways = ((AIR, "Other air", "1"), (UNITS, "Other number", "3"), (BACK, "Back", "2"))
    return Told("No plan yet", "", (head, *blocks), ways)


def changed(text: str, width: int, margin: int) -> Told:
    """A session whose build file has changed since."""
    ways = (
        (KEEP_PLAN, "Keep its plan", "1"),
        (MOVE_PLAN, "Plan the rest anew", "3"),
        (BACK, "Back", "2"),
    )
    return Told("The build has changed", "", (_words(text, width, margin),), ways)


def _headline(text: str, width: int, margin: int) -> Block:
    """In tall letters where they fit in two lines, else bold."""
    drawn = tall_block(text, width, Role.HEAD, margin=margin, most=1) if width >= 72 else None
    return drawn or fold_block(text, min(width, WIDEST_TEXT), Role.HEAD, margin)


def _words(text: str, width: int, margin: int, role: Role = Role.TEXT) -> Block:
    return fold_block(text, min(width, WIDEST_TEXT), role, margin)
