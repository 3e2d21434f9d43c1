"""Which fits hang on which measurement, against what each expression says."""

from __future__ import annotations

import pytest

from shopstep.design.asking import ask_measurements
from shopstep.design.build_file import read_build_file
from shopstep.design.deciding import fits_of_measurements
from shopstep.present.readings import decides_words
from tests.shelf_builds import BUILDS, build_texts


def decided(build: str) -> dict[str, tuple[str, ...]]:
    """For each measurement of a shipped build the fits that hang on it."""
    return fits_of_measurements(read_build_file(*build_texts(build)), (), "in")


def test_the_frame_decides_the_space_between_boxes_and_the_lug_nothing_that_it_makes_up_for() -> (
    None
):
    found = decided("hive-body")
    assert set(found["frame_height"]) == {"frames_clear_below", "space_between_boxes"}
    assert found["lug_height"] == ()
    assert "wood_at_rest" in found["top_bar_length"]
    assert found["board_width"] == ("straight_edges",)


@pytest.mark.parametrize("build", BUILDS)
def test_every_measurement_is_looked_at_and_names_only_fits_that_are_there(build: str) -> None:
    entry = read_build_file(*build_texts(build)).entry
    found = decided(build)
    assert set(found) == set(entry.measurements)
    assert all(set(fits) <= set(entry.fits) for fits in found.values())


def test_the_person_reads_what_hangs_on_it() -> None:
    asks = ask_measurements(*build_texts("hive-body"), (), "in", explain=True)
    frame = next(q for q in asks.questions if q.name == "frame_height")
    assert decides_words(frame) == " It decides: frames clear below, space between boxes."
    plain = ask_measurements(*build_texts("hive-body"), (), "in")
    assert {decides_words(question) for question in plain.questions} == {""}


def test_where_the_given_values_do_not_work_nothing_is_said() -> None:
    file = read_build_file(*build_texts("hive-body"))
    assert fits_of_measurements(file, (("box_width", "40 in"),), "in") == {}
