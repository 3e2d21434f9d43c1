"""What may go wrong with a fit, and what to watch at the bench, in sentences to act on."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopstep.fitting.odds import Spread, effect_nm, levers_that_matter
from shopstep.model.lever import Lever, Origin, SizeKind
from shopstep.model.plan import Fit
from shopstep.units import NM_PER_MM, SIXTY_FOURTH, Length, format_length
from shopstep.words import say, to_say

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
    "width": to_say(("wider", "narrower")),
    "length": to_say(("longer", "shorter")),
    "depth": to_say(("deeper", "shallower")),
    "thickness": to_say(("thicker", "thinner")),
    "height": to_say(("higher", "lower")),
    "place": to_say(("farther off", "nearer")),
}
_OTHERWISE = to_say(("larger", "smaller"))
_TRY_IT = to_say(
    {
        SizeKind.GROOVE_WIDTH: "cut a first one in scrap and try the real piece in it",
        SizeKind.PLACE: "set it with a spacer instead of a pencil line",
        SizeKind.CLEARANCE: "cut the second piece to the first",
    }
)
_USUAL_TRY = to_say("set a stop and measure the first piece before you cut the rest")


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
        say(
            "'{fit_name}' may come out too {below}",
            fit_name=fit.name.replace("_", " "),
            below=say("small") if risk.below else say("large"),
        )
    )
    chance = f" in {odds_words(risk.chance)}" if risk.measured else ""
    planned = format_length(fit.value, display)
    head = say(
        "{said}{said_2}{chance}: it is planned at {planned}",
        said=said[0].upper(),
        said_2=said[1:],
        chance=chance,
        planned=planned,
    )
    return say(
        "{head} ({range}), and {causes}.",
        head=head,
        range=_range_words(fit, display),
        causes=_causes(fit, spread, risk, display),
    )


def _range_words(fit: Fit, display: str) -> str:
    if fit.least is not None and fit.most is not None:
        least, most = (format_length(each, display) for each in (fit.least, fit.most))
        return say("{least} to {most} is right", least=least, most=most)
    if fit.least is not None:
        return say("at least {least} is right", least=format_length(fit.least, display))
    return (
        say("at most {most} is right", most=format_length(fit.most, display))
        if fit.most is not None
        else ""
    )


def _causes(fit: Fit, spread: Spread, risk: Risk, display: str) -> str:
    """What takes away or adds: "cuts to ±1/64 in can take away 1/32 in"."""
    verb = say("take away") if risk.below else say("add")
    moved = -spread.shrinks if risk.below else spread.swells
    moves = _amount(moved, display) if moved >= SEEN_NM else ""
    wood = say("the wood's movement outdoors")
    if spread.reach < 1:
        return say("{wood} can {verb} {moves}", wood=wood, verb=verb, moves=moves or say("a shade"))
    cuts = say(
        "{sources} can {verb} {amount}",
        sources=_sources(fit.levers, display),
        verb=verb,
        amount=_amount(spread.reach, display),
    )
    return (
        say("{cuts}, {wood} another {moves}", cuts=cuts, wood=wood, moves=moves) if moves else cuts
    )


_WORDS = to_say({Origin.CUT: "cuts", Origin.BOUGHT: "the stock", Origin.MEASURED: "the reading"})


def _sources(levers: tuple[Lever, ...], display: str) -> str:
    """Where the spread comes from: "cuts to ±1/64 in", "cuts and the stock together"."""
    kinds = list(dict.fromkeys(say(_WORDS[_origin(lever)]) for lever in levers))
    amounts = {lever.tolerance for lever in levers}
    together = say(" and ").join([", ".join(kinds[:-1]), kinds[-1]] if len(kinds) > 1 else kinds)
    if len(amounts) == 1:
        return say(
            "{together} to ±{amount}", together=together, amount=_amount(amounts.pop().nm, display)
        )
    return say("{together} together", together=together)


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
        return say("fewer than 1 of 1000 units")
    if chance > 0.9:
        return say("nearly every unit")
    if chance > 0.4:
        return say("about {chance} of 10 units", chance=round(chance * 10))
    return say("about 1 of {chance} units", chance=round(1 / chance))


def _what_to_do(fit: Fit, risk: Risk, display: str) -> str:
    """Which size to watch, and how to change a cut so that it holds."""
    strong = levers_that_matter(fit.levers)
    ease = say(", or {ease}", ease=fit.ease) if fit.ease else ""
    if not strong:
        return say("Leave more room{ease}.", ease=ease)
    cuts = [lever for lever in strong if lever.kind not in STOCK_KINDS]
    watched = strong[0] if not cuts or effect_nm(strong[0]) > effect_nm(cuts[0]) else cuts[0]
    if watched in cuts:
        return say(
            "Watch the {watched_title} most: {change}{ease}.",
            watched_title=watched.title,
            change=_change(fit, risk, watched, display),
            ease=ease,
        )
    said = say(
        "Watch the {watched_title} most: measure it on the pieces that you will use",
        watched_title=watched.title,
    )
    if not cuts:
        return f"{said}{ease}."
    of = cuts[0].title
    change = _change(fit, risk, cuts[0], display)
    return say("{said}. Then the {of}: {change}{ease}.", said=said, of=of, change=change, ease=ease)


def _change(fit: Fit, risk: Risk, lever: Lever, display: str) -> str:
    """ "cut it 1/64 in wider"; where the range leaves no room for that, how to cut it truer."""
    amount = _room(fit, risk) / abs(lever.ratio)
    mark = NM_PER_MM // 2 if display == "mm" else SIXTY_FOURTH.nm  # what a hand can set
    marks = round(amount / mark)
    if marks < 1:
        return say(_TRY_IT.get(lever.kind, _USUAL_TRY))
    more, less = _MORE_LESS.get(lever.title.split(" ")[0], _OTHERWISE)
    word = more if risk.below is (lever.ratio > 0) else less
    length = format_length(Length(marks * mark), display)
    if lever.kind in (SizeKind.PLACE, SizeKind.GROOVE_PLACE):
        return say("set it {length} {word}", length=length, word=say(word))
    return say("cut it {length} {word}", length=length, word=say(word))


def _room(fit: Fit, risk: Risk) -> float:
    """How far the value may be moved: what is short, up to the middle of the range."""
    if fit.worst is None or fit.least is None or fit.most is None:
        return math.ceil(risk.short_nm / SIXTY_FOURTH.nm) * SIXTY_FOURTH.nm
    low, high = fit.worst[0].nm, fit.worst[1].nm
    off = (fit.least.nm + fit.most.nm - low - high) / 2
    return min(risk.short_nm, max(off if risk.below else -off, 0.0))
