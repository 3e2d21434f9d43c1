"""What may go wrong with a fit, and what to watch at the bench, in sentences to act on."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopstep.fitting.odds import Spread, effect_nm, levers_that_matter
from shopstep.model.lever import Lever, Origin, SizeKind
from shopstep.model.plan import Fit
from shopstep.units import NM_PER_MM, SIXTY_FOURTH, Length, format_length

STOCK_KINDS = frozenset(
    {
        SizeKind.BOARD_THICKNESS,
        SizeKind.SHEET_THICKNESS,
        SizeKind.CLOTH_THICKNESS,
        SizeKind.EQUIPMENT,
        SizeKind.READING,
    }
)
"""Sizes that nobody in the shop cuts."""

SEEN_NM = SIXTY_FOURTH.nm / 2
"""1/128 in: half the finest mark of a rule."""
RARE = 0.001
"""A worst case that is rarer than this and too small to be seen is not spoken of."""

_MORE_LESS = {
    "width": ("wider", "narrower"),
    "length": ("longer", "shorter"),
    "depth": ("deeper", "shallower"),
    "thickness": ("thicker", "thinner"),
    "height": ("higher", "lower"),
    "place": ("farther off", "nearer"),
}
_TRY_IT = {
    SizeKind.GROOVE_WIDTH: "cut a first one in scrap and try the real piece in it",
    SizeKind.PLACE: "set it with a spacer instead of a pencil line",
    SizeKind.CLEARANCE: "cut the second piece to the first",
}
_USUAL_TRY = "set a stop and measure the first piece before you cut the rest"


@dataclass(frozen=True, slots=True)
class Advice:
    """Two sentences: what may happen, and what to do."""

    text: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Risk:
    """The end of the range that is in danger."""

    below: bool
    chance: float
    """Probability of the fit being broken, at either end."""
    measured: bool
    """Whether the chance comes from the keeper's own readings."""
    short_nm: float
    """How far the worst case lies outside the range."""


def find_risk(
    fit: Fit, spread: Spread, chances: tuple[float, float], measured: bool
) -> Risk | None:
    """The end of the range that the worst case leaves (the likelier of two), or None."""
    low = fit.least.nm - spread.lowest if fit.least is not None else -math.inf
    high = spread.highest - fit.most.nm if fit.most is not None else -math.inf
    chance = min(1.0, sum(chances))
    if max(low, high) < 1 or (max(low, high) < SEEN_NM and chance < RARE):
        return None
    below = low >= 1 and (high < 1 or chances[0] >= chances[1])
    return Risk(below, chance, measured, low if below else high)


def write_advice(fit: Fit, spread: Spread, risk: Risk, display: str) -> Advice:
    """What may happen to this fit and what to watch."""
    return Advice(_what_may_happen(fit, spread, risk, display), _what_to_do(fit, risk, display))


def _what_may_happen(fit: Fit, spread: Spread, risk: Risk, display: str) -> str:
    said = (fit.too_little if risk.below else fit.too_much) or (
        f"'{fit.name.replace('_', ' ')}' may come out too {'small' if risk.below else 'large'}"
    )
    chance = f" in {odds_words(risk.chance)}" if risk.measured else ""
    planned = format_length(fit.value, display)
    head = f"{said[0].upper()}{said[1:]}{chance}: it is planned at {planned}"
    return f"{head} ({_range_words(fit, display)}), and {_causes(fit, spread, risk, display)}."


def _range_words(fit: Fit, display: str) -> str:
    if fit.least is not None and fit.most is not None:
        least, most = (format_length(each, display) for each in (fit.least, fit.most))
        return f"{least} to {most} is right"
    if fit.least is not None:
        return f"at least {format_length(fit.least, display)} is right"
    return f"at most {format_length(fit.most, display)} is right" if fit.most is not None else ""


def _causes(fit: Fit, spread: Spread, risk: Risk, display: str) -> str:
    """What takes away or adds: "cuts to ±1/64 in can take away 1/32 in"."""
    verb = "take away" if risk.below else "add"
    moved = -spread.shrinks if risk.below else spread.swells
    moves = _amount(moved, display) if moved >= SEEN_NM else ""
    wood = "the wood's movement outdoors"
    if spread.reach < 1:
        return f"{wood} can {verb} {moves or 'a shade'}"
    cuts = f"{_sources(fit.levers, display)} can {verb} {_amount(spread.reach, display)}"
    return f"{cuts}, {wood} another {moves}" if moves else cuts


_WORDS = {Origin.CUT: "cuts", Origin.BOUGHT: "the stock", Origin.MEASURED: "the reading"}


def _sources(levers: tuple[Lever, ...], display: str) -> str:
    """Where the spread comes from: "cuts to ±1/64 in", "cuts and the stock together"."""
    kinds = list(dict.fromkeys(_WORDS[_origin(lever)] for lever in levers))
    amounts = {lever.tolerance for lever in levers}
    together = " and ".join([", ".join(kinds[:-1]), kinds[-1]] if len(kinds) > 1 else kinds)
    if len(amounts) == 1:
        return f"{together} to ±{_amount(amounts.pop().nm, display)}"
    return f"{together} together"


def _origin(lever: Lever) -> Origin:
    """A cut stays a cut where the keeper has measured how well it comes out."""
    if lever.kind in STOCK_KINDS:
        return lever.origin
    return Origin.CUT


def _amount(nm: float, display: str) -> str:
    """A small length rounded up to 1/64 in or 0.1 mm, so that it never sounds safer than it is."""
    mark = NM_PER_MM // 10 if display == "mm" else SIXTY_FOURTH.nm
    return format_length(Length(math.ceil(round(nm) / mark) * mark), display)


def odds_words(chance: float) -> str:
    """Odds as people say them: "about 1 of 12 units"."""
    if chance < 0.001:
        return "fewer than 1 of 1000 units"
    if chance > 0.9:
        return "nearly every unit"
    if chance > 0.4:
        return f"about {round(chance * 10)} of 10 units"
    return f"about 1 of {round(1 / chance)} units"


def _what_to_do(fit: Fit, risk: Risk, display: str) -> str:
    """Which size to watch, and how to change a cut so that it holds."""
    strong = levers_that_matter(fit.levers)
    ease = f", or {fit.ease}" if fit.ease else ""
    if not strong:
        return f"Leave more room{ease}."
    cuts = [lever for lever in strong if lever.kind not in STOCK_KINDS]
    watched = strong[0] if not cuts or effect_nm(strong[0]) > effect_nm(cuts[0]) else cuts[0]
    if watched in cuts:
        return f"Watch the {watched.title} most: {_change(fit, risk, watched, display)}{ease}."
    said = f"Watch the {watched.title} most: measure it on the pieces that you will use"
    if not cuts:
        return f"{said}{ease}."
    of = cuts[0].title
    change = _change(fit, risk, cuts[0], display)
    return f"{said}. Then the {of}: {change}{ease}."


def _change(fit: Fit, risk: Risk, lever: Lever, display: str) -> str:
    """ "cut it 1/64 in wider"; where the range leaves no room for that, how to cut it truer."""
    amount = _room(fit, risk) / abs(lever.ratio)
    mark = NM_PER_MM // 2 if display == "mm" else SIXTY_FOURTH.nm  # what a hand can set
    marks = round(amount / mark)
    if marks < 1:
        return _TRY_IT.get(lever.kind, _USUAL_TRY)
    more, less = _MORE_LESS.get(lever.title.split(" ")[0], ("larger", "smaller"))
    word = more if risk.below is (lever.ratio > 0) else less
    verb = "set" if lever.kind in (SizeKind.PLACE, SizeKind.GROOVE_PLACE) else "cut"
    return f"{verb} it {format_length(Length(marks * mark), display)} {word}"


def _room(fit: Fit, risk: Risk) -> float:
    """How far the value may be moved: what is short, up to the middle of the range."""
    if fit.worst is None or fit.least is None or fit.most is None:
        return math.ceil(risk.short_nm / SIXTY_FOURTH.nm) * SIXTY_FOURTH.nm
    low, high = fit.worst[0].nm, fit.worst[1].nm
    off = (fit.least.nm + fit.most.nm - low - high) / 2
    return min(risk.short_nm, max(off if risk.below else -off, 0.0))
