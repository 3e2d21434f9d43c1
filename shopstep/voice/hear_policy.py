"""What is done about what was heard: a command, a question back, an answer, or nothing.

Pure: card, state and moment are arguments. Never acts on doubt: a caution is answered by its own
sentence, what cannot be undone is read back first, a number that was read is shown and confirmed,
and ten seconds long "go back one step" undoes what voice did. Imports present, session and units.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from shopstep.present.card import CardCheck, CardMode, StepCard
from shopstep.present.deviations import is_outside
from shopstep.session import commands as c
from shopstep.units import Length, format_length
from shopstep.voice.hear_cautions import open_cautions
from shopstep.voice.vocabulary import ACK
from shopstep.words import say

UNDO_S = 10.0
"""So long "go back one step" undoes what voice did last."""
ASKED_S = 15.0
"""So long an answer to what was read back is waited for."""
_OFFERED = ("done", "start", "resume", "accept", "measure", "back", "hold", "why", "more")
"""Actions of the card that have a phrase."""
_AT_STEP = ("aside",)
_LOOKS = ("why", "more", "again", "slower", "number", "left", "quiet")
"""What changes nothing: a face answers it."""


@dataclass(frozen=True, slots=True)
class Heard:
    """A phrase that was taken for certain."""

    action: str
    words: str
    value: Length | None = None
    count: int | None = None


@dataclass(frozen=True, slots=True)
class Asked:
    """What was read back and waits for yes or no."""

    command: c.Command
    at_s: float
    version: int
    """The card that it is about; on another one the question is void."""


@dataclass(frozen=True, slots=True)
class Undoable:
    """What voice did last, and how it is undone."""

    undo: c.Command | None
    at_s: float
    step: str


@dataclass(frozen=True, slots=True)
class HearState:
    """What the ear remembers from one utterance to the next."""

    asked: Asked | None = None
    last: Undoable | None = None
    answered: tuple[str, ...] = ()
    """Cautions whose sentence was said, of the step ``answered_for``."""
    answered_for: str = ""


@dataclass(frozen=True, slots=True)
class Reply:
    """What is to be done now. At most one of ``command`` and ``look`` is set."""

    state: HearState
    text: str = ""
    """To be shown large, and spoken where there is a voice."""
    command: c.Command | None = None
    look: str = ""
    """``why``, ``more``, ``again``, ``slower``, ``number``, ``left`` or ``quiet``."""
    is_question: bool = False
    is_refusal: bool = False
    is_undo: bool = False


@dataclass(frozen=True, slots=True)
class Around:
    """What the card does not say."""

    ready: tuple[str, ...] = ()
    """Ids of the steps that are ready, as ``more`` numbers them."""
    rings: bool = False
    """Whether an alarm sounds."""


@dataclass(frozen=True, slots=True)
class _Turn:
    heard: Heard
    card: StepCard
    state: HearState
    around: Around
    now_s: float
    id: str

    @property
    def target(self) -> dict[str, object]:
        return {"id": self.id, "step": self.card.step_id or None, "seen": self.card.version}


def allowed_actions(
    card: StepCard, state: HearState, around: Around, now_s: float
) -> tuple[str, ...]:
    """What may be said now; with a question open, only its answers."""
    if is_open(state, card, now_s):
        return ("yes", "no", "again")
    ids = {action.id for action in card.actions}
    may = [action for action in _OFFERED if action in ids]
    if card.mode in (CardMode.STEP, CardMode.CAUTION, CardMode.WAITING) and "hold" not in may:
        may.append("hold")
    if "back" not in may and _may_undo(state, now_s):
        may.append("back")
    if card.mode is CardMode.STEP:
        may += _AT_STEP
        may += ["take"] if len(around.ready) > 1 else []
    if card.mode is CardMode.CAUTION:
        may.append(ACK)
    may += ["number"] if card.numbers else []
    may += ["left"] if card.timers else []
    may += ["quiet"] if around.rings else []
    return (*may, "again", "slower")


def is_open(state: HearState, card: StepCard, now_s: float) -> bool:
    """Whether a question waits for its answer."""
    asked = state.asked
    return asked is not None and asked.version == card.version and now_s - asked.at_s <= ASKED_S


def respond(
    heard: Heard,
    card: StepCard,
    state: HearState,
    now_s: float,
    command_id: str,
    around: Around | None = None,
) -> Reply:
    """What is to be done about a phrase that was heard while ``card`` stood there."""
    turn = _Turn(heard, card, state, around or Around(), now_s, command_id)
    if heard.action not in allowed_actions(card, state, turn.around, now_s):
        return _refuse(turn, say("'{words}' is not possible on this card.", words=heard.words))
    if heard.action in ("yes", "no"):
        return _answer(turn)
    if heard.action in _LOOKS:
        return Reply(state, look=heard.action)
    return _MAKERS[heard.action](turn)


def after_command(reply: Reply, before: StepCard, now_s: float, *, was_done: bool) -> HearState:
    """The state once the command of a reply was carried out, or refused by the session."""
    if reply.command is None or reply.is_undo or not was_done:
        return reply.state
    undo = _undo_of(reply.command, before)
    return replace(reply.state, last=Undoable(undo, now_s, before.step_id))


def _refuse(turn: _Turn, text: str) -> Reply:
    return Reply(turn.state, text, is_refusal=True)


def _answer(turn: _Turn) -> Reply:
    asked = turn.state.asked
    assert asked is not None  # allowed_actions offers yes and no with a question only
    state = replace(turn.state, asked=None)
    if turn.heard.action == "no":
        return Reply(state, say("Left as it is."))
    return Reply(state, command=asked.command)


def _ask(turn: _Turn, command: c.Command, text: str) -> Reply:
    asked = Asked(command, turn.now_s, turn.card.version)
    return Reply(replace(turn.state, asked=asked), text, is_question=True)


def _do(turn: _Turn, command: c.Command) -> Reply:
    return Reply(replace(turn.state, asked=None), command=command)


def _finish(turn: _Turn) -> Reply:
    return _do(turn, c.FinishStep(**turn.target))  # type: ignore[arg-type]


def _hold(turn: _Turn) -> Reply:
    return _do(turn, c.HoldBatch(**turn.target))  # type: ignore[arg-type]


def _resume(turn: _Turn) -> Reply:
    return _do(turn, c.ResumeBatch(**turn.target))  # type: ignore[arg-type]


def _aside(turn: _Turn) -> Reply:
    return _do(turn, c.SetAside(**turn.target))  # type: ignore[arg-type]


def _start(turn: _Turn) -> Reply:
    command = c.StartSpreading(**turn.target)  # type: ignore[arg-type]
    return _ask(turn, command, say("Glue goes on now, and its open time counts from your yes?"))


def _back(turn: _Turn) -> Reply:
    """Within ten seconds what voice did; later the card's own way back."""
    state, last = turn.state, turn.state.last
    if not _may_undo(state, turn.now_s):
        return _do(turn, c.GoBack(**turn.target))  # type: ignore[arg-type]
    assert last is not None  # _may_undo
    if last.undo is None:
        return _refuse(turn, say("What was done last cannot be undone by voice; look under More."))
    undo = replace(last.undo, id=turn.id, seen=turn.card.version)
    return Reply(replace(state, asked=None, last=None), command=undo, is_undo=True)


def _may_undo(state: HearState, now_s: float) -> bool:
    return state.last is not None and now_s - state.last.at_s <= UNDO_S


def _acknowledge(turn: _Turn) -> Reply:
    """One sentence for each caution; the last one answers the card."""
    card, state = turn.card, turn.state
    said = state.answered if state.answered_for == card.step_id else ()
    sentences = open_cautions(card)
    now = {id_ for id_, words in sentences.items() if words == turn.heard.words}
    if not now:
        return _refuse(turn, say("That is no caution of this card."))
    answered = tuple(dict.fromkeys((*said, *sorted(now))))
    state = replace(state, answered=answered, answered_for=card.step_id, asked=None)
    left = [words for id_, words in sentences.items() if id_ not in answered]
    if left:
        return Reply(state, say("One more caution. Say: {left}", left=left[0]))
    return Reply(state, command=c.AcknowledgeCaution(**turn.target))  # type: ignore[arg-type]


def _measure(turn: _Turn) -> Reply:
    value = turn.heard.value
    check = _open_check(turn.card)
    if value is None or check is None:
        return _refuse(turn, say("No number was understood; type it or tap it."))
    if check.asks_where:
        return _refuse(turn, say("{check}: where the gap is has to be tapped.", check=check.text))
    command = c.TakeMeasure(**turn.target, name=check.name, value=value)  # type: ignore[arg-type]
    return _ask(
        turn,
        command,
        say(
            "{value} for {check}?",
            value=format_length(value, _unit(turn.heard.words)),
            check=check.text,
        ),
    )


def _open_check(card: StepCard) -> CardCheck | None:
    """The first check that still needs a number."""
    numbered = [check for check in card.checks if check.expected_nm is not None]
    left = [check for check in numbered if not check.within and not check.accepted]
    return left[0] if left else None


def _unit(words: str) -> str:
    return "mm" if "millimeter" in words else "in"


def _accept(turn: _Turn) -> Reply:
    outside = [check for check in turn.card.checks if is_outside(check)]
    if len(outside) != 1:
        return _refuse(turn, say("Which value is to be kept has to be tapped."))
    check = outside[0]
    command = c.AcceptDeviation(**turn.target, name=check.name)  # type: ignore[arg-type]
    return _ask(
        turn,
        command,
        say(
            "Keep {measured} for {check}, although it is outside?",
            measured=check.measured,
            check=check.text,
        ),
    )


def _take(turn: _Turn) -> Reply:
    count, ready = turn.heard.count, turn.around.ready
    if count is None or not 1 <= count <= len(ready):
        return _refuse(
            turn, say("There is no ready step of that number; there are {ready}.", ready=len(ready))
        )
    command = c.TakeStep(id=turn.id, step=ready[count - 1], seen=turn.card.version)
    return _do(turn, command)


def _undo_of(command: c.Command, before: StepCard) -> c.Command | None:
    """What brings things back to where they were; None where nothing does."""
    step = command.step
    match command:
        case c.FinishStep():
            return c.GoBack(id="", step=step)
        case c.HoldBatch():
            return c.ResumeBatch(id="", step=step)
        case c.ResumeBatch():
            return c.HoldBatch(id="", step=step)
        case c.TakeStep() | c.SetAside():
            return c.TakeStep(id="", step=before.step_id) if before.step_id else None
        case _:
            return None


_MAKERS: dict[str, Callable[[_Turn], Reply]] = {
    "done": _finish,
    "start": _start,
    "resume": _resume,
    "hold": _hold,
    "back": _back,
    "aside": _aside,
    "accept": _accept,
    "measure": _measure,
    "take": _take,
    ACK: _acknowledge,
}
