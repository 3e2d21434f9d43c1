"""Synthetic speech into a tablet's microphone, by the real ear: the same events as by taps."""

from __future__ import annotations

from pathlib import Path

from tests.floor import floor_plan
from tests.followed_by_ear import Worker, what_happened
from tests.spoken_to_tablet import TabletSpeaker


def test_the_first_steps_of_a_floor_by_the_tablets_ear_are_those_by_taps(tmp_path: Path) -> None:
    """All of the floor is followed so by ``python -m tests.benchmarks.tablet_ear --floor``."""
    plan = floor_plan(units=1)
    tapped = Worker(plan)
    spoken = TabletSpeaker(plan, tmp_path, "en-us+m3", "vacuum", 20)
    try:
        tapped.follow(12)
        spoken.follow(12)
    finally:
        spoken.stop()
    assert what_happened(spoken.journal) == what_happened(tapped.journal)
    assert spoken.count.taken > 8
    assert spoken.count.tapped == 0


def test_what_was_done_is_taken_back_and_a_held_batch_goes_on(tmp_path: Path) -> None:
    spoken = TabletSpeaker(floor_plan(units=1), tmp_path, "en-us+m3", "clean", 0)
    try:
        spoken.follow(1)
        before = spoken.bench.card()
        for words, mode in (
            ("hold the batch here", "held"),
            ("go back one step", before.mode.value),
            ("hold the batch here", "held"),
            ("resume the work now", before.mode.value),
        ):
            assert spoken.say(words) is not None, words
            card = spoken.bench.card()
            assert (card.mode.value, card.step_id) == (mode, before.step_id)
    finally:
        spoken.stop()
