"""The plan, what it is made from, and what can be found wrong with it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shopstep.model.bench import Apart, BenchReading
from shopstep.model.estimate import TimeFactor
from shopstep.model.joint import Joint
from shopstep.model.leaving import MakeSafe
from shopstep.model.lever import Lever
from shopstep.model.material import Material
from shopstep.model.operation import Operation, Setup
from shopstep.model.part import Part
from shopstep.model.price import Priced
from shopstep.model.resources import ClampSet, HelperTime, Planer
from shopstep.model.step import Hold, Step, StepKind, Wait
from shopstep.model.stock import BuyLine, LeastBought, RackPiece, StockPiece
from shopstep.units import Length


class Level(StrEnum):
    """How bad a finding is. *stop*: there is no plan until it is put right."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Where:
    """Where a finding belongs: a line of a file, a part, a step, a measurement."""

    file: str = ""
    line: int = 0
    name: str = ""


def _as_sentence(text: str) -> str:
    """With a capital, unless a name in its own letters comes first, and a stop."""
    begun = text[:1].upper() + text[1:] if text.split(" ", 1)[0].isalpha() else text
    return begun if begun.endswith((".", "!", "?")) else f"{begun}."


@dataclass(frozen=True, slots=True)
class Finding:
    """Something the person should know: what, where, and what would be right."""

    level: Level
    rule: str
    text: str
    where: Where
    remedy: str

    @property
    def sentence(self) -> str:
        """Text and remedy, each as a sentence."""
        return " ".join(_as_sentence(said) for said in (self.text, self.remedy) if said)


class PlanRefused(Exception):
    """No plan can be made; carries the findings. Raised by the planner only."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__("; ".join(f.text for f in findings if f.level is Level.STOP))
        self.findings = findings


class BuildFileError(Exception):
    """A build file (or a value given for it) cannot be read; one sentence and a place."""

    def __init__(self, text: str, where: Where) -> None:
        super().__init__(text)
        self.text = text
        self.where = where


@dataclass(frozen=True, slots=True)
class Fit:
    """A number that must lie in a range for the thing to work."""

    name: str
    level: str
    """``must`` or ``should``."""
    value: Length
    least: Length | None
    most: Length | None
    ok: bool
    source: str
    text: str
    line: int
    file: str = ""
    """The build file that the line stands in; a parent's where the fit is inherited."""
    too_little: str = ""
    """What may happen below the range: "the panel may bind"; may be empty."""
    too_much: str = ""
    """What may happen above the range."""
    own_limit: bool = False
    """True where the range is the keeper's own; ``source`` then also tells the published one."""
    ease: str = ""
    """What else helps at the bench: "ease the panel's edge"."""
    levers: tuple[Lever, ...] = ()
    """The sizes that it hangs on, in the order of its expression."""
    worst: tuple[Length, Length] | None = None
    """Smallest and largest value over all tolerances and the wood's movement outdoors."""
    odds: float | None = None
    """Probability that it comes out broken: normal, root-sum-square of the levers."""
    odds_measured: bool = False
    """True where the odds come from the keeper's own readings, not from assumed tolerances."""
    advice: str = ""
    """What may happen and what to watch; empty where nothing can go wrong."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A measurement as it entered the plan."""

    name: str
    prompt: str
    value: Length
    usual: bool
    """True where the keeper gave none and the build's usual value stands in."""
    origin: str = ""
    """Where the value comes from: ``given``, ``usual``, ``kept (thickest of 3 readings, …)``."""
    readings: tuple[Length, ...] = ()
    """All of the keeper's own readings of the same thing, where there are several."""


@dataclass(frozen=True, slots=True)
class OtherDay:
    """One day with hours of its own."""

    day: str
    """ISO date, local."""
    opens_min: int | None
    """None: the shop stays closed that day."""
    closes_min: int | None
    quiet_from_min: int | None = None


@dataclass(frozen=True, slots=True)
class Calendar:
    """When the shop is open: the same hours on each of the given days."""

    zone: str
    """IANA name, for example ``Europe/Dublin``."""
    opens_min: int
    """Minutes after midnight, local."""
    closes_min: int
    days: tuple[int, ...]
    """Weekdays, Monday = 0."""
    start_up_min: int = 0
    """Minutes from opening until the first step: heater on, bench clear."""
    clean_up_min: int = 0
    """Minutes from the last step until closing: make safe, sweep."""
    quiet_from_min: int | None = None
    """No machine runs from this minute of the day on; None: machines may run until closing."""
    other_days: tuple[OtherDay, ...] = ()
    """Days with hours of their own: a lost evening, a free Saturday."""
    daylight: tuple[int, int] | None = None
    """Minutes of the day between which work outdoors can be done; None: nobody said."""


class Prefer(StrEnum):
    """What counts first where one plan is better in one thing and worse in another."""

    EVENINGS = "evenings"
    """Fewest evenings, then the earliest finish, then fewest setups, then least walking."""
    FINISH = "finish"
    """The earliest finish, then fewest evenings."""
    SETUPS = "setups"
    """Fewest setups, then fewest evenings."""
    FIRST_UNIT = "first-unit"
    """One unit complete as early as can be, then fewest evenings."""


@dataclass(frozen=True, slots=True)
class Conditions:
    """Air in the shop while glue and paint do their work."""

    temperature_c: float
    humidity_percent: float
    night_c: float | None = None
    """Coldest where things dry through the night; None: as by day."""


@dataclass(frozen=True, slots=True)
class Shop:
    """What the keeper's shop has."""

    name: str
    calendar: Calendar
    clamps: int
    drying_places: int
    kerf: Length
    """Width that the saw blade removes."""
    finest: Length | None = None
    """Finest mark of the keeper's rule; None: 1/64 in or 0.1 mm."""
    prefer: Prefer = Prefer.EVENINGS
    painting: str = ""
    """``outdoors`` where paint is put on outdoors; else empty or ``indoors``."""
    outdoor_air: Conditions | None = None
    """The air where paint is put on and dries outdoors; None: nobody said."""
    clamp_sets: tuple[ClampSet, ...] = ()
    """The clamps by their reach; empty: nobody says, and every reach holds."""
    bench_places: int | None = None  # to work or lay things on; None: never too few
    helper: tuple[HelperTime, ...] = ()  # of a second pair of hands; empty: whenever asked
    prices: tuple[tuple[str, int, str], ...] = ()
    """Words of a line to buy, hundredths for one of it, the currency's sign."""
    planer: Planer | None = None  # a thickness planer; None: nothing is planed


@dataclass(frozen=True, slots=True)
class BuildText:
    """One build file as text: the name it was found under, and what it says."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class Question:
    """A measurement or choice that a build asks for."""

    name: str
    prompt: str
    usual: str
    """As the build file writes it."""
    allowed: str
    """Range or options in words."""
    at_usual: str = ""
    """Both worked out with all else as usual, where they hang on other answers."""


@dataclass(frozen=True, slots=True)
class BuildSummary:
    """One build on the shelf."""

    id: str
    title: str
    summary: str
    revision: int
    place: str
    """The file it was found in."""
    asks: tuple[Question, ...]
    problem: str = ""
    """Why it cannot be read; empty where it can."""


@dataclass(frozen=True, slots=True)
class Limit:
    """A keeper's own range for a fit, as written."""

    fit: str
    """Name of the fit, with its build before it where it is for that build only."""
    text: str
    """``LEAST..MOST``; one of the two may be left out."""
    typed: bool = True
    """True where it was typed for this plan; False where the shop keeps it."""


@dataclass(frozen=True, slots=True)
class Remake:
    """One piece that was spoiled and is made again."""

    part: str
    hand: str
    """``left``, ``right`` or empty."""
    unit: int
    number: int
    """2 for the first time that a piece of this part is made again, then 3…"""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class OtherBuild:
    """A further build of the same batch, with its own settings."""

    tag: str
    """Stands behind the names of its parts and steps: ``hive-body``, ``hive-body-2``."""
    build: BuildText
    parents: tuple[BuildText, ...]
    settings: tuple[tuple[str, str], ...]
    units: int
    origins: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Made:
    """What a batch makes of one build."""

    title: str
    units: tuple[int, ...]
    """Numbers of its units in the whole batch."""


@dataclass(frozen=True, slots=True)
class PlanRequest:
    """Everything a plan depends on; the same request always gives the same plan."""

    build: BuildText
    parents: tuple[BuildText, ...]
    settings: tuple[tuple[str, str], ...]
    """Measurements and choices: ``--set`` pairs as typed, and the shop's kept measurements."""
    units: int
    display: str
    """``in`` or ``mm``; an empty string means: as the build prefers."""
    shop: Shop
    conditions: Conditions
    rack: tuple[RackPiece, ...]
    begin_s: int
    """Not before this moment, seconds since 1970 UTC."""
    seed: int
    origins: tuple[tuple[str, str], ...] = ()
    """Where settings come from that nobody typed for this plan."""
    only: tuple[str, ...] = ()
    """``--only``: names of the parts to make; all others are on hand. Empty: all are made."""
    times: tuple[TimeFactor, ...] = ()
    """From the keeper's own sessions: what guessed times are multiplied by."""
    remakes: tuple[Remake, ...] = ()
    """Pieces that are made again."""
    to_get: tuple[str, ...] = ()
    """Noted at the bench as to be bought."""
    limits: tuple[Limit, ...] = ()
    """The keeper's own ranges for fits; the first one for a fit counts."""
    readings: tuple[BenchReading, ...] = ()
    """Sizes read off the work; one for each name and unit."""
    labels: tuple[tuple[str, str], ...] = ()
    read_labels: tuple[tuple[str, str], ...] = ()
    """What labels say, ``wood_glue.open`` → ``8 min``; what was read at the bench comes first."""
    others: tuple[OtherBuild, ...] = ()
    """Further builds that are made in the same evenings, with the same machines and clamps."""
    kept_rack: str = ""
    """Which rack what is cut leaves, and what remains goes back to; empty: none."""
    prices: tuple[Priced, ...] = ()
    """What stock costs; the first one for a kind counts."""

    @property
    def all_units(self) -> int:
        """Units of all builds."""
        return self.units + sum(other.units for other in self.others)


@dataclass(frozen=True, slots=True)
class Plan:
    """A whole batch worked out: frozen, and hashed by what it says."""

    build_id: str
    build_title: str
    revision: int
    display: str
    units: int
    measured: tuple[Measured, ...]
    choices: tuple[tuple[str, str], ...]
    sizes: tuple[tuple[str, Length], ...]
    overall: tuple[Length, Length, Length]
    """Front to back, left to right, bottom to top; from the placed parts."""
    materials: tuple[Material, ...]
    parts: tuple[Part, ...]
    joints: tuple[Joint, ...]
    operations: tuple[Operation, ...]
    setups: tuple[Setup, ...]
    stock: tuple[StockPiece, ...]
    buy: tuple[BuyLine, ...]
    kinds: tuple[StepKind, ...]
    steps: tuple[Step, ...]
    """In the order in which they are planned to start."""
    waits: tuple[Wait, ...]
    holds: tuple[Hold, ...]
    fits: tuple[Fit, ...]
    findings: tuple[Finding, ...]
    begin_s: int
    zone: str
    conditions: Conditions = Conditions(20.0, 50.0)
    """The air that the times of glue and paint were worked out for."""
    left_is: str = ""
    """Which side is left, in the build's words."""
    finest: Length | None = None
    """Finest mark that lengths are shown to; None: 1/64 in or 0.1 mm."""
    remakes: tuple[Remake, ...] = ()
    """Pieces that this plan makes again."""
    readings: tuple[BenchReading, ...] = ()
    """Sizes read off the work that this plan follows."""
    least_evenings: int = 0
    """No plan for the steps that were not done yet needs fewer; 0: not worked out."""
    prefer: Prefer = Prefer.EVENINGS
    """What counted first when its order was chosen."""
    makes: tuple[Made, ...] = ()
    """What is made of each build, where there are several; empty for one."""
    read_labels: tuple[tuple[str, str], ...] = ()
    """What was read off labels at the bench, as this plan follows it."""
    make_safe: tuple[MakeSafe, ...] = ()
    """What is due before the shop is left, for the tools of this plan."""
    apart: tuple[Apart, ...] = ()
    """Parts that are made for one unit alone, at its own sizes."""
    least_bought: tuple[LeastBought, ...] = ()
    """For each material that was laid out afresh, how good the layout is."""
    least_setups: int = 0
    """No order of the machine work that keeps its needs has fewer setups; 0: not counted."""
