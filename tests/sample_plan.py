"""A small plan made by hand, for tests of the session, the cards and the screens.

Invented data: two units of a two-board thing, one batch step at the saw, a glue-up with open and
clamp time, a check with a number, and a coat of paint that dries overnight.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.model.part import Axis, Part
from shopstep.model.plan import Plan
from shopstep.model.step import (
    Caution,
    Check,
    Fastener,
    GlueRole,
    Number,
    Scope,
    Source,
    Step,
    StepKind,
    Wait,
    WaitKind,
)
from shopstep.units import Length

BEGIN_S = 1_764_093_600
"""2025-11-25 18:00 UTC."""

SAW = Caution(
    id="table_saw",
    signal="WARNING",
    harm="The blade can cut fingers off and throw the work back.",
    avoid="Guard and riving knife on, stand out of the line of the blade.",
    hand="Push stick in the right hand; the left hand stays 6 in from the blade.",
    done="Stop the saw, press on the wound, call for help.",
    source="common practice, no source",
    must_ack=True,
)
NAILER = Caution(
    id="brad_nailer",
    signal="WARNING",
    harm="A brad can turn in the grain and come out of the side.",
    avoid="Clamp small parts instead of holding them.",
    hand="The other hand at least 12 in from the point, out of the line of the brad.",
    done="Take the hose off, do not pull the brad, see a doctor.",
    source="DHHS (NIOSH) 2011-202",
    must_ack=True,
)


def kind(
    kind_id: str,
    title: str,
    text: str,
    *,
    scope: Scope = Scope.UNIT,
    role: GlueRole = GlueRole.NONE,
    cautions: tuple[Caution, ...] = (),
    checks: tuple[Check, ...] = (),
    numbers: tuple[Number, ...] = (),
    fasteners: tuple[Fastener, ...] = (),
    duration_s: int = 120,
    tool: str = "",
) -> StepKind:
    """A step kind with the fields that matter here."""
    return StepKind(
        id=kind_id,
        stage=kind_id.split("/")[0],
        title=title,
        text=text,
        why="",
        numbers=numbers,
        parts=(),
        tool=tool,
        cautions=cautions,
        fasteners=fasteners,
        checks=checks,
        role=role,
        glue="wood_glue" if role is not GlueRole.NONE else None,
        scope=scope,
        source=Source.AUTHORED,
        duration_s=duration_s,
        picture=None,
        line=1,
    )


KINDS = (
    kind(
        "rip/rail",
        "Rip the rails",
        "Rip four rails; cut one in scrap first and measure it.",
        scope=Scope.BATCH,
        cautions=(SAW,),
        numbers=(Number("fence", Length.inches("7/2")), Number("pieces", 4)),
        duration_s=600,
        tool="table_saw",
    ),
    kind("fit/dry", "Dry fit", "Put both rails together without glue."),
    kind(
        "glue/spread",
        "Spread glue",
        "Spread glue on both faces.",
        role=GlueRole.SPREAD,
        duration_s=60,
    ),
    kind("glue/close", "Close the joint", "Push the rails together.", role=GlueRole.CLOSE),
    kind(
        "glue/square",
        "Square it",
        "Measure both diagonals.",
        checks=(
            Check(
                "diagonals_differ",
                "difference of the diagonals",
                Length.inches(0),
                Length.inches("1/16"),
            ),
        ),
    ),
    kind(
        "glue/tack",
        "Tack the joint",
        "Two brads on each side.",
        cautions=(NAILER,),
        fasteners=(Fastener("brad", "18-gauge × 1 in brad", 4, None, None),),
        tool="brad_nailer",
    ),
    kind(
        "screw/screws",
        "Screw the joint",
        "Drill the pilot holes, then drive the screws.",
        fasteners=(
            Fastener(
                "screw", "#6 × 1 1/4 in screw", 4, Length.inches("3/32"), Length.inches("9/64")
            ),
        ),
    ),
    kind("paint/coat1", "First coat", "Paint every face that weather reaches."),
    kind("paint/coat2", "Second coat", "Paint the same faces again."),
)


def make_plan(units: int = 2, begin_s: int = BEGIN_S) -> Plan:
    """The sample plan, its steps laid end to end, paint on the second day."""
    steps: list[Step] = []
    waits: list[Wait] = []
    clock = begin_s
    for k in KINDS:
        if k.id == "paint/coat2":
            clock = begin_s + 86400
        for unit in [None] if k.scope is Scope.BATCH else range(1, units + 1):
            prefix = "all" if unit is None else f"u{unit}"
            before = KINDS[KINDS.index(k) - 1] if k is not KINDS[0] else None
            needs: tuple[str, ...] = ()
            if before is not None:
                owner = "all" if before.scope is Scope.BATCH else prefix
                needs = (f"{owner}/{before.id}",)
            steps.append(
                Step(
                    id=f"{prefix}/{k.id}",
                    kind=k.id,
                    unit=unit,
                    needs=needs,
                    duration_s=k.duration_s,
                    start_s=clock,
                    end_s=clock + k.duration_s,
                    resources=(),
                )
            )
            clock += k.duration_s
    for unit in range(1, units + 1):
        u = f"u{unit}"
        waits += [
            Wait(f"{u}/glue/spread:open", WaitKind.OPEN, f"glue, unit {unit}",
                 f"{u}/glue/spread", f"{u}/glue/close", 300, "common practice"),
            Wait(f"{u}/glue/close:clamp", WaitKind.CLAMP, f"clamps, unit {unit}",
                 f"{u}/glue/close", f"{u}/screw/screws", 2700, "common practice"),
            Wait(f"{u}/paint/coat1:recoat", WaitKind.RECOAT, f"paint, unit {unit}",
                 f"{u}/paint/coat1", f"{u}/paint/coat2", 14400, "common practice"),
        ]  # fmt: skip
    # unit by unit through the glue-up, so that no open joint waits for another unit
    steps.sort(key=lambda s: (_stage_rank(s), s.unit or 0, s.start_s))
    return Plan(
        build_id="sample",
        build_title="Sample frame",
        revision=1,
        display="in",
        units=units,
        measured=(),
        choices=(),
        sizes=(),
        overall=(Length.inches(20), Length.inches(16), Length.inches(4)),
        materials=(),
        parts=(),
        joints=(),
        operations=(),
        setups=(),
        stock=(),
        buy=(),
        kinds=KINDS,
        steps=tuple(steps),
        waits=tuple(waits),
        holds=(),
        fits=(),
        findings=(),
        begin_s=begin_s,
        zone="UTC",
    )


def plan_with_rails(units: int = 2) -> Plan:
    """The same, and the steps say that they cut and hold a rail."""
    plan = make_plan(units)
    inch = Length.inches
    rail = Part(
        name="rail",
        hand=None,
        title="rail",
        material="board",
        count_unit=2,
        length=inch(12),
        width=inch(2),
        thickness=inch("3/4"),
        runs=(Axis.FRONT_BACK, Axis.BOTTOM_TOP, Axis.LEFT_RIGHT),
        places=(),
        features=(),
        why="",
        line=1,
    )
    kinds = tuple(
        replace(
            k,
            parts=("rail",) if k.stage in ("rip", "fit", "glue", "screw") else (),
            source=Source.DERIVED if k.stage == "rip" else k.source,
        )
        for k in plan.kinds
    )
    return replace(plan, parts=(rail,), kinds=kinds)


def _stage_rank(step: Step) -> int:
    return ["rip", "fit", "glue", "screw", "paint"].index(step.id.split("/")[1])
