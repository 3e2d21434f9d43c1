"""The table of actions: keys, and words for the help page.

Imports the card; ``requests`` makes their commands. What a button, a key, a pedal and the help
page say comes from this one table.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopstep.present.card import FIRST_ANSWER, CardAction, CardMode, StepCard
from shopstep.words import say


@dataclass(frozen=True, slots=True)
class Action:
    """One thing that can be asked for at the bench."""

    id: str
    keys: tuple[str, ...]
    """Letters that ask for it, whichever place its button has."""
    number: str
    """Number key, the same on every card; 1 instead while it leads on. Empty for none."""
    label: str
    """Used where the card gives none."""
    help: str
    is_always: bool = False
    """May be asked for by its keys although the card does not offer it."""


LEAD_NUMBER = "1"
NEXT_PAGE = "next_page"
"""Stands in the place of what leads on before the last page of a card's words."""
OTHER_PAGE = "other_page"
"""Turns the pages of a card that was read to its end."""
BOARD = "board"
"""Opens the page of the whole batch; may be asked for whatever stands at the bench."""
PICTURE = "picture"
"""Opens the page with the picture of the step."""
READY = "ready"
"""The first of the two answers to a caution; the second is ``ack``, at another place."""
ANSWERS = frozenset({READY, "ack"})
AGAIN = "again"
"""Says the card once more."""
TALK = "talk"
"""Opens the microphone, where the screen listens."""
VIEW = "view"
"""Changes between the near view and the distance view."""

ACTIONS: tuple[Action, ...] = (
    Action(NEXT_PAGE, ("n",), "1", "Read on", "The next page of a card's words."),
    Action("done", ("d",), "7", "Done", "The step is done; the next one comes."),
    Action("start", ("s",), "0", "Start", "The first glue goes on: its open time counts from now."),
    Action(
        "measure",
        ("e",),
        "9",
        "Measure",
        "Enter what the rule says, by taps alone; of a gap, where it is.",
    ),
    Action("back", ("b",), "2", "Back", "The last finished step is open again.", True),
    Action("resume", ("r", "h"), "3", "Resume", "Take up again after a hold."),
    Action("hold", ("h",), "3", "Hold", "Stop for now. Nothing is lost.", True),
    Action("why", ("w",), "4", "Why", "Why this step is done this way.", True),
    Action("more", ("m",), "5", "More", "Other steps, the whole text, help, leave.", True),
    Action(BOARD, ("o",), "", "Board", "The whole batch: every unit, what waits, today.", True),
    Action(PICTURE, ("p",), "", "Picture", "What the step looks like, as large as it goes.", True),
    Action(READY, ("u",), "6", FIRST_ANSWER, "The caution is read; then comes the answer to it."),
    Action("ack", ("a",), "9", "Understood", "The answer to a caution; the step may begin."),
    Action("accept", ("k",), "8", "Keep as it is", "Keep a value outside its tolerance."),
    Action(OTHER_PAGE, ("n",), "", "Other page", "Another page of a card that was read."),
    Action(
        AGAIN,
        ("g",),
        "",
        "Say again",
        "The card once more; then slower; then only its numbers.",
        True,
    ),
    Action(
        TALK,
        ("t",),
        "",
        "Talk",
        "Opens the microphone for some seconds, pressed again shuts it; where --listen is on.",
        True,
    ),
    Action(
        VIEW,
        ("v",),
        "",
        "Near or far",
        "Near by, or from two steps away. A tap on the card does it.",
        True,
    ),
)
ACTION_BY_ID = {action.id: action for action in ACTIONS}
KEEP_KEYS = (*ACTION_BY_ID["accept"].keys, ACTION_BY_ID["accept"].number)
"""Keep what lies outside also where its button has no room."""

FORWARD = frozenset({"done", "start", "measure", "resume", NEXT_PAGE})
"""Actions that lead on; only these stand at the left end and get the focus by themselves."""
NUMBERED_ONE = FORWARD - {"resume"}
"""Those that have number 1 while they lead on."""

AFTER_READING = frozenset({"done", "start", "measure", "accept", *ANSWERS})
"""Actions that wait for the last page of a card's words; till then their keys read on."""

LOCAL = frozenset({"measure", "why", "more", BOARD, PICTURE})
"""Actions that open a page and send nothing."""
ON_SCREEN = frozenset({NEXT_PAGE, OTHER_PAGE, VIEW, READY, AGAIN, TALK})
"""Actions that change what is seen of the card and send nothing."""


def leads_on(card: StepCard) -> bool:
    """Whether the card's first action goes forward and has the focus by itself."""
    if card.mode is CardMode.CAUTION:
        return False
    return bool(card.actions) and card.actions[0].id in FORWARD


def key_of(action: str, card: StepCard) -> str:
    """The number key of an action on this card; the letter of one that has no number."""
    known = ACTION_BY_ID[action]
    if action in NUMBERED_ONE and card.actions and card.actions[0].id == action:
        return LEAD_NUMBER
    return known.number or known.keys[0]


def number_actions(card: StepCard) -> dict[str, CardAction]:
    """The key of each action on offer: one number for one action, whatever else is offered."""
    return {key_of(action.id, card): action for action in card.actions}


def turn_pages(card: StepCard, page: int, pages: int, *, is_read: bool = False) -> StepCard:
    """The card as it can be acted on while a page of its words is in sight.

    What finishes, starts or answers is offered once the last page was seen; from then on the pages
    can be turned by a button of their own.
    """
    if page < pages - 1 and not is_read:
        turn = CardAction(NEXT_PAGE, say("Read on {page}/{pages}", page=page + 1, pages=pages))
        kept = [action for action in card.actions if action.id not in AFTER_READING]
        return replace(card, actions=(turn, *kept))
    if pages < 2:
        return card
    turn = CardAction(OTHER_PAGE, say("Page {page}", page=(page + 1) % pages + 1))
    return replace(card, actions=(*card.actions, turn))


def needs_two_answers(card: StepCard) -> bool:
    """Whether a caution is answered at two places: one that was not answered in this session."""
    return card.mode is CardMode.CAUTION and not all(c.known for c in card.cautions)


def ask_twice(card: StepCard, *, is_ready: bool) -> StepCard:
    """A caution's card before its first answer: that one stands in the place of the second."""
    if is_ready or card.mode is not CardMode.CAUTION:
        return card
    first = CardAction(READY, say(ACTION_BY_ID[READY].label))
    kept = [first if action.id == "ack" else action for action in card.actions]
    return replace(card, actions=tuple(kept))


def action_for_key(key: str, card: StepCard) -> str | None:
    """The action a number or a letter asks for on this card; one on offer goes first.

    Before the last page, the key of what is not offered yet reads on. The key of Done does not
    on a caution: a second press must not turn it unread.
    """
    offered = {action.id for action in card.actions}
    named = [action.id for action in ACTIONS if key in (*action.keys, action.number)]
    by_number = number_actions(card).get(key)
    if by_number is not None:
        return by_number.id
    if key == LEAD_NUMBER:
        return None
    for name in named:
        if name in offered:
            return name
    waiting = frozenset({READY}) if card.mode is CardMode.CAUTION else AFTER_READING
    if NEXT_PAGE in offered and not waiting.isdisjoint(named):
        return NEXT_PAGE
    if card.mode is CardMode.HELD:
        named = [name for name in named if name in ("why", "more", BOARD, PICTURE, AGAIN, TALK)]
    return next((name for name in named if ACTION_BY_ID[name].is_always), None)
