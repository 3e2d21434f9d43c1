"""Foam and sheet metal: no saw goes near them, and their words are their own."""

from __future__ import annotations

from dataclasses import replace

from shopstep.model.step import StepKind
from shopstep.planner import make_plan
from tests.floor import floor_request
from tests.shelf_builds import build_texts


def kinds_of(build: str, part: str) -> list[StepKind]:
    """The machine and hand steps that give a part its size."""
    text, parents = build_texts(build)
    plan = make_plan(replace(floor_request(), build=text, parents=parents))
    owners = {op.id: op.part for op in plan.operations}
    own = {s.id for s in plan.setups if part in {owners[op] for op in s.operations}}
    return [kind for kind in plan.kinds if kind.id in own]


def test_foam_is_cut_with_a_knife_and_never_at_the_saw() -> None:
    for part in ("foam_end", "foam_side"):
        (kind,) = kinds_of("inner-cover", part)
        assert (kind.stage, kind.tool) == ("knife_cut", "knife")
        assert "knife" in kind.text
        assert [caution.id for caution in kind.cautions] == ["knife"]


def test_sheet_metal_has_words_and_a_caution_of_its_own() -> None:
    (kind,) = kinds_of("roof", "cover_metal")
    assert (kind.stage, kind.tool) == ("snip", "snips")
    assert "metal" in kind.title
    assert "mesh" not in kind.text + kind.why
    assert "cloth" not in kind.text + kind.title
    assert [caution.id for caution in kind.cautions] == ["snips_metal"]
    assert "gloves" in kind.cautions[0].avoid


def test_wire_cloth_stays_as_it_was() -> None:
    (kind,) = kinds_of("screened-floor", "screen")
    assert (kind.stage, kind.tool) == ("shear", "snips")
    assert "mesh" in kind.text
    assert [caution.id for caution in kind.cautions] == ["snips"]
    told = kind.text + kind.cautions[0].avoid
    assert "Clip loose wire ends flush." in told
    assert "Fold" not in told, "cut to size it lies flat under its strips (common practice)"
