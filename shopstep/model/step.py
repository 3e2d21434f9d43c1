"""Steps: what the person sees and ticks, once as a kind and then for each unit or batch."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.model.feature import CutLine, FaceOf
from shopstep.model.joint import FastenerRow
from shopstep.units import ZERO, Angle, Length

_UPRIGHT = Angle(0)


class Scope(StrEnum):
    """Whether a step is done once for each unit or once for the whole batch."""

    UNIT = "unit"
    BATCH = "batch"


class Source(StrEnum):
    """Where a step comes from."""

    AUTHORED = "authored"
    DERIVED = "derived"


class GlueRole(StrEnum):
    """What a step does to an open joint."""

    NONE = "none"
    SPREAD = "spread"
    CLOSE = "close"


class WaitKind(StrEnum):
    """What a wait is for. ``open`` and ``within`` are a most, all others are a least."""

    OPEN = "open"
    CLAMP = "clamp"
    CURE = "cure"
    TOUCH = "touch"
    RECOAT = "recoat"
    DRY_THROUGH = "dry_through"
    WITHIN = "within"
    """How long a step may be put off after another one; runs over nights, hours to weeks."""


MACHINES = ("table_saw", "router", "drill_press", "planer")
"""Tools that make such a noise, and need such care, that quiet hours and tired hands stop them."""


@dataclass(frozen=True, slots=True)
class Number:
    """One number of a step, from the plan."""

    label: str
    value: Length | Angle | int


@dataclass(frozen=True, slots=True)
class Caution:
    """One row of the safety tables, as it stands before a step."""

    id: str
    signal: str
    """``DANGER``, ``WARNING``, ``CAUTION`` or ``NOTICE`` as ANSI Z535.4 defines them."""
    harm: str
    """What can happen."""
    avoid: str
    """How to avoid it."""
    hand: str
    """Where the other hand goes; may be empty."""
    done: str
    """What to do if it did happen."""
    source: str
    """Published source, or 'common practice, no source'."""
    must_ack: bool
    """The step cannot start before this card is answered."""


@dataclass(frozen=True, slots=True)
class Fastener:
    """Fasteners of a step, for one unit."""

    kind: str
    """``brad``, ``staple`` or ``screw``."""
    title: str
    """As on the box, for example ``#6 × 1 1/4 in screw``."""
    count: int
    pilot: Length | None
    """Pilot-hole drill for the thin wood of this step."""
    clearance: Length | None
    """Clearance drill in the piece that the head draws down."""
    rows: tuple[FastenerRow, ...] = ()
    """Where they go in; empty where the build does not say."""


@dataclass(frozen=True, slots=True)
class Trial:
    """A setting that is found by tries in scrap: cut, measure, correct, until in tolerance."""

    kind: str = ""
    """``bevel``: the gap at a slope is read, 0 is right; ``width``, ``depth`` or ``place``: that
    size is read."""
    setting: str = ""
    """What is corrected: ``tilt`` or ``gauge`` of a bevel, else a row of ``session.trials``."""
    leg: Length = ZERO
    """Length of the slope, from heel to toe; 0 for a size."""
    turned: Angle = _UPRIGHT
    """How far blade or gauge stands from square, for a bevel."""
    placed_by: str = ""
    """What gives a bevel its place: ``fence`` or ``stop``."""


@dataclass(frozen=True, slots=True)
class Check:
    """What must be true before the step is done. With ``value`` a number is asked for."""

    name: str
    """Key of the measured value, for example ``diagonals_differ``."""
    text: str
    value: Length | None
    """What the plan expects; None for a yes-or-no check."""
    tolerance: Length
    """Largest deviation from ``value`` that passes."""
    becomes: str = ""
    """Name of the size that the number read becomes; empty where nothing hangs on it."""
    trial: Trial | None = None
    """How a value outside is put right, where it is set by tries in scrap."""


@dataclass(frozen=True, slots=True)
class Added:
    """What is put in its place in a step, in one movement."""

    pieces: tuple[str, ...]
    """Names of parts, with the hand before where only one is meant: ``left side_rail``."""
    as_one: bool = False
    """True where all pieces move together; False where each comes by itself."""
    comes_from: str = ""
    """Face of the finished thing that it comes from; empty: worked out."""
    apart: bool = False
    """True where it is put together beside the finished thing, to be added later."""


class HoldKind(StrEnum):
    """How a piece is held while it is nailed."""

    FREE = "free"
    """By hand, in one place for all nails."""
    AWAY = "away"
    """By hand, at the end away from each nail."""
    CLEAT = "cleat"
    """Against cleats or a stop block on the bench; no hand is on it."""
    CLAMP = "clamp"
    """In a clamp; no hand is on it."""


@dataclass(frozen=True, slots=True)
class Handhold:
    """Where the free hand goes in a step that nails, or what holds the work in its place."""

    how: HoldKind
    part: str
    """Title of the part that is nailed through."""
    end: str
    """The end that it is held at; empty where there is no single one."""
    nails: int
    """How many nails it serves, in one unit."""
    words: str = ""
    """As the card says it."""


@dataclass(frozen=True, slots=True)
class StepKind:
    """The words and facts of a step, shared by all its instances."""

    id: str
    """``stage/name``, for example ``glue/spread_frame``."""
    stage: str
    title: str
    """Short headline with a verb."""
    text: str
    """The full sentence."""
    why: str
    numbers: tuple[Number, ...]
    parts: tuple[str, ...]
    """Names of the parts in hand."""
    tool: str
    """Tool id of the safety tables, or an empty string."""
    cautions: tuple[Caution, ...]
    fasteners: tuple[Fastener, ...]
    checks: tuple[Check, ...]
    role: GlueRole
    glue: str | None
    scope: Scope
    source: Source
    duration_s: int
    """Estimated hands-on seconds for one instance."""
    picture: str | None
    line: int
    """Line of the build file, 0 for a derived step."""
    guessed_s: int = 0
    """The guess that ``duration_s`` takes the place of; 0 where it is the guess."""
    timed: int = 0
    """How many of the keeper's own times ``duration_s`` rests on."""
    people: int = 1
    """2: it needs a second pair of hands."""
    adds: tuple[Added, ...] = ()
    """What is put in its place here, in this order."""
    coats: tuple[FaceOf, ...] = ()
    """Faces that paint is put on here."""
    cuts: tuple[CutLine, ...] = ()
    """What is planed or sawn off here."""
    turns: bool = False
    """The work is turned over here."""
    hands: tuple[Handhold, ...] = ()
    """Of a step that nails: how each part is held."""


@dataclass(frozen=True, slots=True)
class Wait:
    """A time limit between two step instances.

    ``open``: at most ``seconds`` from the *start* of ``after`` to the *end* of ``before``.
    ``within``: at most ``seconds`` from the *end* of ``after`` to the *start* of ``before``.
    All others: at least ``seconds`` from the *end* of ``after`` to the *start* of ``before``.
    """

    id: str
    """``u1/glue/spread_frame:open``."""
    kind: WaitKind
    title: str
    """Name of the timer, for example ``glue, unit 1``."""
    after: str
    before: str
    seconds: int
    source: str
    late: str = ""
    """What to do where ``before`` begins later than ``within`` allows; a sentence."""

    @property
    def is_least(self) -> bool:
        """Whether ``before`` has to wait; else it must not come too late."""
        return self.kind not in (WaitKind.OPEN, WaitKind.WITHIN)


@dataclass(frozen=True, slots=True)
class Hold:
    """A resource taken from the start of ``first`` to the start of ``last``."""

    resource: str
    """``clamps``, ``drying_places`` or ``bench_places``."""
    amount: int
    first: str
    last: str
    reach: Length = ZERO
    """How far each clamp must reach; 0: any will do."""


@dataclass(frozen=True, slots=True)
class Step:
    """One instance of a step kind: for one unit, or for the batch."""

    id: str
    """``u2/glue/close_frame`` or ``all/rip/side_rail``; the same from plan to plan."""
    kind: str
    """Id of the step kind."""
    unit: int | None
    needs: tuple[str, ...]
    """Ids of steps that must be done before."""
    duration_s: int
    """Estimated hands-on seconds."""
    start_s: int
    """Planned start, seconds since 1970 UTC; 0 while not scheduled."""
    end_s: int
    resources: tuple[str, ...]
    """Machines that only one step can use at a time."""
    behind: str | None = None
    """Id of the step that this one follows at once: no gap, no night between."""
    outdoors: bool = False
    """Done outdoors, so only while it is light."""
    people: int = 1
    """2: it needs a second pair of hands, from its start to its end."""


def stage_of(step_id: str) -> str:
    """The stage in a step id ("u2/glue/close_frame" → "glue")."""
    return step_id.split("/")[1]


@dataclass(frozen=True, slots=True)
class WaitRule:
    """A wait as a build says it, between step kinds; the tables give it its seconds."""

    kind: WaitKind
    after: str
    before: str
    supply: str
    """Id of the glue or paint whose table row governs."""
    title: str
    """Name of the timer without the unit, for example ``frame glue``."""
    seconds: int = 0
    """Of ``within``: as the build says it; 0 where ``row`` says it."""
    row: str = ""
    """Row of the table of longest waits."""
    source: str = ""
    late: str = ""
    """What to do where it is late; empty where ``row`` says it."""


@dataclass(frozen=True, slots=True)
class TakeRule:
    """A resource as a build says it, between step kinds."""

    resource: str
    amount: int
    first: str
    last: str
    reach: Length = ZERO


@dataclass(frozen=True, slots=True)
class Supply:
    """A glue or a paint that a build uses."""

    id: str
    title: str
    row: str
    """Row of the table of glues or paints."""


@dataclass(frozen=True, slots=True)
class Outline:
    """The authored steps of one build, not yet multiplied by units nor timed."""

    kinds: tuple[StepKind, ...]
    needs: tuple[tuple[str, ...], ...]
    """For each kind, the kinds that come before it."""
    waits: tuple[WaitRule, ...]
    takes: tuple[TakeRule, ...]
    glues: tuple[Supply, ...]
    paints: tuple[Supply, ...]
    behind: tuple[tuple[str, str], ...] = ()
    """Kinds that follow another kind at once, each with that kind."""
    painted: tuple[tuple[str, str], ...] = ()
    """Kinds that put a paint on, each with the id of the paint."""
    units: tuple[tuple[str, tuple[int, ...]], ...] = ()
    """Kinds that are done for some units only, each with these; all others for every unit."""
    places: tuple[tuple[str, str], ...] = ()
    """Kinds whose place the build says, each with ``indoors`` or ``outdoors``."""
