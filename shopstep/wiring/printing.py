"""Sheets of a batch, from a build or from a session, as PDF files."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from shopstep.paper.bench_sheets import tonight_sheet
from shopstep.paper.sheets import SHEETS, Sheet, Source, is_cut_to_size_only
from shopstep.present.moments import local_date
from shopstep.storage.folders import sessions_folder, shipped_folder
from shopstep.wiring.benches import SESSION_SUFFIX, read_session_ahead
from shopstep.wiring.desks import open_desk
from shopstep.wiring.pictures import find_picture, find_whole
from shopstep.wiring.price_list import took_lines
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.wiring.unit_logs import codes_of
from shopstep.words import say

if TYPE_CHECKING:
    from shopstep.desk import Wish
    from shopstep.model.plan import Plan
    from shopstep.workbench import Clock

LAST = "LAST"


@dataclass(frozen=True, slots=True)
class Printout:
    """What is to be printed from, and the moment of printing."""

    source: Source
    now_s: int


def is_session(name: str) -> bool:
    """Whether a name stands for a session and not for a build."""
    path = Path(name)
    return (
        name == LAST
        or path.suffix == SESSION_SUFFIX
        or (path.name == name and (sessions_folder() / f"{name}{SESSION_SUFFIX}").is_file())
    )


def printout_of_builds(wish: Wish, clock: Clock) -> Printout:
    """Builds that nobody has begun, planned from now on."""
    desk = open_desk()
    with plain_problems():
        now_s = clock.now().at_s
        names = (wish.build, *(name for name, _ in wish.also))
        asked = tuple(desk.asking(replace(wish, build=name, also=())).asks for name in names)
        return Printout(Source(desk.plan(wish, now_s), None, asked), now_s)


def printout_of_session(name: str, clock: Clock) -> Printout:
    """A session as far as it has come; nothing is stored."""
    from shopstep import planner

    opened, plan = read_session_ahead(None if name == LAST else name, clock)
    bench = opened.bench
    with plain_problems():
        first, *parents = bench.builds()
        alone = not plan.makes
        asks = planner.ask_measurements(first, tuple(parents), (), plan.display) if alone else None
    took = tuple(took_lines(opened))
    source = Source(plan, bench.state, (asks,) if asks else (), took=took, codes=codes_of(opened))
    return Printout(source, bench.now_s())


def usual_paper(printout: Printout) -> str:
    """Letter where the plan shows inches, A4 where it shows millimetres."""
    return "letter" if printout.source.plan.display == "in" else "a4"


def make_sheets(
    printout: Printout, names: tuple[str, ...], show: str, paper: str
) -> dict[str, Sheet]:
    """The sheets of these names; one that would be empty is left out."""
    source = replace(printout.source, show=show)
    if "steps" in names:
        source = replace(source, pictures=_pictures(source.plan))
    if "overview" in names:
        source = replace(source, whole=_whole(source.plan))
    if "drawings" in names:
        source = replace(source, drawings=_drawings(source.plan, paper))
    empty = {"measure": not source.asked, "drawings": not source.drawings}
    return {name: SHEETS[name](source) for name in names if not empty.get(name, False)}


def _pictures(plan: Plan) -> dict[str, tuple[str, str]]:
    from shopstep.paper.picture_svg import sheet_picture

    found = {kind.id: find_picture(plan, kind.id) for kind in plan.kinds}
    return {kind: sheet_picture(picture) for kind, picture in found.items() if picture is not None}


def _whole(plan: Plan) -> str:
    from shopstep.paper.picture_svg import sheet_picture

    picture = find_whole(plan)
    return "" if picture is None else sheet_picture(picture)[0]


def _drawings(plan: Plan, paper: str) -> tuple[str, ...]:
    from shopstep.paper.drawing import draw_part
    from shopstep.paper.printing import LYING_MM

    return tuple(
        draw_part(plan, part, LYING_MM[paper])
        for part in plan.parts
        if part.places and not is_cut_to_size_only(part)
    )


def make_tonight(printout: Printout) -> dict[str, Sheet]:
    """This day's open steps with clock times, for when the battery will not last."""
    source = printout.source
    day = local_date(printout.now_s, source.plan.zone)
    return {"tonight": tonight_sheet(source.plan, source.state, day)}


def write_sheets(
    printout: Printout, sheets: dict[str, Sheet], paper: str, target: Path
) -> tuple[Path, ...]:
    """One PDF, or where ``target`` is a folder one for each sheet. Problem where it cannot be."""
    from shopstep.paper.printing import set_pages

    if not sheets:
        raise Problem(say("there is nothing to print on these sheets"), ExitCode.REFUSED)
    assets, plan = shipped_folder("assets"), printout.source.plan
    if target.is_dir():
        files = {target / f"{name}.pdf": [sheet] for name, sheet in sheets.items()}
    elif target.suffix.lower() == ".pdf":
        files = {target: list(sheets.values())}
    else:
        text = say(
            "{target} is no folder and no PDF file by its name; end it in .pdf", target=target
        )
        raise Problem(text, ExitCode.USAGE)
    with plain_problems():
        for file, chosen in files.items():
            file.write_bytes(set_pages(assets, plan, chosen, paper, printout.now_s))
    return tuple(files)
