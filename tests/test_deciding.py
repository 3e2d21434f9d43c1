"""Which fits hang on which measurement, against what each expression says."""

from __future__ import annotations

import pytest

from shopstep.design.asking import ask_measurements
from shopstep.design.build_file import read_build_file
from shopstep.design.deciding import Decided, moved_by_measurements
from shopstep.present.readings import decides_words
from tests.shelf_builds import BUILDS, build_texts


def decided(build: str) -> dict[str, Decided]:
    """For each measurement of a shipped build what hangs on it."""
    return moved_by_measurements(read_build_file(*build_texts(build)), (), "in")


def test_the_frame_decides_the_space_between_boxes_and_the_lug_nothing_that_it_makes_up_for() -> (
    None
):
    found = decided("hive-body")
    assert set(found["frame_height"].fits) == {"frames_clear_below", "space_between_boxes"}
    assert found["lug_height"].fits == ()
    assert "wood_at_rest" in found["top_bar_length"].fits
    assert found["board_width"].fits == ("straight_edges",)


@pytest.mark.parametrize("build", BUILDS)
def test_every_measurement_is_looked_at_and_names_only_fits_that_are_there(build: str) -> None:
    entry = read_build_file(*build_texts(build)).entry
    found = decided(build)
    assert set(found) == set(entry.measurements)
    assert all(set(told.fits) <= set(entry.fits) for told in found.values())
    titles = {part.title or name.replace("_", " ") for name, part in entry.parts.items()}
    assert all(set(told.parts) <= titles for told in found.values())


def test_the_person_reads_what_hangs_on_it() -> None:
    asks = ask_measurements(*build_texts("hive-body"), (), "in", explain=True)
    frame = next(q for q in asks.questions if q.name == "frame_height")
    assert decides_words(frame) == (" It decides 2 fits (frames clear below, space between boxes).")
    plain = ask_measurements(*build_texts("hive-body"), (), "in")
    assert {decides_words(question) for question in plain.questions} == {""}


def test_a_measurement_that_decides_many_parts_names_three_and_counts_all() -> None:
    asks = ask_measurements(*build_texts("screened-floor"), (), "in", explain=True)
    box = next(q for q in asks.questions if q.name == "box_width")
    said = decides_words(box)
    assert f" It decides {len(box.shapes)} parts ({', '.join(box.shapes[:3])} and " in said
    assert len(box.shapes) > 6
    assert "1 fit (entrance fits)." in said


def test_where_the_given_values_do_not_work_nothing_is_said() -> None:
    file = read_build_file(*build_texts("hive-body"))
    assert moved_by_measurements(file, (("box_width", "40 in"),), "in") == {}
