"""Pages behind More where a reason or a note is chosen by a tap: nothing has to be typed.

Imports the words of this room and the commands of ``session``.
"""

from __future__ import annotations

from shopstep.model.plan import Plan
from shopstep.model.resources import parse_clamps
from shopstep.present.card import CardMode, StepCard
from shopstep.present.ending_words import ASIDE_REASONS, NEXT_TIME, TO_GET
from shopstep.present.moments import local_time, typed_time
from shopstep.session.commands import (
    AnswerClock,
    Command,
    CountClamps,
    NoteConditions,
    ReadLabel,
    SetAside,
    SpoilPart,
    SpreadAgain,
    StayUntil,
    StopBatch,
    TakeNote,
)
from shopstep.words import say, to_say

BACK = "back_to_step"
"""Chosen where nothing is to be done."""
Rows = list[tuple[str, str]]
"""What is given back when a row is chosen, and its label."""

HALF_HOUR_S = 1800
MOST_STAYS = 5
"""Half hours that are offered to stay longer."""
LABEL_MINUTES = (3, 4, 5, 6, 8, 10, 15, 20)
CLAMP_COUNTS = (2, 4, 6, 8, 10, 12)
NO_REASON = to_say("no reason")


def pages() -> dict[str, tuple[str, Rows]]:
    """By the word that opens a page: its title and its rows."""
    return {
        "aside": (
            say("Set this step aside: why?"),
            [(f"say aside {words}", _label(words)) for words in (*ASIDE_REASONS, NO_REASON)],
        ),
        "next": (
            say("For the next time"),
            [(f"say next {words}", _label(words)) for words in NEXT_TIME],
        ),
        "get": (say("To get"), [(f"say get {words}", _label(words)) for words in TO_GET]),
        "stop": (
            say("End this batch for good?"),
            [("say stop yes", say("Stop it for good")), (BACK, say("No, go on"))],
        ),
    }


def _label(words: str) -> str:
    said = say(words)
    return said[:1].upper() + said[1:]


def spoilable(plan: Plan, step_id: str) -> Rows:
    """Rows for the pieces in hand at a step: which one is spoiled, and of which unit."""
    step = next((step for step in plan.steps if step.id == step_id), None)
    if step is None:
        return []
    held = next((kind.parts for kind in plan.kinds if kind.id == step.kind), ())
    units = [step.unit] if step.unit is not None else range(1, plan.units + 1)
    return [
        (
            " ".join(("say spoiled", part.name, part.hand or "none", str(unit))),
            say("{part_label}, unit {unit}", part_label=part.label, unit=unit).capitalize(),
        )
        for part in plan.parts
        if part.name in held
        for unit in units
    ]


def stay_rows(from_s: int, zone: str) -> Rows:
    """Rows for how long one stays: half hours, not before a moment."""
    first = -(-from_s // HALF_HOUR_S)
    moments = [(first + ahead) * HALF_HOUR_S for ahead in range(MOST_STAYS)]
    return [
        *[
            (f"say until {typed_time(at, zone)}", say("Until {at}", at=local_time(at, zone)))
            for at in moments
        ],
        (BACK, say("Something else first")),
    ]


def label_rows() -> Rows:
    """Rows for the open time on a glue's label."""
    times = [(f"say label {minutes} min", f"{minutes} min") for minutes in LABEL_MINUTES]
    return [*times, ("say label none", say("It gives none"))]


def clamp_rows(enough: str = "") -> Rows:
    """Rows for how many clamps there are; ``enough``: by their reach, where that is asked."""
    if enough:
        return [
            (f"say clamps {enough}", say("There are {enough}", enough=enough)),
            (BACK, say("No, wait")),
        ]
    counts = [(f"say clamps {count}", say("{count} clamps", count=count)) for count in CLAMP_COUNTS]
    return [*counts, (BACK, say("No, wait"))]


def with_all(choice: str) -> Rows:
    """Rows that ask once more, where a piece is joined: all of it again, or not."""
    return [(f"say {choice} all", say("All of it again")), (BACK, say("No, mend it in place"))]


def offers(card: StepCard, is_late: bool) -> Rows:
    """Rows of the More page that open one of these pages, or act at once."""
    rows: Rows = []
    if card.clock_doubt:
        rows += [
            ("say clock right", say("The clock is right")),
            ("say clock wrong", say("It is wrong")),
        ]
    if is_late:
        rows.append(("say scraped", say("Scraped off: spread anew")))
    if card.mode in (CardMode.STEP, CardMode.CAUTION):
        rows.append(("ask aside", say("Set this step aside")))
        rows.append(("ask spoiled", say("A piece is spoiled")))
    if not card.mode.is_ended:
        rows += [("ask next", say("Note for next time")), ("ask get", say("Note what to get"))]
        rows += [("ask until", say("Stay longer tonight")), ("ask clamps", say("Count the clamps"))]
        rows.append(("open air", say("The air has changed")))
        rows.append(("ask stop", say("Stop for good")))
    return rows


def command_of(choice: str, card: StepCard, command_id: str) -> Command | None:
    """The command of a chosen row; None where it only goes back."""
    word, _, rest = choice.partition(" ")
    step, seen = card.step_id or None, card.version
    if word == "aside":
        reason = "" if rest == NO_REASON else rest
        return SetAside(id=command_id, step=step, seen=seen, reason=say(reason))
    if word == "scraped":
        return SpreadAgain(id=command_id, step=step, seen=seen)
    if word == "stop":
        return StopBatch(id=command_id, seen=seen, sure=True)
    if word == "clock":
        return AnswerClock(id=command_id, seen=seen, right=rest == "right")
    if word == "air":
        warmth, damp = rest.split(" ")
        return NoteConditions(
            id=command_id, seen=seen, temperature_c=float(warmth), humidity_percent=float(damp)
        )
    if word == "until":
        return StayUntil(id=command_id, seen=seen, clock=rest)
    if word == "label":
        minutes = 0 if rest == "none" else int(rest.split(" ")[0])
        return ReadLabel(id=command_id, step=step, seen=seen, seconds=60 * minutes)
    if word == "clamps":
        count, sets = parse_clamps(rest)
        return CountClamps(id=command_id, seen=seen, count=count, sets=sets)
    if word == "spoiled":
        name, hand, unit, *whole = rest.split(" ")
        hand = "" if hand == "none" else hand
        return SpoilPart(
            id=command_id, seen=seen, part=name, hand=hand, unit=int(unit), sure=bool(whole)
        )
    kinds = {"next": "next_time", "get": "to_get"}
    if word in kinds:
        return TakeNote(id=command_id, step=step, seen=seen, text=say(rest), kind=kinds[word])
    return None
