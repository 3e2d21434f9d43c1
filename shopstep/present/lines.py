"""The card as plain lines: for screen readers, pipes and terminals without a screen.

Short lines, no drawing characters, nothing told by place or colour. Imports the words of this
room only.
"""

from __future__ import annotations

from shopstep.present.card import MANUAL_FIRST, CardCaution, CardCheck, CardMode, StepCard
from shopstep.present.columns import fold_text
from shopstep.present.deviations import is_outside
from shopstep.present.moments import WITHIN, timer_words
from shopstep.present.phrases import COMMAND_USAGE
from shopstep.session.trials import say_where
from shopstep.words import say, say_count

__all__ = ["MANUAL_FIRST", "card_lines", "check_words", "timer_words", "wrap_lines"]

MOST_TIMERS = 6
"""Timers read out line by line; a listener keeps no more in mind."""


def card_lines(card: StepCard, now_s: int, zone: str, width: int = 78) -> list[str]:
    """The card in lines of at most ``width`` characters; ``zone`` is an IANA name.

    Cautions stand first, the words that can be said now stand last.
    """
    lines = [line for caution in card.cautions for line in _caution_lines(caution, card.mode)]
    lines.append(say(MANUAL_FIRST) if card.mode is CardMode.CAUTION else "")
    lines += [_place_line(card), card.headline]
    lines += [f"{number.label}: {number.text}" for number in card.numbers]
    lines.append(card.sentence)
    lines += _hand_lines(card)
    lines += _run_lines(card)
    lines += _timer_lines(card, now_s, zone)
    lines.append(say("Now: {notice}", notice=card.notice) if card.notice else "")
    lines.append(say("Then: {following}", following=card.following) if card.following else "")
    lines.append(_action_line(card))
    return wrap_lines(lines, width)


def wrap_lines(lines: list[str], width: int) -> list[str]:
    """The lines that say something, each folded to ``width``, breaking between words."""
    return [part for line in lines for part in fold_text(line, width)]


def _caution_lines(caution: CardCaution, mode: CardMode) -> list[str]:
    if mode is not CardMode.CAUTION:
        return [f"{say(caution.signal)}: {caution.harm} {caution.hand or caution.avoid}"]
    return [
        f"{say(caution.signal)}: {caution.harm}",
        say("How to avoid it: {avoid}", avoid=caution.avoid),
        say("Other hand: {hand}", hand=caution.hand) if caution.hand else "",
        say("If it happened: {done}", done=caution.done),
        say("Source: {source}", source=caution.source),
    ]


def _place_line(card: StepCard) -> str:
    if card.mode.is_ended:
        return say(
            "{done_count} of {total_count} steps done",
            done_count=card.done_count,
            total_count=card.total_count,
        )
    mark = say("pencil mark {mark}", mark=card.mark) if card.mark else ""
    place = say(
        "{done_count} of {total_count} steps done",
        done_count=card.done_count,
        total_count=card.total_count,
    )
    return ", ".join(text for text in (card.unit, mark, place) if text)


def _hand_lines(card: StepCard) -> list[str]:
    parts = say("Parts: {parts}", parts="; ".join(card.parts)) if card.parts else ""
    fasteners = (
        say("Fasteners, each unit: {fasteners}", fasteners="; ".join(card.fasteners))
        if card.fasteners
        else ""
    )
    return [parts, fasteners]


def _run_lines(card: StepCard) -> list[str]:
    """The checks; several of them are announced, and their end is said."""
    lines = [check_words(check) for check in card.checks]
    if card.check_run is None:
        return lines
    return [f"{card.check_run.opening}.", *lines, card.check_run.closing]


def check_words(check: CardCheck, *, is_named: bool = True) -> str:
    """One check in words: "Check diagonals_differ: …, 0 in ± 1/16 in. Not measured yet.".

    Its name is for those who type it; without it, where nothing is typed.
    """
    if not check.expected:
        return f"{say('Check {place}', place=check.place).rstrip()}: {_as_sentence(check.text)}"
    named = ", ".join(word for word in (check.place, check.name if is_named else "") if word)
    head = say("Check {named}", named=named).rstrip()
    text = f"{head}: {check.text}, {check.expected} {check.tolerance}".rstrip() + "."
    if not check.measured:
        return say("{text} Not measured yet.", text=text)
    verdict = (
        say("good") if check.within else say("kept as it is") if check.accepted else say("OUTSIDE")
    )
    return say(
        "{text} Measured {measured}{where}: {verdict}.",
        text=text,
        measured=check.measured,
        where=say_where(check.where),
        verdict=verdict,
    )


def _as_sentence(text: str) -> str:
    return text if text.endswith((".", "?", "!")) else f"{text}."


def _timer_lines(card: StepCard, now_s: int, zone: str) -> list[str]:
    """What must be in time first; of a large batch only the nearest, and how many more."""
    timers = sorted(card.timers, key=lambda t: (not t.is_most, t.kind == WITHIN, t.due_s))
    kept = max(MOST_TIMERS, sum(timer.is_most for timer in timers))
    lines = [timer_words(timer, now_s, zone) for timer in timers[:kept]]
    return [
        *lines,
        say_count("and {n} more timer", "and {n} more timers", len(timers) - kept)
        if len(timers) > kept
        else "",
    ]


def _action_line(card: StepCard) -> str:
    words = [_action_words(card, action.id, action.label) for action in card.actions]
    return say("You can say: {words}.", words=", ".join(words))


def _action_words(card: StepCard, name: str, label: str) -> str:
    if name == "measure":
        asked = [c for c in card.checks if c.expected_nm is not None and not c.within]
        where = say(" WHERE") if asked and asked[0].asks_where else ""
        return (
            say("measure {asked_name} VALUE{where}", asked_name=asked[0].name, where=where)
            if asked
            else COMMAND_USAGE[name]
        )
    if name == "accept":
        outside = [check.name for check in card.checks if is_outside(check)]
        return (
            say("accept {outside} REASON", outside=outside[0]) if outside else COMMAND_USAGE[name]
        )
    return name if label.lower() == name else f"{name} ({label})"
