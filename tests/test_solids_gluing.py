"""Where glue goes: two ways to the same areas, and the hatching on the faces."""

from __future__ import annotations

import numpy
import pytest

from shopstep.model.picture import Weight
from shopstep.paper.picture_svg import picture_svg
from shopstep.present.picture_cells import picture_cells
from shopstep.present.proof_text import proof_document, proof_lines
from shopstep.solids.bare import bare_zones
from shopstep.solids.bodies import make_pieces
from shopstep.solids.gluing import glue_zones
from shopstep.solids.picturing import picture_step
from shopstep.solids.proving import prove_design
from tests.floor import floor_plan
from tests.shelf_builds import BUILDS, shelf_design


@pytest.mark.parametrize("build", BUILDS)
def test_polygons_of_faces_and_pushed_solids_give_the_same_glued_areas(build: str) -> None:
    design = shelf_design(build)
    pieces = make_pieces(design.parts)
    proof = prove_design(design.parts, design.joints, design.outline.kinds)
    for joint in design.joints:
        if joint.glue is None:
            continue
        zones = glue_zones(pieces, (), [joint])
        (pushed,) = (c.area_mm2 for c in proof.contacts if c.joint == joint.name)
        assert sum(zone.area_mm2 for zone in zones) / 2 == pytest.approx(pushed, rel=1e-6)


def test_every_line_of_the_hatching_lies_on_its_face_and_inside_of_its_piece() -> None:
    design = shelf_design("screened-floor")
    zones = glue_zones(make_pieces(design.parts), (), design.joints)
    assert len(zones) > 30
    for zone in zones:
        points = zone.hatching.reshape(-1, 3)
        assert len(points)
        heights = points @ numpy.array(zone.normal)
        assert heights.max() - heights.min() < 1e-6
        box = zone.piece.box
        assert (points >= numpy.array(box[:3]) - 1e-6).all()
        assert (points <= numpy.array(box[3:]) + 1e-6).all()


def test_the_picture_of_spreading_shows_the_glue_on_paper_and_leaves_it_out_on_a_terminal() -> None:
    shown = picture_step(floor_plan(), "glue/spread_left")
    assert shown is not None
    assert sum(line.weight is Weight.GLUE for line in shown.lines) > 50
    assert "hatched: glue" in picture_svg(shown)
    cells = "\n".join(picture_cells(shown, 60, 20))
    assert "hatched" not in cells
    closing = picture_step(floor_plan(), "glue/close_left")
    assert closing is not None
    assert all(line.weight is not Weight.GLUE for line in closing.lines)
    assert "hatched" not in picture_svg(closing)


def test_only_the_glue_of_the_step_counts() -> None:
    design = shelf_design("inner-cover")
    pieces = make_pieces(design.parts)
    assert glue_zones(pieces, (), design.joints, "wood_glue")
    assert glue_zones(pieces, (), design.joints, "foam_glue") == []


def test_where_the_tray_slides_the_picture_is_dotted_and_the_area_counted() -> None:
    """Runners 17 5/8 in long and 3/4 in wide, the tray 1/8 in shorter and 1/16 in off each rail."""
    shown = picture_step(floor_plan(), "bearers/spread_runners")
    assert shown is not None
    assert sum(line.weight is Weight.BARE for line in shown.lines) > 20
    assert "dotted: no glue" in picture_svg(shown)
    design = shelf_design("screened-floor")
    proof = prove_design(design.parts, design.joints, design.outline.kinds, design.materials)
    runner = next(each for each in proof.bare if (each.loose, each.stays) == ("tray", "runner"))
    long, wide = 17.625 - 0.125, 0.75 - 1 / 16
    assert runner.area_mm2 == pytest.approx(2 * long * wide * 645.16, rel=1e-4)
    assert "runner, for the tray: 24.1 in²" in "\n".join(proof_lines(proof))
    entries = proof_document(proof)["glue_free"]
    assert isinstance(entries, list)
    assert {"loose": "tray", "of": "runner", "area_mm2": round(runner.area_mm2, 1)} in entries


def test_faces_that_nothing_loose_comes_near_are_not_dotted() -> None:
    pieces = make_pieces(shelf_design("screened-floor").parts)
    loose = tuple(piece for piece in pieces if piece.part.loose)
    zones = bare_zones(pieces, loose)
    assert {zone.piece.part.name for zone, _ in zones}.isdisjoint({"panel", "stiffener", "screen"})
    assert not bare_zones(pieces, ())
