"""The keeper's own keys: by id, told apart, and the same in help as in the hand."""

from __future__ import annotations

import pytest

from shopstep.tui.app import BenchApp
from shopstep.tui.key_map import NO_KEY, TABLE, KeyMap, read_keys
from tests.fake_bench import CAUTION, STEP, FakeBench, StillClock
from tests.tui_pilot import Sight


def test_without_own_keys_every_key_is_itself() -> None:
    assert read_keys({}).translate("d") == "d"
    assert all(KeyMap().keys_of(name) == keys for name, keys in TABLE.items())


def test_an_own_key_stands_for_the_action_and_the_old_one_for_nothing() -> None:
    keys = read_keys({"done": "x", "choose": ["b", "enter"]})
    assert keys.translate("x") == "d"
    assert keys.translate("d") == NO_KEY
    assert keys.translate("b") == "enter"
    assert keys.translate("pagedown") == NO_KEY
    assert keys.keys_of("done") == ("x",)
    assert keys.keys_of("back") == ()  # its letter was given away; its number is left


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        ({"dome": "x"}, "'dome' is no action; did you mean 'done'?"),
        ({"done": "pagedwn"}, "'pagedwn' is no key; did you mean 'pagedown'?"),
        ({"done": "x", "hold": "x"}, "'x' is given to two actions"),
        ({"done": []}, "'done' has no key"),
        ({"done": 5.5}, "'5.5' is no key"),
    ],
)
def test_a_wrong_key_is_told_in_one_sentence(wanted: dict[str, object], said: str) -> None:
    with pytest.raises(ValueError, match="keys") as caught:
        read_keys(wanted)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


async def test_the_screen_and_its_help_follow_the_own_keys() -> None:
    bench, clock = FakeBench(STEP), StillClock()
    keys = read_keys({"done": "x", "choose": "f5", "next_button": "f6"})
    app = BenchApp(bench, monotonic=clock, key_map=keys)
    async with app.run_test(size=(120, 40)) as pilot:
        sight = Sight(app, pilot, clock)
        await sight.press("d", "pagedown")
        assert bench.commands == []
        await sight.press("x")
        assert [type(c).__name__ for c in bench.commands] == ["FinishStep"]
        await sight.press("f6", "f5")
        assert [type(c).__name__ for c in bench.commands] == ["FinishStep", "GoBack"]
        await sight.press("question_mark")
        assert "1 or 7, x: Done." in sight.words()
        assert "f6: Move the arrowheads on." in sight.words()


async def test_help_names_every_action_of_the_table() -> None:
    bench, clock = FakeBench(CAUTION), StillClock()
    app = BenchApp(bench, monotonic=clock)
    async with app.run_test(size=(200, 60)) as pilot:
        sight = Sight(app, pilot, clock)
        await sight.press("question_mark")
        for words in ("Read on.", "I read it.", "Understood.", "Near or far.", "Keep as it is."):
            assert words in sight.words()
