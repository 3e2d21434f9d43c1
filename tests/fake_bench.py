"""A bench for tests of the screen: cards made by hand, commands written down, time that stands.

Invented data; the words are those of no real tool.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from shopstep.model.plan import Plan
from shopstep.model.step import Step
from shopstep.present.card import (
    CardAction,
    CardCaution,
    CardCheck,
    CardMode,
    CardNumber,
    CardTimer,
    StepCard,
)
from shopstep.session.commands import Command, Refusal
from shopstep.session.events import BatchHeld, Envelope, Moment
from shopstep.session.state import State
from tests.sample_plan import BEGIN_S, make_plan

NOW_S = BEGIN_S + 3600
LABELS = {
    "done": "Done",
    "start": "Start spreading",
    "ack": "Understood",
    "measure": "Measure",
    "accept": "Keep as it is",
    "back": "Back",
    "hold": "Hold",
    "resume": "Resume",
    "why": "Why",
    "more": "More",
}


@dataclass(frozen=True, slots=True)
class Answered:
    """What the fake bench gives for a command it takes."""

    card: StepCard


def actions(*names: str) -> tuple[CardAction, ...]:
    """Actions with their usual labels."""
    return tuple(CardAction(name, LABELS[name]) for name in names)


STEP = StepCard(
    version=7,
    plan_number=1,
    mode=CardMode.STEP,
    step_id="all/rip/rail",
    unit="whole batch",
    mark="2 L",
    headline="Rip the rails",
    numbers=(
        CardNumber("fence", "12 3/8 in", "twelve and three eighths inches"),
        CardNumber("pieces", "4", "four"),
    ),
    sentence="Rip four rails; cut one in scrap first and measure it before the others.",
    why="Rails of one width close the frame square; scrap shows the kerf before good wood does.",
    picture=None,
    parts=("rail left", "rail right"),
    fasteners=(),
    cautions=(),
    checks=(),
    actions=actions("done", "back", "hold", "why", "more"),
    timers=(),
    hearing="off",
    notice="",
    done_count=6,
    total_count=17,
    following="Dry fit, unit 1",
)

SAW_CAUTION = CardCaution(
    id="table_saw",
    signal="WARNING",
    harm="The blade can cut fingers off and throw the work back.",
    avoid="Guard and riving knife on, stand out of the line of the blade.",
    hand="Push stick in the right hand; the left hand stays 6 in from the blade.",
    done="Stop the saw, press on the wound, call for help.",
    source="common practice, no source",
    must_ack=True,
)
LONG_CAUTION = CardCaution(
    id="long",
    signal="DANGER",
    harm="harm words up to the longest that the safety table allows here.."[:60],
    avoid=("avoid words that go on and on up to the longest allowed " * 3)[:110].strip(),
    hand=("hand words that go on and on up to the longest allowed " * 3)[:110].strip(),
    done=("done words that go on and on up to the longest allowed " * 3)[:90].strip(),
    source="common practice, no source",
    must_ack=True,
)

CAUTION = replace(
    STEP,
    mode=CardMode.CAUTION,
    cautions=(SAW_CAUTION,),
    actions=actions("ack", "back", "hold", "why", "more"),
)

GLUE_TIMER = CardTimer("glue, unit 1", "open", NOW_S - 50, NOW_S + 250, True, "u1/glue/close")
CLAMP_TIMER = CardTimer(
    "clamps, unit 2", "clamp", NOW_S - 900, NOW_S + 1800, False, "u2/screw/screws"
)
PAINT_TIMER = CardTimer(
    "paint, unit 3", "recoat", NOW_S - 2400, NOW_S + 12000, False, "u3/paint/coat2"
)

GLUE = replace(
    STEP,
    step_id="u1/glue/close",
    unit="unit 1 of 2",
    mark="1",
    headline="Close the joint",
    numbers=(),
    sentence="Push the rails together until the shoulder is tight all round, then clamp.",
    timers=(GLUE_TIMER, CLAMP_TIMER),
    following="Square it, unit 1",
)

MEASURE = replace(
    GLUE,
    step_id="u1/glue/square",
    headline="Square it",
    sentence="Measure both diagonals and note how much they differ.",
    checks=(
        CardCheck(
            "diagonals_differ",
            "difference of the diagonals",
            "0 in",
            0,
            "± 1/16 in",
            "",
            False,
            False,
        ),
    ),
    actions=actions("measure", "done", "back", "hold", "more"),
    timers=(CLAMP_TIMER,),
)

OUTSIDE = replace(
    MEASURE,
    version=8,
    checks=(replace(MEASURE.checks[0], measured="1/8 in"),),
    actions=actions("measure", "done", "accept", "back", "more"),
)

GAP = replace(
    STEP,
    sentence="Blade tilted 45°. Pencil the slope on scrap and try it.",
    checks=(
        CardCheck(
            "gap_bevel",
            "gap at the bevel gauge set 3/8 in to 3/8 in; heel: top face, toe: front edge",
            "0 in",
            0,
            "± 1/64 in",
            "",
            False,
            False,
            asks_where=True,
        ),
    ),
    actions=actions("measure", "done", "back", "hold", "more"),
)

TACK = replace(
    GLUE,
    step_id="u1/glue/tack",
    headline="Tack the joint",
    sentence="Two brads on each side.",
    cautions=(SAW_CAUTION,),
    fasteners=("4 × 18-gauge × 1 in brad", "4 × #6 × 1 1/4 in screw, pilot 3/32 in"),
    timers=(),
)

WAITING = replace(
    STEP,
    mode=CardMode.WAITING,
    step_id="",
    unit="",
    mark="",
    headline="Nothing can be done before 22:20 (paint, unit 3)",
    numbers=(),
    sentence="paint, unit 3: dry enough for the next coat in 3 h 20 min (at 22:20).",
    parts=(),
    actions=actions("back", "hold", "more"),
    timers=(PAINT_TIMER,),
    following="Second coat, unit 3",
)

HELD = replace(
    STEP,
    mode=CardMode.HELD,
    headline="On hold",
    mark="",
    numbers=(),
    sentence="On hold since 18:40. All is kept; resume when you are ready.",
    parts=(),
    actions=actions("resume"),
    timers=(CLAMP_TIMER,),
    following="Rip the rails",
)

COMPLETE = replace(
    STEP,
    mode=CardMode.COMPLETE,
    step_id="",
    unit="",
    mark="",
    headline="Complete",
    numbers=(),
    sentence="Sample frame, 2 units: the last of 17 steps was done at 18:40.",
    parts=(),
    actions=actions("back", "more"),
    done_count=17,
    following="",
)

FULL_CELL = "\u28ff"

ALL_CARDS = {
    "step": STEP,
    "caution": CAUTION,
    "long_caution": replace(CAUTION, cautions=(SAW_CAUTION, LONG_CAUTION)),
    "glue": GLUE,
    "measure": MEASURE,
    "outside": OUTSIDE,
    "tack": TACK,
    "waiting": WAITING,
    "held": HELD,
    "complete": COMPLETE,
}


class FakeBench:
    """Shows the card it is given and writes down what it is asked to do."""

    def __init__(self, card: StepCard = STEP, plan: Plan | None = None) -> None:
        self.shown = card
        self.plan: Plan = plan or make_plan()
        self.state = State(version=card.version, title="Sample frame", last_s=NOW_S)
        self.time_s = NOW_S
        self.commands: list[Command] = []
        self.react: Callable[[Command], StepCard | Refusal] = lambda _: self.shown
        self.better_card: StepCard | None = None
        """Given once, as by a plan that got better."""
        self.ready_steps: tuple[Step, ...] = self.plan.steps[:3]

    def card(self) -> StepCard:
        """The card that was put there."""
        return self.shown

    def do(self, command: Command) -> Answered | Refusal:
        """Write the command down and react to it."""
        self.commands.append(command)
        answer = self.react(command)
        if isinstance(answer, Refusal):
            return answer
        self.shown = answer
        return Answered(answer)

    def better(self) -> StepCard | None:
        """The card under a better plan, once."""
        card, self.better_card = self.better_card, None
        self.shown = self.shown if card is None else card
        return card

    def changes_since(self, version: int) -> tuple[Envelope, ...]:
        """One envelope for every version that was missed."""
        moment = Moment(self.time_s, "UTC", "boot", 0)
        return tuple(
            Envelope(number, BatchHeld(""), moment, "other", f"other-{number}")
            for number in range(version + 1, self.shown.version + 1)
        )

    def ahead(self) -> Plan:
        """The sample plan as it is."""
        return self.plan

    def now_s(self) -> int:
        """The time that stands."""
        return self.time_s

    def ready(self) -> tuple[Step, ...]:
        """A few steps of the sample plan."""
        return self.ready_steps


class FakePictures:
    """Draws every step as full cells up to the edges of its room, once it is ``ready``."""

    def __init__(self, *, is_ready: bool = True) -> None:
        self.is_ready = is_ready
        self.asked: list[tuple[str, int, int]] = []
        self.has_any = True

    def cells(self, plan: Plan, kind_id: str, columns: int, rows: int) -> tuple[str, ...] | None:
        """Writes down what was asked for."""
        assert kind_id in {kind.id for kind in plan.kinds}
        self.asked.append((kind_id, columns, rows))
        if not self.is_ready:
            return None
        return (FULL_CELL * columns,) * rows if self.has_any else ()

    def stop(self) -> None:
        """Nothing runs."""


class StillClock:
    """Monotonic seconds that move only when told to."""

    def __init__(self) -> None:
        self.seconds = 100.0

    def __call__(self) -> float:
        return self.seconds

    def pass_by(self, seconds: float) -> None:
        """Let time go by."""
        self.seconds += seconds


SIZES = ((40, 15), (59, 16), (80, 24), (120, 40), (200, 60))
"""The sizes that the screen is laid out for: columns and rows."""
