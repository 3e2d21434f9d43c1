"""The card in plain lines: a few whole cards word by word, and rules for all of them."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from shopstep.present.card import CardCheck, CardMode, CardTimer
from shopstep.present.lines import MANUAL_FIRST, MOST_TIMERS, card_lines, check_words
from shopstep.session import commands as c
from shopstep.units import Length
from tests.present_sample import MemoryBench, furnished_plan
from tests.sample_plan import BEGIN_S

CAUTION = """\
WARNING: The blade can cut fingers off and throw the work back.
How to avoid it: Guard and riving knife on, stand out of the line of the
blade.
Other hand: Push stick in the right hand; the left hand stays 6 in from the
blade.
If it happened: Stop the saw, press on the wound, call for help.
Source: common practice, no source
The tool's manual, local rules and trained people come first.
whole batch, 0 of 17 steps done
Rip the rails
fence: 3 1/2 in
pieces: 4
Rip four rails; cut one in scrap first and measure it.
Then: Dry fit (unit 1)
You can say: ack (Understood), back, hold, why, more."""

OUTSIDE = """\
unit 1 of 2, pencil mark 1, 5 of 17 steps done
Square it
Measure both diagonals.
Check diagonals_differ: difference of the diagonals, 0 in ± 1/16 in. Measured
1/8 in: OUTSIDE.
clamps, unit 1: the clamps may come off in 44 min (at 18:52)
Then: Tack the joint (unit 1)
You can say: measure diagonals_differ VALUE, done, accept diagonals_differ
REASON, back, more."""

SCREWS = """\
unit 1 of 2, pencil mark 1, 11 of 17 steps done
Screw the joint
Drill the pilot holes, then drive the screws.
Fasteners, each unit: 4 × #6 × 1 1/4 in screw, pilot 3/32 in, clearance
9/64 in
clamps, unit 1: ready, the clamps may come off
clamps, unit 2: the clamps may come off in 4 min (at 18:59)
Now: Look at the grain.
Then: Screw the joint (unit 2)
You can say: done, back, hold, why, more."""


def lines_of(bench: MemoryBench, width: int = 78) -> list[str]:
    return card_lines(bench.card(), bench.at_s, bench.plan.zone, width)


def test_a_caution_is_read_first_and_the_words_to_say_last() -> None:
    assert "\n".join(lines_of(MemoryBench())) == CAUTION


def test_a_value_outside_its_tolerance_is_said_loudly() -> None:
    bench = MemoryBench()
    step = bench.finish_until("u1/glue/square").step_id
    bench.at_s += 60
    bench.do(c.TakeMeasure(id="1", step=step, name="diagonals_differ", value=Length.inches("1/8")))
    assert "\n".join(lines_of(bench)) == OUTSIDE


def test_fasteners_and_timers_and_a_notice_are_read_out() -> None:
    bench = MemoryBench(notice="Look at the grain.")
    bench.finish_until("u1/screw/screws")
    bench.at_s = bench.card().timers[0].due_s + 180
    assert "\n".join(lines_of(bench)) == SCREWS


def test_an_answered_caution_stays_in_one_line() -> None:
    bench = MemoryBench()
    bench.follow(bench.card())
    text = " ".join(lines_of(bench))
    assert text.startswith("WARNING: The blade can cut fingers off and throw the work back. Push")
    assert MANUAL_FIRST not in text


def test_a_late_joint_offers_to_keep_it_by_name() -> None:
    bench = MemoryBench()
    bench.finish_until("u1/glue/close")
    bench.at_s += 360
    lines = lines_of(bench)
    assert any(line.startswith("glue, unit 1: TOO LATE") for line in lines)
    assert "accept open_time REASON" in " ".join(lines)


def test_a_yes_or_no_check_is_read_as_a_sentence_without_its_key() -> None:
    asked = CardCheck("flush", "edges are flush", "", None, "", "", True, False)
    assert check_words(asked) == "Check: edges are flush."
    assert check_words(replace(asked, text="Is it flush?")) == "Check: Is it flush?"


def test_of_many_timers_the_urgent_ones_are_read_and_the_rest_counted() -> None:
    least = [
        CardTimer(f"paint, unit {n}", "recoat", BEGIN_S, BEGIN_S + 600 + n, False, f"u{n}/p/c")
        for n in range(24)
    ]
    most = CardTimer("glue, unit 9", "open", BEGIN_S, BEGIN_S + 9000, True, "u9/glue/close")
    card = replace(MemoryBench().card(), mode=CardMode.STEP, timers=(*least, most))
    lines = card_lines(card, BEGIN_S, "UTC")
    named = [line for line in lines if line.startswith(("paint", "glue"))]
    assert len(named) == MOST_TIMERS
    assert named[0].startswith("glue, unit 9: closes in")
    assert f"and {25 - MOST_TIMERS} more timers" in lines
    one_more = replace(card, timers=card.timers[: MOST_TIMERS + 1])
    assert "and 1 more timer" in card_lines(one_more, BEGIN_S, "UTC")


@given(st.integers(0, 60), st.integers(24, 120))
def test_lines_are_short_plain_and_hold_every_number_and_caution(moves: int, width: int) -> None:
    bench = MemoryBench(furnished_plan())
    for _ in range(moves):
        if bench.card().mode is CardMode.COMPLETE:
            break
        bench.follow(bench.card())
    lines, card = lines_of(bench, width), bench.card()
    assert all(0 < len(line) <= width for line in lines)
    text = " ".join(lines)
    assert not any("─" <= letter <= "▟" for letter in text), "drawing characters (U+2500–U+259F)"
    for words in (card.headline, *(n.text for n in card.numbers), *(f for f in card.fasteners)):
        assert words in text
    for caution in card.cautions:
        assert f"{caution.signal}: {caution.harm}" in text
        assert caution.hand in text
