"""Clamps by their reach at the bench: what is free, what is counted, what is missing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopstep.model.plan import Plan
from shopstep.model.resources import (
    ClampSet,
    count_reaching,
    parse_clamp_set,
    set_words,
    sets_of,
    with_more,
)
from shopstep.present.card_for import card_for
from shopstep.present.log import LogRow, log_rows
from shopstep.present.phrases import parse_command
from shopstep.session import commands as c
from shopstep.session.around import Around, clamps_for
from shopstep.session.decide import decide
from shopstep.session.gates import Verdict
from shopstep.storage.state_text import read_state, write_state
from shopstep.units import Length, UnitError
from tests.session_bench import Play, moment_at, new_id
from tests.test_clamp_reach import FAR, NEAR
from tests.test_session_room import OTHER, SPREAD, clamped, start


def far_plan() -> Plan:
    """The sample whose joints need clamps of 48 in reach."""
    plan = clamped()
    return replace(plan, holds=tuple(replace(hold, reach=FAR) for hold in plan.holds))


def ask(play: Play, command: c.Command, around: Around) -> Verdict:
    """What follows with such a shop around the bench."""
    return decide(play.state, play.plan, command, moment_at(play.now_s), around)


def at(name: str) -> Play:
    """Worked until a step comes to the bench."""
    play = Play(plan=far_plan())
    play.finish_until(name)
    return play


def around(*sets: ClampSet, elsewhere: tuple[ClampSet, ...] = ()) -> Around:
    """A shop with these clamps."""
    count = sum(each.count for each in sets)
    return Around(clamps=count, clamp_sets=sets, clamps_elsewhere=elsewhere)


def test_no_glue_goes_on_where_too_few_of_the_free_clamps_reach() -> None:
    play = at(OTHER)
    short = ask(play, start(OTHER), around(ClampSet(6, NEAR), ClampSet(3, FAR)))
    assert isinstance(short, c.Refusal)
    assert "needs 2 clamps of 48 in reach, and 1 of 3 are free. First " in short.text
    assert short.typed == "In words: `clamps 6 x 24 in, 4 x 48 in`."
    fits = around(ClampSet(6, NEAR), ClampSet(4, FAR))
    assert not isinstance(ask(play, start(OTHER), fits), c.Refusal)
    assert not isinstance(ask(play, start(OTHER), Around(clamps=4)), c.Refusal)


def test_what_the_refusal_says_to_type_lets_the_glue_go_on() -> None:
    play = at(OTHER)
    shop = around(ClampSet(6, NEAR), ClampSet(3, FAR))
    refused = ask(play, start(OTHER), shop)
    assert isinstance(refused, c.Refusal)
    typed = refused.typed.removeprefix("In words: `").removesuffix("`.")
    card = card_for(play.state, play.plan, play.now_s)
    command = parse_command(typed.split(), card, None, new_id())
    assert isinstance(command, c.CountClamps)
    assert (command.count, command.sets) == (10, (ClampSet(6, NEAR), ClampSet(4, FAR)))
    play.do(command)
    assert not isinstance(ask(play, start(OTHER), shop), c.Refusal)
    assert ask(play, command, shop) == ()
    assert read_state(write_state(play.state)) == play.state
    rows: list[LogRow] = list(log_rows(play.envelopes, play.plan))
    assert rows[-1].what == "counted 10 clamps: 6 x 24 in, 4 x 48 in"


def test_clamps_of_other_batches_are_taken_from_those_that_they_need() -> None:
    play = at(SPREAD)
    sets = (ClampSet(4, NEAR), ClampSet(3, FAR))
    narrow = around(*sets, elsewhere=(ClampSet(4, NEAR),))
    assert not isinstance(ask(play, start(), narrow), c.Refusal)
    wide = ask(play, start(), around(*sets, elsewhere=(ClampSet(2, FAR),)))
    assert isinstance(wide, c.Refusal)
    assert "2 clamps of 48 in reach, and 1 of 3 are free. 2 hold another batch." in wide.text
    # five narrow joints cannot stand in four short clamps: one long one is gone
    many = ask(play, start(), around(*sets, elsewhere=(ClampSet(6, NEAR),)))
    assert isinstance(many, c.Refusal)
    assert "needs 2 clamps, and 1 of 7 are free" in many.text


def test_fewer_counted_than_the_shop_has_are_missing_from_the_longest() -> None:
    play = at(SPREAD)
    shop = around(ClampSet(4, NEAR), ClampSet(2, FAR))
    assert not isinstance(ask(play, start(), shop), c.Refusal)
    play.do(c.CountClamps(id=new_id(), count=5))
    assert isinstance(ask(play, start(), shop), c.Refusal)
    play.do(c.CountClamps(id=new_id(), count=6))
    assert not isinstance(ask(play, start(), shop), c.Refusal)


def test_clamps_are_counted_by_the_reach_that_they_need() -> None:
    plan = far_plan()
    steps = tuple(s for s in plan.steps if s.id in (SPREAD, "u1/glue/close"))
    assert clamps_for(plan, steps, FAR) == 2
    assert clamps_for(plan, steps, FAR + Length(1)) == 0


@pytest.mark.parametrize("text", ["", "x 24 in", "4 x -24 in", "4 x 0 in", "4 clamps", "0 x 3 in"])
def test_what_names_no_clamps_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        parse_clamp_set(text)


SETS = st.lists(
    st.builds(ClampSet, st.integers(1, 9), st.integers(1, 60).map(Length.inches)), max_size=4
).map(tuple)


@settings(max_examples=200, deadline=None)
@given(SETS, st.integers(0, 40), st.integers(1, 60).map(Length.inches))
def test_counting_only_ever_takes_from_the_longest_and_adds_none_that_reach(
    sets: tuple[ClampSet, ...], total: int, reach: Length
) -> None:
    whole = sum(each.count for each in sets)
    left = sets_of(total, sets)
    assert sum(each.count for each in left) == min(total, whole)
    # by hand: what reaches less far than asked is lost last
    shorter = sum(each.count for each in sets if each.reach < reach)
    if left:
        assert count_reaching(total, left, reach) == max(0, min(total, whole) - shorter)
    more = with_more(sets, 2, reach)
    assert (
        count_reaching(whole + 2, more, reach)
        == sum(each.count for each in sets if each.reach >= reach) + 2
    )
    told = set_words(more, "in").split(", ")
    assert tuple(parse_clamp_set(text) for text in told) == more
