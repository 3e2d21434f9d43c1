"""The plan as a person reads it: parts, stock, what to buy, setups, evenings, fits, findings.

Plain lines for 80 columns without drawing characters. Imports ``model`` and the words of this
room.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import PurePath

from shopstep.model.bench import Apart
from shopstep.model.operation import Operation, Setting, Setup
from shopstep.model.part import Hand, Part
from shopstep.model.plan import Finding, Fit, Measured, Plan
from shopstep.model.step import Step
from shopstep.model.stock import Cut, StockPiece
from shopstep.present.air import air_words as both_scales
from shopstep.present.columns import fold_groups, fold_item, fold_rows, title_section
from shopstep.present.cut_drawing import cut_lines
from shopstep.present.evenings import EveningPlan, name_units, plan_evenings, preferred_words
from shopstep.present.facts import SIDES, value_text
from shopstep.present.findings import told_once
from shopstep.present.leaving import make_safe_after
from shopstep.present.moments import day_words, local_time
from shopstep.present.setup_count import setup_count_words
from shopstep.present.setup_order import setups_by_work
from shopstep.present.stock_text import least_lines, plane_words, planed_boards, total_lines
from shopstep.session.flow import index_plan
from shopstep.units import Length, describe_shade, format_length, format_mark, format_span
from shopstep.words import say, say_count


def plan_lines(plan: Plan, width: int = 78) -> list[str]:
    """The whole plan in lines of at most ``width`` characters (40 and more)."""
    return [
        *_title_lines(plan, width),
        *_measured_lines(plan, width),
        *_part_lines(plan, width),
        *_stock_lines(plan, width),
        *title_section(say("Cuts, drawn"), cut_lines(plan, width), width),
        *_buy_lines(plan, width),
        *_setup_lines(plan, width),
        *_evening_lines(plan, width),
        *title_section(
            say("Fits"), _fold((fit_words(fit, plan.display) for fit in plan.fits), width), width
        ),
        *title_section(say("To know"), finding_lines(plan.findings, width), width),
    ]


def list_lines(plan: Plan, width: int) -> list[str]:
    """The parts and what to buy, of all that ``plan_lines`` has."""
    return [*_part_lines(plan, width), *_buy_lines(plan, width)]


def _buy_lines(plan: Plan, width: int) -> list[str]:
    texts = (*(line.text for line in plan.buy), *total_lines(plan))
    return title_section(say("Buy"), _fold(texts, width), width)


def _fold(texts: Iterable[str], width: int) -> list[str]:
    return [line for text in texts for line in fold_item(text, width)]


def _title_lines(plan: Plan, width: int) -> list[str]:
    units = say("1 unit") if plan.units == 1 else say("{units} units", units=plan.units)
    sides = [say(side) for side in SIDES]
    sizes = [format_length(size, plan.display) for size in plan.overall]
    overall = ", ".join(f"{size} {side}" for size, side in zip(sizes, sides, strict=True))
    made = [f"{len(made.units)} × {made.title}" for made in plan.makes]
    what = ", ".join(made) if made else f"{plan.build_title}, {units}"
    title = say(
        "{what} (build {build_id}, revision {revision})",
        what=what,
        build_id=plan.build_id,
        revision=plan.revision,
    )
    timed = sum(1 for kind in plan.kinds if kind.timed)
    times = say(
        "Times: {timed} of {kinds} from your own sessions, the others guessed",
        timed=timed,
        kinds=len(plan.kinds),
    )
    sides_are = say("Sides: {left_is}", left_is=plan.left_is) if plan.left_is else ""
    of_which = (
        say(" ({makes_title} alone)", makes_title=plan.makes[0].title)
        if len(plan.makes) > 1
        else ""
    )
    lines = [
        title,
        say("Overall{of_which}: {overall}", of_which=of_which, overall=overall),
        sides_are,
        times if timed else "",
    ]
    return [part for line in lines for part in fold_item(line, width, "")]


def _measured_lines(plan: Plan, width: int) -> list[str]:
    rows = [_measured_row(measured, plan.display) for measured in plan.measured]
    lines = fold_rows(rows, width, right=(1,))
    lines += _fold((f"{name}: {chosen}" for name, chosen in plan.choices), width)
    return title_section(say("Measurements and choices"), lines, width)


def _measured_row(measured: Measured, display: str) -> list[str]:
    note = say("usual value, measure yours") if measured.usual else measured.origin
    return [measured.name, format_length(measured.value, display), note]


def _part_lines(plan: Plan, width: int) -> list[str]:
    groups = [
        (
            f"{material_title(plan, material)}:",
            [_part_row(part, plan) for part in plan.parts if part.material == material],
        )
        for material in dict.fromkeys(part.material for part in plan.parts)
    ]
    lines = fold_groups(groups, width, right=(1, 2, 3, 4, 5))
    for part in plan.parts:
        for words in (*_allowance_words(part, plan), *_free_words(part, plan)):
            lines += fold_item(f"{part.label}: {words}", width)
    for apart in plan.apart:
        lines += fold_item(_apart_words(apart, plan), width)
    heading = say(
        "Parts (each unit, {batch}; length × width × thickness)", batch=_batch_words(plan)
    )
    return title_section(heading, lines, width)


def _apart_words(apart: Apart, plan: Plan) -> str:
    part = apart.part
    sizes = " × ".join(
        format_mark(length, plan.display, plan.finest)
        for length in (part.length, part.width, part.thickness)
    )
    return say(
        "{part_label} of unit {apart_unit}: made apart, {sizes}",
        part_label=part.label,
        apart_unit=apart.unit,
        sizes=sizes,
    )


def _batch_words(plan: Plan) -> str:
    return say("whole batch") if plan.units == 1 else say("batch of {units}", units=plan.units)


def _part_row(part: Part, plan: Plan) -> list[str]:
    """Sizes to the finest mark of the keeper's rule; what that hides stands at the end."""
    lengths = {"length": part.length, "width": part.width, "thickness": part.thickness}
    sizes = [format_mark(length, plan.display, plan.finest) for length in lengths.values()]
    told = {
        side: describe_shade(length, plan.display, plan.finest) for side, length in lengths.items()
    }
    shades = [f"{side} {shade}" for side, shade in told.items() if shade]
    note = ", ".join(shades)
    return [part.label, str(part.count_unit), str(part.count(plan.units)), *sizes, note]


def _allowance_words(part: Part, plan: Plan) -> list[str]:
    return [
        say(
            "cut {extra} larger at the {face}: {why}",
            extra=format_length(a.extra, plan.display),
            face=a.face,
            why=a.why,
        )
        for a in part.allowances
    ]


def _free_words(part: Part, plan: Plan) -> list[str]:
    if part.free is None:
        return []
    least, most = (format_length(end, plan.display) for end in (part.free.least, part.free.most))
    here = say(", here as wide as {piece} is", piece=part.free.piece) if part.free.piece else ""
    return [
        say("any width from {least} to {most} will do{here}", least=least, most=most, here=here)
    ]


def material_title(plan: Plan, material_id: str) -> str:
    """What people call a material; its id where the plan has no such one."""
    return next((m.title for m in plan.materials if m.id == material_id), material_id)


def part_title(plan: Plan, name: str, hand: Hand | None) -> str:
    """How people call a part: "left side rail"; its name where the plan has no such part."""
    found = (part.label for part in plan.parts if part.name == name and part.hand is hand)
    return next(found, f"{hand} {name}" if hand else name)


def _stock_lines(plan: Plan, width: int) -> list[str]:
    lines: list[str] = []
    for piece in plan.stock:
        lines += fold_item(_piece_words(plan, piece), width)
        counts = Counter(_cut_words(plan, cut) for cut in piece.cuts)
        cuts = [f"{count} × {words}" for words, count in counts.items()]
        lines += fold_item("; ".join(cuts), width, "    ")
    for words in least_lines(plan):
        lines += fold_item(words, width)
    return title_section(say("Cut from"), lines, width)


def _piece_words(plan: Plan, piece: StockPiece) -> str:
    size = f"{format_length(piece.length, plan.display)} × " + format_length(
        piece.width, plan.display
    )
    source = say("from the rack") if piece.from_rack else say("to buy")
    planed = plane_words(piece, plan)
    told = f"{piece.id}: {material_title(plan, piece.material)}, {size}, {source}"
    return f"{told}; {planed}" if planed else told


def _cut_words(plan: Plan, cut: Cut) -> str:
    size = f"{format_length(cut.length, plan.display)} × {format_length(cut.width, plan.display)}"
    return f"{say('spare ') if cut.spare else ''}{part_title(plan, cut.part, cut.hand)} {size}"


def _setup_lines(plan: Plan, width: int) -> list[str]:
    by_id = {operation.id: operation for operation in plan.operations}
    lines: list[str] = []
    for number, setup in enumerate(setups_by_work(plan), 1):
        pieces = [by_id[name] for name in setup.operations if name in by_id]
        lines += fold_item(f"{number}. {setup_words(setup, plan.display)}", width)
        counted = planed_boards(setup, plan) or dict.fromkeys(
            piece_count(plan, each) for each in pieces
        )
        lines += fold_item("; ".join(counted), width, "     ")
    if plan.setups:
        lines += fold_item(setup_count_words(plan), width)
    return title_section(say("Machine setups, in order"), lines, width)


def setup_words(setup: Setup, display: str) -> str:
    """Machine, work and settings of a setup, in words."""
    settings = ", ".join(_setting_words(setting, display) for setting in setup.settings)
    work = f"{say(setup.tool.replace('_', ' '))}, {say(setup.kind.replace('_', ' '))}"
    return f"{work}: {settings}" if settings else work


def _setting_words(setting: Setting, display: str) -> str:
    return f"{say(setting.name)} {value_text(setting.value, display)}"


def piece_count(plan: Plan, operation: Operation) -> str:
    """How many of which part an operation makes."""
    return f"{operation.count} × {part_title(plan, operation.part, operation.hand)}"


def _evening_lines(plan: Plan, width: int) -> list[str]:
    told = [promise_words(plan), air_words(plan)] if plan.steps else []
    lines = _fold(told, width)
    for number, evening in enumerate(plan_evenings(plan), 1):
        lines += fold_item(f"{number}. {evening_words(evening, plan.zone)}", width)
        rows = [_run_row(run, plan) for run in evening.runs]
        lines += [f"   {line}" for line in fold_rows(rows, width - 3)]
        safe = make_safe_after(plan, (step.id for step in evening.steps))
        if safe:
            words = " ".join(row.text for row in safe)
            lines += [
                f"   {line}"
                for line in fold_item(say("then make safe: {words}", words=words), width - 3)
            ]
    return title_section(say("Evenings"), lines, width)


def promise_words(plan: Plan) -> str:
    """How good the plan is, and what its times rest on."""
    count = len(plan_evenings(plan))
    over = count - plan.least_evenings
    evenings = say_count("{n} evening", "{n} evenings", count)
    if over <= 0:
        said = say("{evenings}: no plan has fewer.", evenings=evenings)
    elif plan.least_evenings:
        said = say(
            "{evenings}: at most {over} more than the least possible.", evenings=evenings, over=over
        )
    else:
        said = f"{evenings}."
    return f"{said} {preferred_words(plan.prefer)} {_rest_words(plan)}"


def _rest_words(plan: Plan) -> str:
    """Whether times are guessed or measured, of the hands-on time."""
    kinds = {kind.id: kind for kind in plan.kinds}
    total = sum(step.duration_s for step in plan.steps)
    known = sum(step.duration_s for step in plan.steps if kinds[step.kind].timed)
    if not known:
        return say("All times are guessed; your own sessions will correct them.")
    share = round(100 * known / total) if total else 0
    return say(
        "{share} % of the hands-on time rests on your own sessions, the rest is guessed.",
        share=share,
    )


def air_words(plan: Plan) -> str:
    """What air the times are for."""
    air = plan.conditions
    return say(
        "Glue and paint are timed for {both_scales} humidity; the label on the tin comes first.",
        both_scales=both_scales(air.temperature_c, air.humidity_percent),
    )


def evening_words(evening: EveningPlan, zone: str) -> str:
    """Day, hours and work of an evening."""
    first, last = local_time(evening.start_s, zone), local_time(evening.end_s, zone)
    return say(
        "{day}, {first}–{last}, {hands_on} of work",
        day=day_words(evening.day),
        first=first,
        last=last,
        hands_on=format_span(evening.hands_on_s),
    )


def _run_row(run: tuple[Step, ...], plan: Plan) -> list[str]:
    kind = index_plan(plan).kind_of(run[0])
    title = (
        say("{kind_title} (two people)", kind_title=kind.title) if kind.people > 1 else kind.title
    )
    return [local_time(run[0].start_s, plan.zone), title, name_units(run)]


def fit_words(fit: Fit, display: str) -> str:
    """One fit: "good: entrance height 3/8 in (5/16 in to 3/8 in, must): … Source: …"."""
    verdict = say("good") if fit.ok else say("MISSED")
    value = format_length(fit.value, display)
    text = f" {fit.text}" if fit.text else ""
    return say(
        "{verdict}: {fit_name} {value} ({range}, {level}).{text} Source: {source}{spread}",
        verdict=verdict,
        fit_name=fit.name.replace("_", " "),
        value=value,
        range=_range_words(fit.least, fit.most, display),
        level=say(fit.level),
        text=text,
        source=fit.source,
        spread=_spread_words(fit, display),
    )


def _spread_words(fit: Fit, display: str) -> str:
    """Worst case, what it hangs on, and odds where the keeper's own readings give them."""
    if fit.worst is None or not fit.levers:
        return ""
    lowest, highest = (format_length(each, display) for each in fit.worst)
    sizes = ", ".join(lever.title for lever in fit.levers)
    text = say(
        ". Worst case {lowest} to {highest}; hangs on: {sizes}",
        lowest=lowest,
        highest=highest,
        sizes=sizes,
    )
    if fit.odds is None or not fit.odds_measured:
        return text
    hundreds = (
        say("about {odds} of 100", odds=round(100 * fit.odds))
        if fit.odds >= 0.01
        else say("less than 1 of 100")
    )
    return say("{text}; missed in {hundreds}, by your own readings", text=text, hundreds=hundreds)


def _range_words(least: Length | None, most: Length | None, display: str) -> str:
    if least is not None and most is not None:
        if least == most:
            return say("exactly {least}", least=format_length(least, display))
        return say(
            "{least} to {most}",
            least=format_length(least, display),
            most=format_length(most, display),
        )
    if least is not None:
        return say("at least {least}", least=format_length(least, display))
    return (
        say("at most {most}", most=format_length(most, display)) if most is not None else say("any")
    )


def finding_lines(findings: Iterable[Finding], width: int = 78) -> list[str]:
    """Findings for a person: how bad, where, what, and what would be right."""
    return _fold((_finding_words(finding) for finding in told_once(findings)), width)


def _finding_words(finding: Finding) -> str:
    where = finding.where
    line = say("line {line}", line=where.line) if where.line else ""
    named = ", ".join(text for text in (PurePath(where.file).name, line, where.name) if text)
    level = say(finding.level.value)
    head = f"{level}: {named}: " if named else f"{level}: "
    return f"{head}{finding.sentence}"
