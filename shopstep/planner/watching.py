"""The cuts that fits hang on, at the steps that make them: a check with a number, a stop block.

A width that is tried in scrap anyway is asked for once, under the name of its fit and with its
tolerance. Imports milling's trials and ``model``.
"""

from __future__ import annotations

from dataclasses import replace

from shopstep.milling.trials import size_trial
from shopstep.model.joint import Joint
from shopstep.model.lever import SizeKind, Watch
from shopstep.model.operation import Operation, Setup
from shopstep.model.step import Check, StepKind
from shopstep.words import say

_CUT_BY: dict[SizeKind, dict[str, tuple[str, ...]]] = {
    SizeKind.RIP: {"rip": ("fence",), "slice": ("stop",)},
    SizeKind.THIN_RIP: {"rip_thin": ("fence",)},
    SizeKind.CROSSCUT: {"crosscut": ("stop",), "crosscut_hand": ("stop",)},
    SizeKind.SHEET_CUT: {"sheet_cut": ("fence",), "straightedge": ("length",)},
    SizeKind.GROOVE_WIDTH: {
        kind: ("width",)
        for kind in ("groove", "rabbet", "rabbet_end", "rout_rabbet", "dado", "fingers", "rout")
    },
    SizeKind.GROOVE_DEPTH: {
        "groove": ("height",),
        "rabbet": ("height",),
        "rabbet_end": ("height",),
        "dado": ("height",),
        "rout": ("depth",),
        "rout_rabbet": ("depth",),
    },
    SizeKind.GROOVE_PLACE: {"groove": ("fence",), "rout": ("guide",), "dado": ("stop",)},
    SizeKind.NOTCH: {"notch": ("width", "height")},
    SizeKind.HOLE: {"drill": ("bit", "fence")},
}
"""By kind of size: the kinds of work that make it, and the settings that are this size."""
_WITH_STOP_BLOCK = ("crosscut",)
_TRIED = {
    SizeKind.GROOVE_WIDTH: "width",
    SizeKind.GROOVE_DEPTH: "depth",
    SizeKind.GROOVE_PLACE: "place",
}
"""Kinds of size that are tried in scrap, and what a trial calls them."""


def with_watches(
    kinds: tuple[StepKind, ...],
    setups: tuple[Setup, ...],
    operations: tuple[Operation, ...],
    joints: tuple[Joint, ...],
    watches: tuple[Watch, ...],
) -> tuple[StepKind, ...]:
    """The step kinds; one that makes a watched size asks for it, or says what hangs on its stop.

    A size that no machine step makes (a place that is marked out) stays as the fit's advice.
    """
    found: dict[str, Watch] = {}
    for watch in watches:
        setup = _find_setup(watch, setups, operations, joints)
        if setup is not None:
            found.setdefault(setup.id, watch)
    made = {setup.id: setup for setup in setups}
    return tuple(
        _watched(kind, made[kind.id], found[kind.id]) if kind.id in found else kind
        for kind in kinds
    )


def _find_setup(
    watch: Watch,
    setups: tuple[Setup, ...],
    operations: tuple[Operation, ...],
    joints: tuple[Joint, ...],
) -> Setup | None:
    part_of = {operation.id: operation.part for operation in operations}
    owners = _owners(watch, joints)
    for setup in setups:
        names = _CUT_BY.get(watch.lever.kind, {}).get(setup.kind, ())
        fits_size = any(
            setting.name in names and setting.value == watch.lever.value
            for setting in setup.settings
        )
        parts = {part_of[operation] for operation in setup.operations}
        if fits_size and (not owners or parts & owners):
            return setup
    return None


def _owners(watch: Watch, joints: tuple[Joint, ...]) -> set[str]:
    """The parts that a dotted name can be about; nothing where a plain name tells none."""
    first, dot, _ = watch.lever.name.partition(".")
    if not dot:
        return set()
    return next(({joint.into, joint.member} for joint in joints if joint.name == first), {first})


def _watched(kind: StepKind, setup: Setup, watch: Watch) -> StepKind:
    fit = watch.fit.replace("_", " ")
    title = watch.lever.title
    if setup.kind in _WITH_STOP_BLOCK:
        said = say(
            " {fit} hangs on this length: leave the stop where it is for all.", fit=fit.capitalize()
        )
        return replace(kind, why=f"{kind.why}{said}")
    size = _TRIED.get(watch.lever.kind, "")
    trial = size_trial(setup, size)
    where = say("in scrap") if trial else say("on the first piece")
    text = say(
        "{title}{title_2}, {where}; {fit} hangs on it",
        title=title[:1].upper(),
        title_2=title[1:],
        where=where,
        fit=fit,
    )
    name = watch.lever.name
    # A plain size may stand for more than this cut; "tray.width" is what this cut makes.
    becomes = name if "." in name else ""
    check = Check(f"watch_{watch.fit}", text, watch.lever.value, watch.tolerance, becomes, trial)
    others = tuple(other for other in kind.checks if not _is_same(other, check))
    return replace(kind, checks=(*others, check))


def _is_same(other: Check, check: Check) -> bool:
    """Whether both ask for one size of one trial."""
    return other.trial is not None and (other.trial, other.value) == (check.trial, check.value)
