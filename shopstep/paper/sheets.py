"""The sheets of a batch as plain values, for ``assets/paper.typ`` to set: words and no layout.

Every sheet is ``{"kind": …, "title": …}`` with the fields that the template reads. Imports
``model`` and the words of ``present``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from shopstep.model.measure import Questionnaire
from shopstep.model.naming import plain_name
from shopstep.model.part import Part
from shopstep.model.plan import Plan
from shopstep.paper.bench_sheets import Pictured, bench_sheet
from shopstep.present.cut_drawing import draw_cuts, used_marks
from shopstep.present.cut_svg import piece_svgs
from shopstep.present.evenings import plan_evenings
from shopstep.present.facts import SIDES, value_text
from shopstep.present.moments import span_left
from shopstep.present.plan_text import (
    air_words,
    evening_words,
    material_title,
    piece_count,
    promise_words,
    setup_words,
)
from shopstep.present.setup_order import setups_by_work
from shopstep.present.stock_text import planed_boards
from shopstep.session.state import State
from shopstep.units import Length, format_inches, format_length, format_mark, format_mm
from shopstep.words import say, to_say

Sheet = dict[str, object]
BOTH = "both"
FIRST_WORDS = to_say(
    "The tool's manual, the label on the tin, local rules and trained people come first. "
    "Stop when you are tired; no step is worth a finger."
)


def show_length(length: Length, plan: Plan, show: str) -> str:
    """As on the keeper's rule; with ``both`` in inches and in millimetres."""
    if show == BOTH:
        return f"{format_inches(length)} ({format_mm(length)})"
    return format_mark(length, show or plan.display, plan.finest)


def overview(source: Source) -> Sheet:
    """What it is, how large, how long it takes, and what is to be known first."""
    plan, state, show = source.plan, source.state, source.show
    whose = (
        say(" ({makes_title} alone)", makes_title=plan.makes[0].title)
        if len(plan.makes) > 1
        else ""
    )
    sizes = [
        [f"{side}{whose}", show_length(size, plan, show)]
        for side, size in zip(map(say, SIDES), plan.overall, strict=True)
    ]
    measured = [
        [m.prompt, plain_name(m.name), show_length(m.value, plan, show), _origin(m.usual, m.origin)]
        for m in plan.measured
    ]
    hands_s = sum(step.duration_s for step in plan.steps)
    done = len(state.finished) if state else 0
    return {
        "kind": "overview",
        "title": say("Overview"),
        "sizes": sizes,
        "sides": plan.left_is,
        "measured": measured,
        "choices": [[plain_name(name).replace("_", " "), chosen] for name, chosen in plan.choices],
        "promise": say(
            "{span_left} of work in all. {promise}",
            span_left=span_left(hands_s),
            promise=promise_words(plan),
        ),
        "air": air_words(plan),
        "progress": say("{done} of {steps} steps are done.", done=done, steps=len(plan.steps))
        if state
        else "",
        "took": list(source.took),
        "whole": source.whole,
        "evenings": [evening_words(evening, plan.zone) for evening in plan_evenings(plan)],
        "findings": [finding.sentence for finding in plan.findings],
        "first": say(FIRST_WORDS),
    }


def _origin(usual: bool, origin: str) -> str:
    return say("usual value, measure yours") if usual else origin


def measure_sheet(asked: tuple[Questionnaire, ...]) -> Sheet:
    """What to measure on one's own equipment, with blanks; one group for each build."""
    return {
        "kind": "measure",
        "title": say("What to measure"),
        "groups": [{"title": asks.title, "questions": _questions(asks)} for asks in asked],
    }


def _questions(asks: Questionnaire) -> list[Sheet]:
    return [
        {
            "prompt": question.prompt,
            "name": question.name,
            "least": format_length(question.least, asks.display),
            "most": format_length(question.most, asks.display),
            "usual": format_length(question.usual, asks.display),
        }
        for question in asks.questions
    ]


def parts_sheet(plan: Plan, show: str) -> Sheet:
    """Every part by material, left and right apart, with a box for each piece of the batch."""
    return {
        "kind": "parts",
        "title": say("Parts"),
        "units": plan.units,
        "groups": [
            {
                "material": material_title(plan, material),
                "rows": [_part(p, plan, show) for p in plan.parts if p.material == material],
            }
            for material in dict.fromkeys(part.material for part in plan.parts)
        ],
    }


def is_cut_to_size_only(part: Part) -> bool:
    """Whether nothing is cut into a part: its three sizes say all, and no drawing is needed."""
    return not part.features and not part.allowances


def _part(part: Part, plan: Plan, show: str) -> Sheet:
    notes = [
        say(
            "cut {extra} larger at the {face}: {why}",
            extra=format_length(a.extra, plan.display),
            face=a.face,
            why=a.why,
        )
        for a in part.allowances
    ]
    if is_cut_to_size_only(part):
        notes.append(say("cut to size only"))
    return {
        "title": part.title,
        "hand": part.hand.value if part.hand else "",
        "unit": part.count_unit,
        "batch": part.count(plan.units),
        "sizes": [_lines(size, plan, show) for size in (part.length, part.width, part.thickness)],
        "notes": notes,
    }


def _lines(length: Length, plan: Plan, show: str) -> list[str]:
    """A size, or one below the other in both units."""
    if show == BOTH:
        return [format_inches(length), format_mm(length)]
    return [show_length(length, plan, show)]


def cut_sheet(plan: Plan) -> Sheet:
    """Each board, sheet and roll as a drawing, and what the marks on it stand for."""
    return {
        "kind": "cut",
        "title": say("What is cut from what"),
        "pieces": list(piece_svgs(plan)),
        "marks": used_marks(draw_cuts(plan), plan),
    }


def setup_sheet(plan: Plan) -> Sheet:
    """One card for each setup: machine, work, settings, what is run."""
    by_id = {operation.id: operation for operation in plan.operations}
    return {
        "kind": "setups",
        "title": say("Setups, in order"),
        "setups": [
            {
                "words": setup_words(setup, plan.display).partition(":")[0],
                "settings": [
                    [say(setting.name), value_text(setting.value, plan.display)]
                    for setting in setup.settings
                ],
                "pieces": planed_boards(setup, plan)
                or list(
                    dict.fromkeys(
                        piece_count(plan, by_id[name]) for name in setup.operations if name in by_id
                    )
                ),
            }
            for setup in setups_by_work(plan)
        ],
    }


def buy_sheet(plan: Plan) -> Sheet:
    """What to buy or have at hand, as a shop assistant reads it."""
    return {
        "kind": "buy",
        "title": say("To buy and to have"),
        "lines": [line.text for line in plan.buy],
    }


def label_sheet(plan: Plan, show: str, codes: tuple[str, ...] = ()) -> Sheet:
    """A label for each unit, with its code where there is one, and for each piece of it."""
    cells = []
    for unit in range(1, plan.units + 1):
        title = next((made.title for made in plan.makes if unit in made.units), plan.build_title)
        code = codes[unit - 1] if codes else ""
        whole = {"unit": unit, "title": title, "size": "", "hand": "", "whole": True, "code": code}
        cells.append(whole)
        shared = [part for part in plan.parts if unit not in part.apart]
        own = [apart.part for apart in plan.apart if apart.unit == unit]
        cells += [
            _label_of(part, unit, plan, show)
            for part in (*shared, *own)
            for _ in range(part.count_unit)
        ]
    return {"kind": "labels", "title": say("Labels"), "cells": cells}


def _label_of(part: Part, unit: int, plan: Plan, show: str) -> Sheet:
    sizes = (part.length, part.width, part.thickness)
    return {
        "unit": unit,
        "title": part.title,
        "hand": part.hand.value if part.hand else "",
        "size": " × ".join(show_length(size, plan, show) for size in sizes),
        "whole": False,
        "code": "",
    }


@dataclass(frozen=True, slots=True)
class Source:
    """All that sheets are made from."""

    plan: Plan
    state: State | None = None
    """None before a session."""
    asked: tuple[Questionnaire, ...] = ()
    show: str = ""
    """``both``, or empty for the plan's unit."""
    pictures: Mapping[str, Pictured] = field(default_factory=dict)
    """By step kind."""
    whole: str = ""
    """The finished thing as SVG; empty where nothing says where its parts go."""
    drawings: tuple[str, ...] = ()
    """SVG of each part, as large as a page."""
    codes: tuple[str, ...] = ()
    """The code of each unit, that finds its log again; empty before a session."""
    took: tuple[str, ...] = ()
    """What a complete batch took, in sentences."""


def drawing_sheet(source: Source) -> Sheet:
    """Each part into which something is cut on a page of its own, to scale."""
    return {"kind": "drawings", "title": say("Parts drawn"), "pages": list(source.drawings)}


SHEETS: dict[str, Callable[[Source], Sheet]] = {
    "overview": overview,
    "measure": lambda s: measure_sheet(s.asked),
    "parts": lambda s: parts_sheet(s.plan, s.show),
    "drawings": drawing_sheet,
    "buy": lambda s: buy_sheet(s.plan),
    "cut": lambda s: cut_sheet(s.plan),
    "setups": lambda s: setup_sheet(s.plan),
    "steps": lambda s: bench_sheet(s.plan, s.state, s.pictures),
    "labels": lambda s: label_sheet(s.plan, s.show, s.codes),
}
"""Every sheet that can be printed, in the order of the work."""
