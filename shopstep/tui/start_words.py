"""What the pages of the start screen show: words and buttons for a width. Imports the door.

No word is new here that ``present`` has already.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopstep.model.plan import Plan
from shopstep.present.lines import MANUAL_FIRST
from shopstep.present.shelf_words import KeptSession, ShelfBuild, outline_rows
from shopstep.tui.big_type import large_text, tall_block
from shopstep.tui.door import first_open
from shopstep.tui.lines import EMPTY, WIDEST_TEXT, Block, fold_block, labelled
from shopstep.tui.screens.page import BACK
from shopstep.tui.screens.told_page import Told
from shopstep.tui.theme import Role
from shopstep.words import say, to_say

GO_ON, NEW, OTHERS, MEASURE = "go_on", "new", "others", "take_measures"
PICTURE, START = "picture", "begin"
AIR, UNITS, KEEP_PLAN, MOVE_PLAN, LISTS = "air", "units", "keep", "move", "lists"
TALL_FROM_WIDTH = 72
WELCOME = to_say("From your own measurements to a finished batch, step by step.")
NOTHING_YET = to_say("No batch is under way. Choose a build and begin.")


def home(sessions: Sequence[KeptSession], day: str, notice: str, width: int, margin: int) -> Told:
    """The last session to go on with, and a new batch."""
    last = first_open(sessions)
    told: list[tuple[str, Role]] = [(notice, Role.STRONG)] if notice else []
    head: tuple[Block, ...] = ()
    if last is None:
        told.append((say(WELCOME) if sessions else say(NOTHING_YET), Role.TEXT))
    else:
        head = ((*_headline(last.look.title, width, margin, 2), EMPTY),)
        told += [
            (last.look.where, Role.TEXT),
            (say("Last entry: {when}.", when=last.look.when), Role.QUIET),
        ]
    blocks = (*head, *_paragraphs(told, width, margin))
    large = _tall_paragraphs(told, width, margin)
    choices = [(GO_ON, say("Go on"), "1")] if last is not None else []
    choices.append((NEW, say("New batch"), "2" if choices else "1"))
    if len(sessions) > (last is not None):
        choices.append((OTHERS, say("Other batches"), "3"))
    choices.append((BACK, say("Leave"), "4"))
    return Told("shopstep", day, blocks, tuple(choices), (*head, *large) if large else ())


def build(found: ShelfBuild, width: int, margin: int) -> Told:
    """What a build is, and which of its measurements are kept."""
    measures = found.measures
    rows = tuple(row for text in measures.rows for row in _words(text, width, margin))
    blocks = [
        (*_headline(found.title, width, margin), EMPTY),
        (*_words(found.summary, width, margin), EMPTY),
        (
            *_words(
                say("Measurements: {words}.", words=measures.words), width, margin, Role.STRONG
            ),
            *rows,
        ),
    ]
    go_on = (GO_ON, say("Go on"), "3") if measures.missing else (GO_ON, say("Go on"), "1")
    measure = (MEASURE, say("Measure"), "1" if measures.missing else "3")
    first, second = (measure, go_on) if measures.missing else (go_on, measure)
    ways = (
        [first, (BACK, say("Back"), "2"), second]
        if measures.total
        else [go_on, (BACK, say("Back"), "2")]
    )
    ways.append((PICTURE, say("Picture"), "p"))
    return Told(say("The build"), found.title, tuple(blocks), tuple(ways))


def outline(plan: Plan, width: int, margin: int) -> Told:
    """The plan in one page, before anything is made of it."""
    told = outline_rows(plan)
    widest = max(len(label) for label, _ in told)
    rows = [labelled(label.ljust(widest), words, width, margin) for label, words in told]
    rows.append((EMPTY, *_words(say(MANUAL_FIRST), width, margin, Role.QUIET)))
    ways = (
        (START, say("Start"), "1"),
        (BACK, say("Back"), "2"),
        (LISTS, say("Parts, buy list"), "3"),
    )
    return Told(say("The plan"), plan.build_title, tuple(rows), ways)


def refused(sentences: Sequence[str], width: int, margin: int) -> Told:
    """Why there is no plan, and what can be chosen anew."""
    told = [(text, Role.TEXT) for text in sentences]
    ways = (
        (AIR, say("Other air"), "1"),
        (BACK, say("Back"), "2"),
        (UNITS, say("Other number"), "3"),
    )
    blocks, large = _paragraphs(told, width, margin), _tall_paragraphs(told, width, margin)
    return Told(say("No plan yet"), say("so it cannot be made"), blocks, ways, large)


def changed(text: str, width: int, margin: int) -> Told:
    """A session whose build file has changed since."""
    ways = (
        (KEEP_PLAN, say("Keep its plan"), "1"),
        (BACK, say("Back"), "2"),
        (MOVE_PLAN, say("Plan the rest anew"), "3"),
    )
    return Told(say("The build has changed"), "", (_words(text, width, margin),), ways)


def _headline(text: str, width: int, margin: int, most: int = 1) -> Block:
    """In tall letters where they fit in so many lines, else bold."""
    drawn = (
        tall_block(text, width, Role.HEAD, margin=margin, most=most)
        if width >= TALL_FROM_WIDTH
        else None
    )
    return drawn or fold_block(text, min(width, WIDEST_TEXT), Role.HEAD, margin)


def _paragraphs(told: Sequence[tuple[str, Role]], width: int, margin: int) -> tuple[Block, ...]:
    return tuple((*_words(text, width, margin, role), EMPTY) for text, role in told)


def _tall_paragraphs(
    told: Sequence[tuple[str, Role]], width: int, margin: int
) -> tuple[Block, ...]:
    """The same in tall letters on a large screen; empty where one of them is too long."""
    drawn = [large_text(text, width, margin, role) for text, role in told]
    found = tuple((*rows, EMPTY) for rows in drawn if rows)
    return found if len(found) == len(told) else ()


def _words(text: str, width: int, margin: int, role: Role = Role.TEXT) -> Block:
    return fold_block(text, min(width, WIDEST_TEXT), role, margin)
