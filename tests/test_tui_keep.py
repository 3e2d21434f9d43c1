"""What lies outside its tolerance is kept only after one more question, at another place."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopstep.model.lever import Lever
from shopstep.model.plan import Fit
from shopstep.model.step import Check, Step
from shopstep.present.deviations import keep_words
from shopstep.session.commands import AcceptDeviation, Command, GoBack, Refusal
from shopstep.tui.hand import PAGE_S
from shopstep.units import Length
from tests.fake_bench import NOW_S, OUTSIDE, SIZES, STEP, FakeBench
from tests.tui_pilot import Sight, sight_of

WORDS = (
    "Measured: 1/8 in.",
    "Planned: 0 in ± 1/16 in.",
    "What was checked: difference of the diagonals.",
)


def kinds_of(bench: FakeBench) -> list[type]:
    """The kinds of the commands that were sent."""
    return [type(command) for command in bench.commands]


async def turn_to(sight: Sight, choice: str) -> bool:
    """Turn pages until a button is in sight; False where there is none on this size."""
    for _ in range(8):
        if choice in sight.buttons():
            return True
        await sight.press("n")
    return False


@pytest.mark.parametrize("key", ["8", "k"])
async def test_one_key_keeps_nothing_and_the_same_key_again_keeps_nothing(key: str) -> None:
    bench = FakeBench(OUTSIDE)
    async with sight_of(bench) as sight:
        await sight.press(key)
        assert all(words in sight.words() for words in WORDS)
        assert sight.focused == "back_to_step"
        await sight.press(key)
        assert sight.open_page() is not None
        await sight.press("2")
        assert sight.open_page() is None
    assert bench.commands == []


async def test_the_answer_keeps_it() -> None:
    bench = FakeBench(OUTSIDE)
    async with sight_of(bench) as sight:
        await sight.press("8", "6")
    (command,) = bench.commands
    assert isinstance(command, AcceptDeviation)
    assert (command.name, command.step) == ("diagonals_differ", OUTSIDE.step_id)


async def test_by_pedals_a_double_press_goes_back_and_two_pedals_keep() -> None:
    bench = FakeBench(OUTSIDE)
    async with sight_of(bench) as sight:
        for _ in range(8):
            if sight.focused == "accept":
                break
            await sight.press("pageup")
        await sight.press("pagedown", "pagedown")
        assert sight.open_page() is None
        assert bench.commands == []
        await sight.press("pagedown", "pageup")
        assert sight.focused == "keep"
        await sight.press("pagedown")
    assert kinds_of(bench) == [AcceptDeviation]


@pytest.mark.parametrize("is_far", [False, True])
@pytest.mark.parametrize("size", SIZES)
async def test_the_answer_by_tap_lies_apart_from_the_button(
    size: tuple[int, int], is_far: bool
) -> None:
    bench = FakeBench(OUTSIDE)
    async with sight_of(bench, size, is_far=is_far) as sight:
        before = None
        if await turn_to(sight, "accept"):
            before = sight.buttons()["accept"].region
            await sight.tap("accept")
        else:
            await sight.press("8")
        await sight.pilot.pause()
        assert await turn_to(sight, "keep")
        after = sight.buttons()["keep"].region
        assert before is None or not before.overlaps(after)
        await sight.tap("keep")
    assert kinds_of(bench) == [AcceptDeviation]


def test_the_fits_that_hang_on_a_size_are_told_in_their_own_words() -> None:
    plan = FakeBench(OUTSIDE).plan
    step = plan.steps[0]
    card = replace(OUTSIDE, step_id=step.id)
    check = Check("diagonals_differ", "way", Length(0), Length(1), becomes="way")
    kinds = tuple(
        replace(kind, checks=(check,)) if kind.id == step.kind else kind for kind in plan.kinds
    )
    fit = Fit(
        "tray_slides", "must", Length(1), None, None, True, "", "The tray is narrower.", 1,
        too_little="the tray may bind", levers=(Lever("way", 1.0),),
    )  # fmt: skip
    other = replace(fit, text="Something else.", levers=(Lever("height", 1.0),))
    told = keep_words(card, replace(plan, kinds=kinds, fits=(fit, other)), NOW_S)
    assert told[2] == "What hangs on it: The tray is narrower (else the tray may bind)."


async def test_back_just_after_a_page_takes_no_tick_back_and_says_so() -> None:
    bench = FakeBench(STEP)
    async with sight_of(bench) as sight:
        await sight.press("w", "2")
        assert sight.open_page() is None
        await sight.press("2")
        assert bench.commands == []
        assert "A page has just closed." in sight.words()
        await sight.press("2")
        assert kinds_of(bench) == [GoBack]


async def test_back_some_time_after_a_page_counts() -> None:
    bench = FakeBench(STEP)
    async with sight_of(bench) as sight:
        await sight.press("w", "2")
        sight.clock.pass_by(PAGE_S)
        await sight.press("2")
    assert kinds_of(bench) == [GoBack]


async def test_what_is_refused_from_a_page_is_told_on_a_page() -> None:
    def refuse(command: Command) -> Refusal:
        return Refusal("Glue is open elsewhere.", "open_glue")

    bench = FakeBench(STEP)
    bench.react = refuse
    other: Step = next(step for step in bench.ready_steps if step.id != STEP.step_id)
    async with sight_of(bench) as sight:
        await sight.press("m")
        await sight.tap(f"take {other.id}")
        await sight.pilot.pause()
        assert sight.open_page() is not None
        assert "Glue is open elsewhere." in sight.words()
        await sight.press("2")
        assert sight.open_page() is None
        assert [type(command).__name__ for command in bench.commands] == ["TakeStep"]
