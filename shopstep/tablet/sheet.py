"""The card as the page shows it: its words in order, its buttons, and the pages behind More.

Only text; the page adds no word about the work of its own. Imports ``present`` and the words of
the session.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopstep.model.step import Step
from shopstep.present.card import (
    FIRST_ANSWER,
    CardCaution,
    CardCheck,
    CardMode,
    CardTimer,
    StepCard,
)
from shopstep.present.choices import (
    BACK,
    clamp_rows,
    label_rows,
    offers,
    pages,
    spoilable,
    stay_rows,
)
from shopstep.present.deviations import KEEP_TITLE, KEEP_WORDS, is_closing_late, keep_words
from shopstep.present.face import Bench
from shopstep.present.hand_pictures import hand_name
from shopstep.present.lines import MANUAL_FIRST, check_words
from shopstep.present.moments import local_time, span_left, timer_stage, timer_words
from shopstep.present.said import card_sentences
from shopstep.present.summary import summary_lines
from shopstep.session.around import glue_up, seconds_of
from shopstep.session.flow import index_plan
from shopstep.units import format_clock
from shopstep.words import manner, say, to_say

AFTER_READING = frozenset({"done", "start", "measure", "accept", "ack"})
"""Actions that wait until the last words of the card were in sight."""
LEADING = frozenset({"done", "start", "measure", "resume"})
"""Actions that lead on; nothing else is lit, an answer to a caution least of all."""
NO_WHY = to_say("No reason was written for this step.")
UNFOLDED = 10_000
Values = dict[str, Any]
Rows = list[tuple[str, str]]


def sheet_of(bench: Bench, card: StepCard, picture: Sequence[str] = ()) -> Values:
    """All that the page needs of a card, as JSON values; without the clocks, see ``clocks_of``.

    ``picture``: address and words of the step's picture, where there is one.
    """
    return {
        "version": card.version,
        "step": card.step_id,
        "mode": card.mode.value,
        "title": bench.state.title,
        "place": _place(card),
        "headline": card.headline,
        "numbers": [[n.label, n.text, n.spoken] for n in card.numbers],
        "sentence": card.sentence,
        "cautions": [_caution(caution, card.mode) for caution in card.cautions],
        "first_answer": _first_answer(card),
        "manual": say(MANUAL_FIRST) if card.mode is CardMode.CAUTION else "",
        "hand": _in_hand(card),
        "checks": _checks(card),
        "notice": card.notice,
        "following": card.following,
        "spoken": " ".join(card_sentences(card)),
        "picture": list(picture) if card.mode in (CardMode.STEP, CardMode.HELD) else [],
        "why": card.why or say(NO_WHY),
        "actions": _actions(card),
        "measure": _measure(card, bench.plan.display),
        "menus": _menus(bench, card),
    }


def hand_address(name: str) -> str:
    """Where the picture of that name lies, of where the other hand goes."""
    return f"/hand-{name}.svg"


def clocks_of(card: StepCard, now_s: int, zone: str) -> Values:
    """The time and every running limit in words at ``now_s``, what must be in time first."""
    timers = sorted(card.timers, key=lambda t: (not t.is_most, t.due_s <= now_s, t.due_s))
    return {"time": local_time(now_s, zone), "timers": [_timer(t, now_s, zone) for t in timers]}


def _timer(timer: CardTimer, now_s: int, zone: str) -> Values:
    left = timer.due_s - now_s
    waits = span_left(left) if left > 0 else say("ready")
    return {
        "name": timer.name,
        "kind": timer.kind,
        "stage": timer_stage(timer, now_s).value,
        "words": timer_words(timer, now_s, zone)[len(timer.name) + 2 :],
        "left": format_clock(left) if timer.is_most else waits,
        "most": timer.is_most,
    }


def _place(card: StepCard) -> str:
    mark = say("pencil mark {mark}", mark=card.mark) if card.mark else ""
    place = say(
        "{done_count} of {total_count} steps done",
        done_count=card.done_count,
        total_count=card.total_count,
    )
    if card.mode.is_ended:
        return place
    return ", ".join(text for text in (card.unit, mark, place) if text)


def _signal(caution: CardCaution) -> Values:
    return {"signal": caution.signal, "sign": say(caution.signal)}


def _caution(caution: CardCaution, mode: CardMode) -> Values:
    """A caution that is to be answered has all its words; one to be kept in mind the needful."""
    if mode is not CardMode.CAUTION or caution.known:
        is_repeated = caution.known and mode is CardMode.CAUTION
        known = say("Answered before in this session; it still holds. ") if is_repeated else ""
        words = f"{known}{caution.harm} {caution.hand or caution.avoid}"
        return {**_signal(caution), "brief": True, "rows": [["", words]]}
    drawn = hand_name(caution.id) if caution.hand else ""
    rows = [
        [say("What can happen"), caution.harm],
        [say("How to avoid it"), caution.avoid],
        [say("Other hand"), caution.hand, "hand-row"],
        [say("If it happened"), caution.done],
        [say("Source"), caution.source, "source"],
    ]
    return {
        **_signal(caution),
        "brief": False,
        "rows": [row for row in rows if row[1]],
        "drawn": hand_address(drawn) if drawn else "",
    }


def _first_answer(card: StepCard) -> str:
    """What is answered before "Understood", at another place; empty where that alone will do."""
    is_new = card.mode is CardMode.CAUTION and not all(c.known for c in card.cautions)
    return say(FIRST_ANSWER) if is_new else ""


def _in_hand(card: StepCard) -> list[str]:
    parts = say("Parts: {parts}", parts="; ".join(card.parts)) if card.parts else ""
    fasteners = (
        say("Fasteners, each unit: {fasteners}", fasteners="; ".join(card.fasteners))
        if card.fasteners
        else ""
    )
    return [text for text in (parts, fasteners) if text]


def _checks(card: StepCard) -> list[list[str]]:
    """Each check in words with how it stands: ``open``, ``good``, ``outside`` or empty."""
    rows = [[check_words(check, is_named=False), _standing(check)] for check in card.checks]
    if card.check_run is None:
        return rows
    return [[f"{card.check_run.opening}.", ""], *rows, [card.check_run.closing, ""]]


def _standing(check: CardCheck) -> str:
    if check.expected_nm is None:
        return ""
    if not check.measured:
        return "open"
    return "good" if check.within or check.accepted else "outside"


def _actions(card: StepCard) -> list[tuple[str, str, bool, bool]]:
    """Id, label, whether it waits until all was read, whether it is the one that leads on."""
    rows = enumerate(card.actions)
    return [(a.id, a.label, a.id in AFTER_READING, n == 0 and a.id in LEADING) for n, a in rows]


def _measure(card: StepCard, display: str) -> Values | None:
    """The first check that still asks for a number."""
    for check in card.checks:
        if check.expected_nm is not None and not (check.within or check.accepted):
            return {
                "name": check.name,
                "text": f"{check.text}: {check.expected} {check.tolerance}".strip(),
                "unit": display,
                "where": check.asks_where,
                "point": manner().point,
            }
    return None


def _menus(bench: Bench, card: StepCard) -> dict[str, Values]:
    """Every page that can be asked for, by its name: a title and rows of choice and label."""
    late = is_closing_late(card, bench.now_s())
    pieces = spoilable(bench.plan, card.step_id) or [(BACK, say("None is in hand here"))]
    menus = {
        "more": (say("More"), _more_rows(bench, card, late)),
        "else": (say("What else?"), offers(card, late)),
        "spoiled": (say("Which piece is spoiled?"), pieces),
        "until": (say("Until when do you stay?"), _stays(bench, card)),
        "clamps": (say("How many clamps are there in all?"), clamp_rows()),
        "label": (say("What open time does the label give?"), label_rows()),
        **pages(),
    }
    words = keep_words(card, bench.plan, bench.now_s())
    if words:  # asked once more before it is kept, on a page of its own
        menus["keep"] = (
            say(KEEP_TITLE),
            [*[("", text) for text in words], ("keep it", say(KEEP_WORDS))],
        )
    return {name: {"title": title, "rows": rows} for name, (title, rows) in menus.items()}


def _more_rows(bench: Bench, card: StepCard, late: bool) -> Rows:
    rows: Rows = [("do accept", say("It was closed in time: keep it"))] if late else []
    if card.mode in (CardMode.STEP, CardMode.CAUTION, CardMode.WAITING):
        rows += [(f"take {step.id}", _take_label(bench, step)) for step in _others(bench, card)]
    if not card.mode.is_ended and card.mode is not CardMode.HELD:
        offered = {action.id for action in card.actions}
        always = (("back", say("Back")), ("hold", say("Hold")))
        rows += [(f"do {name}", label) for name, label in always if name not in offered]
    others = ("ask else", say("Spoiled, aside, note, stop"))
    return [*rows, ("open summary", say("Where are we")), others]


def take_labels(bench: Bench) -> list[str]:
    """Every ready step as a phrase takes it up, by its number from 1."""
    return [_take_label(bench, step) for step in bench.ready()]


def _others(bench: Bench, card: StepCard) -> list[Step]:
    """Steps to be taken besides the one at the bench; none while glue is open."""
    if any(timer.is_most for timer in card.timers):
        return []
    return [step for step in bench.ready() if step.id != card.step_id]


def _take_label(bench: Bench, step: Step) -> str:
    title = index_plan(bench.plan).kind_of(step).title
    return say(
        "Take: {title}, {which}",
        title=title,
        which=say("whole batch")
        if step.unit is None
        else say("unit {step_unit}", step_unit=step.unit),
    )


def _stays(bench: Bench, card: StepCard) -> Rows:
    """From when a glue-up that begins now is at its end; else from now."""
    step = next((step for step in bench.plan.steps if step.id == card.step_id), None)
    needed_s = seconds_of(glue_up(bench.plan, step)) if step is not None else 0
    return stay_rows(bench.now_s() + needed_s, bench.plan.zone)


def summary_text(bench: Bench) -> list[str]:
    """Where the work stands, in lines."""
    return summary_lines(bench.state, bench.plan, bench.now_s(), UNFOLDED)
