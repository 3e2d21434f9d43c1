"""Samples for the tests of cards, lines and documents: a furnished plan, and a bench in memory.

Invented data: the sample plan with parts, joints, machine work, stock, fits and findings added.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from shopstep.model.feature import Bevel, Face, Groove, Holes, Notch
from shopstep.model.joint import Joint
from shopstep.model.material import Form, Material
from shopstep.model.operation import Operation, Setting, Setup
from shopstep.model.part import Axis, Hand, Part
from shopstep.model.plan import Finding, Fit, Level, Measured, Plan, Where
from shopstep.model.step import Step
from shopstep.model.stock import BuyLine, Cut, StockPiece
from shopstep.present.card import StepCard
from shopstep.present.card_for import card_for
from shopstep.session import commands as c
from shopstep.session.decide import decide
from shopstep.session.events import Envelope, Moment
from shopstep.session.evolve import evolve
from shopstep.session.flow import ready_steps
from shopstep.session.state import State
from shopstep.units import Angle, Length
from tests.sample_plan import BEGIN_S, make_plan

inch = Length.inches
_GROOVE = Groove(
    "panel", Face.INSIDE, Face.TOP, inch("3/4"), inch("1/2"), inch("3/8"), inch(0), inch("3/4")
)
_BEVEL = Bevel("alight", Face.TOP, Face.FRONT, inch(2), inch("1/2"), Angle.degrees("14.036"))
_RUNS = (Axis.FRONT_BACK, Axis.BOTTOM_TOP, Axis.LEFT_RIGHT)


def _part(
    name: str, hand: Hand | None, title: str, length: str, width: str, **more: object
) -> Part:
    base = Part(
        name=name,
        hand=hand,
        title=title,
        material="board",
        count_unit=1,
        length=inch(length),
        width=inch(width),
        thickness=inch("3/4"),
        runs=_RUNS,
        places=(),
        features=(),
        why="",
        line=12,
    )
    return replace(base, **more)  # type: ignore[arg-type]


PARTS = (
    _part("side_rail", Hand.LEFT, "side rail", "45/2", "7/2", features=(_GROOVE, _BEVEL)),
    _part("side_rail", Hand.RIGHT, "side rail", "45/2", "7/2", features=(_GROOVE, _BEVEL)),
    _part(
        "door",
        None,
        "door",
        "59/4",
        "3/2",
        count_unit=2,
        features=(
            Holes("vents", Face.FRONT, Face.BOTTOM, inch("3/4"), inch("1/4"), 5, inch(2)),
            Notch("entrance", Face.FRONT, Face.BOTTOM, inch(4), inch("3/8")),
        ),
    ),
    _part("panel", None, "panel", "20", "55/4", material="ply", thickness=inch("1/2")),
)
MATERIALS = (
    Material(
        "board", "3/4 in pine board", Form.BOARD, inch("3/4"), inch("11/2"), inch(96), "1×6, 8 ft"
    ),
    Material("ply", "1/2 in plywood", Form.SHEET, inch("1/2"), inch(48), inch(96), "4 ft × 8 ft"),
)
JOINT = Joint(
    "panel_left", "groove", "panel", "side_rail", "wood_glue",
    inch("3/8"), inch("1/8"), inch("1/32"), inch(14), inch("117/8"), 2, 40,
)  # fmt: skip
RIP = (Setting("fence", inch("7/2")),)
TILT = (Setting("tilt", Angle.degrees(15)), Setting("height", inch("3/8")))
OPERATIONS = (
    Operation("rip/side_rail/left", "rip", "table_saw", "side_rail", Hand.LEFT, 2, RIP, (), ""),
    Operation("rip/side_rail/right", "rip", "table_saw", "side_rail", Hand.RIGHT, 2, RIP, (), ""),
    Operation(
        "bevel_rip/door", "bevel_rip", "table_saw", "door", None, 4, TILT,
        ("rip/side_rail/left",), "front face up",
    ),
)  # fmt: skip
SETUPS = (
    Setup("rip/side_rail", "rip", "table_saw", RIP, ("rip/side_rail/left", "rip/side_rail/right")),
    Setup("bevel_rip/door", "bevel_rip", "table_saw", TILT, ("bevel_rip/door",)),
)
STOCK = (
    StockPiece(
        "buy-board-1", "board", False, inch(96), inch("11/2"),
        (
            Cut("side_rail", Hand.LEFT, inch(0), inch(0), inch("45/2"), inch("7/2")),
            Cut("side_rail", Hand.LEFT, inch("181/8"), inch(0), inch("45/2"), inch("7/2")),
            Cut("side_rail", Hand.RIGHT, inch("181/4"), inch(0), inch("45/2"), inch("7/2")),
        ),
        inch("1/8"),
    ),
    StockPiece("off-7", "ply", True, inch(24), inch(30), (), inch("1/8")),
)  # fmt: skip
FITS = (
    Fit("bee_space", "must", inch("5/16"), inch("1/4"), inch("3/8"), True, "a press", "Above.", 60),
    Fit("slide", "should", inch("1/64"), inch("1/32"), None, False, "common practice", "", 61),
)
FINDINGS = (
    Finding(
        Level.WARN, "fit_missed", "The slide clearance is 1/64 in.",
        Where("floor.yaml", 61, "slide"), "Make the runner 1/64 in thinner.",
    ),
    Finding(Level.NOTE, "usual", "Nobody measured the board.", Where(), ""),
)  # fmt: skip


def furnished_plan(units: int = 2) -> Plan:
    """The sample plan with everything in it that a plan can hold."""
    plan = make_plan(units)
    kinds = tuple(
        replace(kind, parts=("side_rail",)) if kind.id == "glue/spread" else kind
        for kind in plan.kinds
    )
    return replace(
        plan,
        kinds=kinds,
        measured=(
            Measured("board_thickness", "Thickness of your board", inch("3/4"), True),
            Measured("hive_width", "Outside width of the hive", inch("65/4"), False),
        ),
        choices=(("entrance", "front"),),
        sizes=(("inside", inch("59/4")),),
        materials=MATERIALS,
        parts=PARTS,
        joints=(JOINT,),
        operations=OPERATIONS,
        setups=SETUPS,
        stock=STOCK,
        buy=(BuyLine("board", 1, "board", "1 × 3/4 in pine board, 1×6, 8 ft"),),
        fits=FITS,
        findings=FINDINGS,
        left_is="left as you stand behind it",
    )


@dataclass(frozen=True)
class Done:
    """A command that was carried out."""

    card: StepCard


@dataclass
class MemoryBench:
    """A running session in memory, on the real decisions; its clock stands until it is moved."""

    plan: Plan = field(default_factory=make_plan)
    at_s: int = BEGIN_S
    state: State = field(default_factory=lambda: State(plan_number=1))
    log: list[Envelope] = field(default_factory=list)
    asked: list[c.Command] = field(default_factory=list)
    notice: str = ""

    def card(self) -> StepCard:
        """The card at the bench's own time."""
        return card_for(self.state, self.plan, self.at_s, self.notice)

    def do(self, command: c.Command) -> Done | c.Refusal:
        """Decide, and keep the events."""
        self.asked.append(command)
        moment = Moment(self.at_s, self.plan.zone, "boot", self.at_s)
        verdict = decide(self.state, self.plan, command, moment)
        if isinstance(verdict, c.Refusal):
            return verdict
        for event in verdict:
            envelope = Envelope(len(self.log) + 1, event, moment, "plain", command.id)
            self.log.append(envelope)
            self.state = evolve(self.state, envelope)
        return Done(self.card())

    def better(self) -> StepCard | None:
        """Nobody looks for a better plan."""

    def changes_since(self, version: int) -> tuple[Envelope, ...]:
        """Envelopes after a version."""
        return tuple(envelope for envelope in self.log if envelope.version > version)

    def ready(self) -> tuple[Step, ...]:
        """The steps that could be taken now."""
        return ready_steps(self.state, self.plan, self.at_s)

    def ahead(self) -> Plan:
        """The sample plan as it is."""
        return self.plan

    def now_s(self) -> int:
        """The time that was set."""
        return self.at_s

    def finish_until(self, step_id: str) -> StepCard:
        """Do all that the cards ask for, a minute each, until a step stands at the bench."""
        while (card := self.card()).step_id != step_id:
            self.follow(card)
        return card

    def follow(self, card: StepCard) -> None:
        """Do the first thing that the card asks for; wait where it waits."""
        self.at_s += 60
        action = card.actions[0].id
        step = card.step_id or None
        if action == "measure":
            name = next(check.name for check in card.checks if not check.within)
            command: c.Command = c.TakeMeasure(id="m", step=step, name=name, value=inch("1/32"))
        elif action == "start":
            command = c.StartSpreading(id="s", step=step)
        elif action == "ack":
            command = c.AcknowledgeCaution(id="a", step=step)
        elif action == "done":
            command = c.FinishStep(id="d", step=step)
        else:
            self.at_s += 600
            return
        verdict = self.do(command)
        assert not isinstance(verdict, c.Refusal), verdict
