"""Where buttons stand: whole, apart, large enough, and never under a second tap."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

import pytest

from shopstep.present.card import CardMode
from shopstep.tui.actions import number_actions, turn_pages
from shopstep.tui.places import Place, place_actions, place_grid, row_height
from shopstep.tui.widgets.big_button import button_rows, fits_tall
from tests.fake_bench import ALL_CARDS, CAUTION, LABELS, SIZES, STEP

WIDTHS = [*range(28, 90), 100, 120, 160, 200]
LAPTOP_MM = 310.0, 175.0
"""Width and height of a 14-inch screen, about."""


def is_apart(one: Place, other: Place) -> bool:
    """Whether at least one empty cell lies between two rectangles."""
    across = one.x + one.width < other.x or other.x + other.width < one.x
    down = one.y + one.height < other.y or other.y + other.height < one.y
    return across or down


def all_places(name: str) -> Iterator[tuple[int, list[Place]]]:
    """The card's buttons on every width."""
    for width in WIDTHS:
        yield width, place_actions(ALL_CARDS[name], width, 24)


@pytest.mark.parametrize("name", ALL_CARDS)
def test_buttons_are_whole_and_apart_on_every_width(name: str) -> None:
    for width, places in all_places(name):
        assert places
        for place in places:
            assert place.x >= 0
            assert place.width >= 3
            assert place.x + place.width <= width
            assert place.height == row_height(24)
        assert all(is_apart(one, other) for one, other in combinations(places, 2))


@pytest.mark.parametrize("name", ALL_CARDS)
def test_no_word_on_a_button_is_broken(name: str) -> None:
    for width, places in all_places(name):
        for place in places:
            rows = button_rows(place, place.width, place.height, is_tall=False)
            words = [word for word in " ".join(rows).split() if word != place.key]
            assert words == place.label.split(), (width, rows)
            assert {len(row) for row in rows} == {place.width}


@pytest.mark.parametrize("name", ["caution", "waiting", "complete"])
def test_nothing_stands_where_done_stood(name: str) -> None:
    for width, places in all_places(name):
        done = place_actions(STEP, width, 24)[0]
        assert done.action == "done"
        assert done.x < width / 4
        assert all(place.x >= done.x + done.width for place in places), width


@pytest.mark.parametrize("pages", [1, 3])
def test_a_cautions_answer_stands_at_the_right_end(pages: int) -> None:
    for width in WIDTHS:
        answer = place_actions(turn_pages(CAUTION, 0, pages), width, 24)[-1]
        assert answer.action == ("ack" if pages == 1 else "next_page")


@pytest.mark.parametrize("name", ALL_CARDS)
def test_what_has_no_button_is_behind_more(name: str) -> None:
    for width, places in all_places(name):
        shown = {place.action for place in places}
        if shown != {action.id for action in ALL_CARDS[name].actions} and width >= 40:
            assert "more" in shown


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_targets_are_large_enough_for_gloves(width: int, height: int) -> None:
    # MIL-STD-1472E 5.4.3.1.3.3: 19 mm with mittens; 3 mm apart is common practice, no source
    cell_mm = LAPTOP_MM[0] / width, LAPTOP_MM[1] / height
    places = place_actions(STEP, width, height)
    for place in places:
        assert place.width * cell_mm[0] >= 19
        assert place.height * cell_mm[1] >= 19
    for left, right in pairwise(places):
        assert (right.x - left.x - left.width) * cell_mm[0] >= 3


@pytest.mark.parametrize("name", ALL_CARDS)
def test_number_one_is_kept_for_what_leads_on(name: str) -> None:
    card = ALL_CARDS[name]
    numbered = number_actions(card)
    assert {action.id for action in numbered.values()} == {action.id for action in card.actions}
    if 1 in numbered:
        assert numbered[1].id in ("done", "start", "measure", "resume")
    if card.mode is CardMode.CAUTION:
        assert numbered[max(numbered)].id == "ack"


def test_numbers_follow_the_order_of_the_cards_actions() -> None:
    ids = [action.id for _, action in sorted(number_actions(STEP).items())]
    assert ids == [action.id for action in STEP.actions]
    assert sorted(number_actions(STEP)) == [1, 2, 3, 4, 5]


def test_a_label_is_tall_only_where_it_fits_whole() -> None:
    for label in LABELS.values():
        for width in range(4, 80):
            place = Place("x", label, "1", 0, 0, width, 7)
            if fits_tall(place):
                rows = button_rows(place, width, 7, is_tall=True)
                assert {len(row) for row in rows} == {width}


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("columns", [1, 2, 3, 6])
def test_a_grid_of_choices_is_whole_and_apart(width: int, height: int, columns: int) -> None:
    choices = [(str(n), "word", str(n)) for n in range(columns * 2)]
    places = place_grid(choices, columns, width, row_height(height), 1)
    assert all(p.x >= 0 and p.x + p.width <= width for p in places)
    assert all(is_apart(one, other) for one, other in combinations(places, 2))
