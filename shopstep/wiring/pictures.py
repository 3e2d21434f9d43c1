"""Pictures, drawings and solids of a plan, made when they are asked for and not before.

A picture is drawn once for each step kind and kept beside what was checked before; a kept one is
shown without loading the solids.
"""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

from shopstep.model.codec import digest, to_text
from shopstep.model.part import Hand, Part
from shopstep.model.picture import Picture
from shopstep.model.plan import Plan
from shopstep.model.step import Source
from shopstep.present.picture_cells import LEAST_COLUMNS, LEAST_ROWS, picture_cells
from shopstep.storage.answers import program_state
from shopstep.storage.folders import cache_folder
from shopstep.storage.picture_folder import PictureFolder
from shopstep.wiring.problems import ExitCode, Problem
from shopstep.words import say

_PACKAGE = Path(__file__).resolve().parent.parent


def kept_picture(plan: Plan, kind_id: str) -> tuple[Picture | None] | None:
    """The picture of a step kind if it was drawn before, in a tuple of one; None if it was not."""
    return _folder().get(_key(plan, kind_id))


def find_picture(plan: Plan, kind_id: str) -> Picture | None:
    """The picture of a step kind; None for a step that has nothing to show.

    KeyError where the plan has no such step kind.
    """
    kept = kept_picture(plan, kind_id)
    if kept is not None:
        return kept[0]
    from shopstep.solids.picturing import picture_step

    picture = picture_step(plan, kind_id)
    _folder().put(_key(plan, kind_id), picture)
    return picture


def find_whole(plan: Plan) -> Picture | None:
    """What a unit looks like when it is done: the last step of the build that has a picture."""
    own = (kind.id for kind in reversed(plan.kinds) if kind.source is Source.AUTHORED)
    return next((found for kind in own if (found := find_picture(plan, kind)) is not None), None)


def _folder() -> PictureFolder:
    return PictureFolder(cache_folder() / "pictures")


def _key(plan: Plan, kind_id: str) -> str:
    """A digest of all that a picture depends on."""
    return digest(_shown(plan) + kind_id)


_last: list[tuple[Plan, str]] = []
"""The plan that was asked about last, held itself so that no other can take its identity."""


def _shown(plan: Plan) -> str:
    """A digest of all that the pictures of a plan depend on; made once for each plan object."""
    if not _last or _last[0][0] is not plan:
        shown = plan.parts, plan.kinds, plan.setups
        text = "".join(to_text(each) for each in shown) + program_state(_PACKAGE)
        _last[:] = [(plan, digest(text))]
    return _last[0][1]


def picture_of(
    plan: Plan, kind_id: str, columns: int = LEAST_COLUMNS, rows: int = LEAST_ROWS
) -> tuple[str, ...]:
    """The picture of a step kind as lines of cells for a terminal; none where there is none."""
    picture = find_picture(plan, kind_id)
    return () if picture is None else picture_cells(picture, columns, rows)


def pictured_kinds(plan: Plan) -> tuple[str, ...]:
    """Ids of all step kinds that have a picture, in the order of the plan."""
    return tuple(kind.id for kind in plan.kinds if find_picture(plan, kind.id) is not None)


def find_kind(plan: Plan, step: str) -> str:
    """The step kind of an id as cards and plans show it, or of a step kind itself.

    Problem with the nearest one where there is none.
    """
    kinds = [kind.id for kind in plan.kinds]
    if step in kinds:
        return step
    known = {each.id: each.kind for each in plan.steps}
    if step in known:
        return known[step]
    near = get_close_matches(step, [*kinds, *known], n=1, cutoff=0.4)
    tail = say("; did you mean '{near}'?", near=near[0]) if near else ""
    raise Problem(
        say("there is no step '{step}' in this plan{tail}", step=step, tail=tail), ExitCode.USAGE
    )


def picture_file(plan: Plan, kind_id: str) -> str:
    """The picture of a step kind as SVG. Problem for a step that has none."""
    from shopstep.paper.picture_svg import picture_svg

    picture = find_picture(plan, kind_id)
    if picture is None:
        raise Problem(say("step '{kind_id}' has nothing to show", kind_id=kind_id), ExitCode.USAGE)
    return picture_svg(picture)


def contact_file(plan: Plan) -> str:
    """All pictures of a plan on one sheet, as SVG."""
    from shopstep.paper.picture_svg import contact_sheet

    found = (find_picture(plan, kind.id) for kind in plan.kinds)
    return contact_sheet([picture for picture in found if picture is not None])


def find_part(plan: Plan, name: str) -> Part:
    """A part by name; of a handed one the hand comes first: ``left side_rail``.

    Problem with the nearest name where there is none, or where the hand is missing.
    """
    wanted = " ".join(name.replace("-", " ").split())
    for part in plan.parts:
        names = (part.label, f"{part.hand or ''} {part.name}".strip())
        if part.places and wanted in names:
            return part
    hands = [part for part in plan.parts if part.name == wanted and part.hand is not None]
    if hands:
        said = say(
            "'{left} {wanted}' or '{right} {wanted}'",
            left=Hand.LEFT,
            wanted=wanted,
            right=Hand.RIGHT,
        )
        raise Problem(
            say("'{wanted}' comes left and right; write {said}", wanted=wanted, said=said),
            ExitCode.USAGE,
        )
    known = [f"{part.hand or ''} {part.name}".strip() for part in plan.parts]
    near = get_close_matches(wanted, known, n=1, cutoff=0.4)
    tail = (
        say("; did you mean '{near}'?", near=near[0])
        if near
        else say("; known: {known}", known=", ".join(known))
    )
    raise Problem(
        say("there is no part '{name}' in this build{tail}", name=name, tail=tail), ExitCode.USAGE
    )


def drawing_file(plan: Plan, part: Part) -> str:
    """The drawing of a part as SVG."""
    from shopstep.paper.drawing import draw_part

    return draw_part(plan, part)


def solid_file(plan: Plan, suffix: str) -> bytes:
    """The finished thing as a file; ``suffix``: ``.3mf`` or ``.stl``. Problem for another."""
    if suffix not in (".3mf", ".stl"):
        raise Problem(
            say("solids are written as .3mf or .stl, not as '{suffix}'", suffix=suffix),
            ExitCode.USAGE,
        )
    from shopstep.solids.bodies import make_pieces
    from shopstep.solids.exporting import write_3mf, write_stl

    pieces = make_pieces(plan.parts)
    write = write_3mf if suffix == ".3mf" else write_stl
    return write(pieces, plan.build_title)
