"""The facts of one step as a card shows them: numbers, fasteners, checks, cautions, parts, mark.

Imports ``model``, ``session`` and the words of this room.
"""

from __future__ import annotations

from shopstep.model.part import Hand, Part
from shopstep.model.plan import Plan
from shopstep.model.step import Caution, Check, Fastener, GlueRole, Number, Step, StepKind
from shopstep.present.card import CardCaution, CardCheck, CardNumber
from shopstep.present.spoken import say_value
from shopstep.session.evolve import OPEN_TIME, PUT_OFF
from shopstep.session.flow import open_joints, put_off_too_long
from shopstep.session.state import State
from shopstep.session.timers import local_clock
from shopstep.session.trials import asks_where, say_correction, say_try
from shopstep.units import Angle, Length, format_angle, format_length, format_span
from shopstep.words import say, to_say

SIDES = to_say(("front to back", "left to right", "bottom to top"))
"""The ways that a whole is measured along."""
_PART = "\0"
"""Stands for a part's title while sentences are compared."""


def value_text(value: Length | Angle | int, display: str) -> str:
    """A number of a step as printed: "3 1/2 in", "15°", "4"."""
    if isinstance(value, Length):
        return format_length(value, display)
    return format_angle(value) if isinstance(value, Angle) else str(value)


def show_number(number: Number, display: str) -> CardNumber:
    """One number as printed and as said."""
    text = value_text(number.value, display)
    return CardNumber(say(number.label), text, say_value(number.value, display))


def show_fastener(fastener: Fastener, display: str) -> str:
    """Fasteners of one unit: "4 × #6 × 1 1/4 in screw, pilot 3/32 in, clearance 9/64 in"."""
    text = f"{fastener.count} × {fastener.title}"
    if fastener.pilot is not None:
        text += say(", pilot {pilot}", pilot=format_length(fastener.pilot, display))
    if fastener.clearance is not None:
        text += say(", clearance {clearance}", clearance=format_length(fastener.clearance, display))
    return text


def show_caution(caution: Caution) -> CardCaution:
    """One caution with all its words."""
    return CardCaution(
        id=caution.id,
        signal=caution.signal,
        harm=say(caution.harm),
        avoid=say(caution.avoid),
        hand=say(caution.hand),
        done=say(caution.done),
        source=caution.source,
        must_ack=caution.must_ack,
    )


def show_checks(
    state: State, plan: Plan, step: Step, kind: StepKind, now_s: int
) -> tuple[CardCheck, ...]:
    """The checks of a step with what was read; a joint open for too long comes first."""
    shown = tuple(_show_check(check, state, step.id, plan.display) for check in kind.checks)
    shown = _show_put_off(state, plan, step, now_s) + shown
    if kind.role is GlueRole.CLOSE:
        return _show_late_joint(state, plan, step, now_s) + shown
    return shown


def _show_check(check: Check, state: State, step_id: str, display: str) -> CardCheck:
    key = (step_id, check.name)
    reading = state.readings.get(key)
    asks = check.value is not None
    return CardCheck(
        name=check.name,
        text=check.text,
        expected=format_length(check.value, display) if check.value is not None else "",
        expected_nm=check.value.nm if check.value is not None else None,
        tolerance=f"± {format_length(check.tolerance, display)}" if asks else "",
        measured=format_length(Length(reading.nm), display) if reading else "",
        within=reading.within if reading else not asks,
        accepted=key in state.accepted,
        where=reading.where if reading else "",
        asks_where=asks_where(check),
        tries=reading.tries if reading else 0,
        correction=say_correction(check, reading, display) if reading else "",
    )


def try_words(state: State, plan: Plan, step: Step, kind: StepKind) -> list[str]:
    """Of each try in scrap that is outside: what is changed before the next one."""
    keys = {(step.id, check.name): check for check in kind.checks}
    tried = [
        say_try(check, state.readings[key], plan.display)
        for key, check in keys.items()
        if key in state.readings and key not in state.accepted
    ]
    return [text for text in tried if text]


def _show_put_off(state: State, plan: Plan, step: Step, now_s: int) -> tuple[CardCheck, ...]:
    """That the step was put off for too long, as something to be kept."""
    timer = put_off_too_long(state, plan, step.id, now_s)
    if timer is None:
        return ()
    late = CardCheck(
        name=PUT_OFF,
        text=say("how long it was put off"),
        expected=say("at most {seconds}", seconds=format_span(timer.wait.seconds)),
        expected_nm=None,
        tolerance="",
        measured=format_span((now_s - timer.started_s) // 60 * 60),
        within=False,
        accepted=(step.id, PUT_OFF) in state.accepted,
    )
    return (late,)


def put_off_words(state: State, plan: Plan, step: Step, now_s: int) -> list[str]:
    """What to do first where the step was put off for too long."""
    timer = put_off_too_long(state, plan, step.id, now_s)
    if timer is None:
        return []
    due = local_clock(timer.due_s, now_s, plan.zone)
    return [say("It was to begin by {due}. {late}", due=due, late=say(timer.wait.late)).strip()]


def _show_late_joint(state: State, plan: Plan, step: Step, now_s: int) -> tuple[CardCheck, ...]:
    for timer in open_joints(state, plan):
        if timer.wait.before == step.id and now_s > timer.due_s:
            late = CardCheck(
                name=OPEN_TIME,
                text=say("how long the glue has been open"),
                expected=say("at most {seconds}", seconds=format_span(timer.wait.seconds)),
                expected_nm=None,
                tolerance="",
                measured=format_span(now_s - timer.started_s),
                within=False,
                accepted=(step.id, OPEN_TIME) in state.accepted,
            )
            return (late,)
    return ()


def parts_in_hand(plan: Plan, kind: StepKind) -> dict[str, tuple[Part, ...]]:
    """The parts of a step by name; handed ones twice; a name without a part stays empty."""
    return {name: tuple(part for part in plan.parts if part.name == name) for name in kind.parts}


def show_parts(plan: Plan, kind: StepKind) -> tuple[str, ...]:
    """What is in hand: "left and right side rail", "panel"."""
    return tuple(_show_part(name, parts) for name, parts in parts_in_hand(plan, kind).items())


def _show_part(name: str, parts: tuple[Part, ...]) -> str:
    if not parts:
        return name
    hands = [hand for hand in (Hand.LEFT, Hand.RIGHT) if any(p.hand is hand for p in parts)]
    return " ".join([say(" and ").join(hands), parts[0].title]).strip()


def pencil_mark(plan: Plan, step: Step, kind: StepKind) -> str:
    """What is written on the wood: "2", or "2 L, 2 R" on handed parts; empty for the batch."""
    if step.unit is None:
        return ""
    hands = {part.hand for parts in parts_in_hand(plan, kind).values() for part in parts}
    letters = [letter for hand, letter in ((Hand.LEFT, "L"), (Hand.RIGHT, "R")) if hand in hands]
    return ", ".join(f"{step.unit} {letter}" for letter in letters) or str(step.unit)


def unit_words(step: Step, plan: Plan) -> str:
    """Whose turn it is: "unit 2 of 2", or "whole batch"."""
    if step.unit is None:
        return say("whole batch")
    made = next((made for made in plan.makes if step.unit in made.units), None)
    if made is None:
        return say("unit {step_unit} of {units}", step_unit=step.unit, units=plan.units)
    place = made.units.index(step.unit) + 1
    return say(
        "unit {step_unit}, {made_title} {place} of {units}",
        step_unit=step.unit,
        made_title=made.title,
        place=place,
        units=len(made.units),
    )


def headline_of(step: Step, kind: StepKind) -> str:
    """A step's headline with its unit: "Spread glue (unit 2)"."""
    return (
        kind.title
        if step.unit is None
        else say("{kind_title} (unit {step_unit})", kind_title=kind.title, step_unit=step.unit)
    )


def people_words(kind: StepKind) -> list[str]:
    """That a step needs a second pair of hands, before its text; nothing for one person."""
    return [say("Two people.")] if kind.people > 1 else []


def hand_words(kind: StepKind) -> list[str]:
    """Where the free hand goes in a step that nails, after its text; one sentence for each way.

    Parts that are held alike share it: a card that says the same twice is not read twice.
    """
    alike: dict[str, list[str]] = {}
    for hold in kind.hands:
        if hold.words:
            alike.setdefault(hold.words.replace(hold.part, _PART, 1), []).append(hold.part)
    joined = {words: say(" or ").join(dict.fromkeys(parts)) for words, parts in alike.items()}
    return [words.replace(_PART, parts, 1) for words, parts in joined.items()]
