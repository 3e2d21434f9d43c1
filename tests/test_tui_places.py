"""Where buttons stand: whole, apart, large enough, and never under a second tap."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

import pytest

from shopstep.present.card import CardMode
from shopstep.tui.actions import ACTION_BY_ID, ask_twice, number_actions, turn_pages
from shopstep.tui.places import Place, place_actions, place_grid, row_height
from shopstep.tui.screen_size import FINGER_MM, TABLET
from shopstep.tui.widgets.big_button import button_rows, fits_tall
from tests.fake_bench import ALL_CARDS, CAUTION, LABELS, SIZES, STEP

WIDTHS = [*range(30, 90), 100, 120, 160, 200]
"""From narrower than promised on."""


def is_apart(one: Place, other: Place) -> bool:
    """Whether at least one empty cell lies between two rectangles."""
    across = one.x + one.width < other.x or other.x + other.width < one.x
    down = one.y + one.height < other.y or other.y + other.height < one.y
    return across or down


def all_places(name: str) -> Iterator[tuple[int, list[Place]]]:
    """The card's buttons on every width."""
    for width in WIDTHS:
        for is_ready in (False, True):
            yield width, place_actions(ask_twice(ALL_CARDS[name], is_ready=is_ready), width, 24)


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


def test_a_cautions_answer_stands_at_the_right_end_and_its_pages_at_the_left() -> None:
    for width in WIDTHS:
        for pages in (1, 3):
            read = ask_twice(turn_pages(CAUTION, pages - 1, pages), is_ready=False)
            places = place_actions(read, width, 24)
            assert places[-1].action == "ready"
            assert not places[-1].is_lit
            answer = place_actions(turn_pages(CAUTION, pages - 1, pages), width, 24)[-1]
            assert answer.action == "ack"
            assert not answer.is_lit
            assert is_apart(answer, places[-1])
            assert is_apart(answer, place_actions(STEP, width, 24)[0])
        first = place_actions(turn_pages(CAUTION, 0, 3), width, 24)
        assert first[0].action == "next_page"
        assert "ack" not in {place.action for place in first}
        assert all(is_apart(place, places[-1]) for place in first), width


def test_back_hold_why_and_more_stand_in_the_same_places_on_every_step() -> None:
    steps = [n for n, card in ALL_CARDS.items() if card.mode is CardMode.STEP]
    for width in (*WIDTHS, 56, 60, 79):
        seen: dict[str, set[tuple[int, int]]] = {}
        for name in steps:
            for card in (ALL_CARDS[name], turn_pages(ALL_CARDS[name], 0, 2)):
                for place in place_actions(card, width, 24):
                    if place.action in ("back", "hold", "why", "more"):
                        seen.setdefault(place.action, set()).add((place.x, place.width))
        assert all(len(spots) == 1 for spots in seen.values()), (width, seen)


@pytest.mark.parametrize("name", ALL_CARDS)
def test_what_has_no_button_is_behind_more(name: str) -> None:
    for width, places in all_places(name):
        shown = {place.action for place in places}
        offered = {action.id for action in ask_twice(ALL_CARDS[name], is_ready=False).actions}
        if "ack" not in shown and shown != offered and width >= 40:
            assert "more" in shown


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("name", ALL_CARDS)
def test_targets_are_large_enough_for_gloves(name: str, width: int, height: int) -> None:
    # 20 mm on a 10-inch tablet (MIL-STD-1472E 5.4.3.1.3.3 asks for 19 mm with mittens);
    # 3 mm apart is common practice, no source
    cell_mm = TABLET.width_mm / width, TABLET.height_mm / height
    for is_ready in (False, True):
        places = place_actions(ask_twice(ALL_CARDS[name], is_ready=is_ready), width, height)
        for place in places:
            assert place.width * cell_mm[0] >= FINGER_MM, place
            assert place.height * cell_mm[1] >= FINGER_MM, place
        for left, right in pairwise(places):
            assert (right.x - left.x - left.width) * cell_mm[0] >= 3


@pytest.mark.parametrize("name", ALL_CARDS)
def test_number_one_is_kept_for_what_leads_on(name: str) -> None:
    card = ALL_CARDS[name]
    numbered = number_actions(card)
    assert {action.id for action in numbered.values()} == {action.id for action in card.actions}
    if "1" in numbered:
        assert numbered["1"] == card.actions[0]
        assert numbered["1"].id in ("done", "start", "measure")


def test_an_action_has_one_number_whatever_else_the_card_offers() -> None:
    wanted = {"back": "2", "hold": "3", "resume": "3", "why": "4", "more": "5", "ack": "9"}
    wanted |= {"accept": "8"}
    for card in ALL_CARDS.values():
        for offers in (card, turn_pages(card, 0, 2), turn_pages(card, 1, 2)):
            keys = {action.id: key for key, action in number_actions(offers).items()}
            assert len(keys) == len(offers.actions)
            assert keys.items() <= (keys | wanted).items()
            leading = {keys.get(name) for name in ("done", "start", "measure", "next_page")}
            assert leading - {None} <= {"1", "7", "9", "0"}
    assert number_actions(ALL_CARDS["measure"])["7"].id == "done"
    assert number_actions(ALL_CARDS["step"])["1"].id == "done"


def test_no_two_actions_of_one_kind_of_card_share_a_number() -> None:
    # the answer to a caution is never on a card with something to measure
    apart = ("resume", "ack")
    numbers = [a.number for a in ACTION_BY_ID.values() if a.number and a.id not in apart]
    assert len(numbers) == len(set(numbers))


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
