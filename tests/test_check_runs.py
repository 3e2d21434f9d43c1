"""Checks in short runs with a clear end: numbered, announced, closed, and warned of when long.

Held against the practice of published research: short checklists with a completion call (Degani
and Wiener, NASA Contractor Report 177549, 1990) of 5 to 9 items (WHO, *Implementation manual:
surgical safety checklist*, 2009); both from memory, the completion call read as quoted.
"""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from shopstep.design.check_runs import MOST_CHECKS
from shopstep.design.resolve import resolve_design
from shopstep.model.plan import BuildText, Finding, Level
from shopstep.model.step import Check
from shopstep.present.card import StepCard
from shopstep.present.card_document import card_document
from shopstep.present.lines import card_lines
from shopstep.session.commands import FinishStep
from shopstep.session.evolve import OPEN_TIME
from shopstep.tui.frame import View, arrange_frame
from shopstep.units import Length
from tests.fake_bench import GLUE_TIMER, NOW_S, SIZES, FakeBench
from tests.floor import floor_text
from tests.present_sample import MemoryBench
from tests.sample_plan import BEGIN_S, make_plan
from tests.shelf_builds import BUILDS, shelf_design
from tests.tui_pilot import sight_of

TEXTS = ("Are the edges flush?", "the diagonals differ by", "No glue on the outside")
RUN = (
    Check("flush", TEXTS[0], None, Length(0)),
    Check("diagonals_differ", TEXTS[1], Length(0), Length.inches("1/16")),
    Check("clean", TEXTS[2], None, Length(0)),
)


def card_with(checks: tuple[Check, ...], step: str = "u1/fit/dry", late_s: int = 0) -> StepCard:
    """The card of a step of the sample plan that has these checks."""
    plan = make_plan()
    name = step.partition("/")[2]
    kinds = tuple(replace(k, checks=checks) if k.id == name else k for k in plan.kinds)
    bench = MemoryBench(replace(plan, kinds=kinds))
    bench.finish_until(step)
    bench.at_s += late_s
    return bench.card()


def test_several_checks_are_numbered_announced_and_closed() -> None:
    card = card_with(RUN)
    assert [check.place for check in card.checks] == ["1 of 3", "2 of 3", "3 of 3"]
    assert card.check_run is not None
    assert card.check_run.opening == "3 checks, then Done"
    assert card.check_run.closing == "That is all 3."


@pytest.mark.parametrize("checks", [(), RUN[:1]])
def test_one_check_is_no_run(checks: tuple[Check, ...]) -> None:
    card = card_with(checks)
    assert card.check_run is None
    assert [check.place for check in card.checks] == [""] * len(checks)
    said = " ".join(card_lines(card, BEGIN_S, "UTC"))
    assert "checks, then Done" not in said
    assert "That is all" not in said


def test_the_plain_face_reads_the_run_from_its_opening_to_its_end() -> None:
    lines = card_lines(card_with(RUN), BEGIN_S, "UTC")
    at = lines.index("3 checks, then Done.")
    assert lines[at : at + 5] == [
        "3 checks, then Done.",
        "Check 1 of 3: Are the edges flush?",
        "Check 2 of 3, diagonals_differ: the diagonals differ by, 0 in ± 1/16 in. Not",
        "measured yet.",
        "Check 3 of 3: No glue on the outside.",
    ]
    assert lines[at + 5] == "That is all 3."


def test_the_run_is_spoken_in_words_from_its_opening_to_its_end() -> None:
    run = card_with(RUN).check_run
    assert run is not None
    assert run.spoken == (
        "Three checks, then done.",
        "One of three: Are the edges flush?",
        f"Two of three: {TEXTS[1]}, zero inches plus or minus one sixteenth of an inch.",
        "Three of three: No glue on the outside.",
        "That is all three.",
    )


def test_the_run_stands_in_the_document_of_a_card() -> None:
    document = json.loads(json.dumps(card_document(card_with(RUN), BEGIN_S, "t")))
    assert document["card"]["check_run"]["closing"] == "That is all 3."
    assert document["card"]["checks"][1]["place"] == "2 of 3"


def test_a_joint_that_is_late_shifts_no_number_of_the_run() -> None:
    card = card_with(RUN, "u1/glue/close", late_s=400)
    assert [(check.name, check.place) for check in card.checks] == [
        (OPEN_TIME, ""),
        ("flush", "1 of 3"),
        ("diagonals_differ", "2 of 3"),
        ("clean", "3 of 3"),
    ]


@pytest.mark.parametrize("timers", [(), (GLUE_TIMER,)], ids=["calm", "glue open"])
@pytest.mark.parametrize("size", SIZES)
def test_on_every_size_the_run_is_read_in_order_and_nothing_is_ticked(
    size: tuple[int, int], timers: tuple[()]
) -> None:
    card = replace(card_with(RUN), timers=timers)
    view = View(card, "", (), NOW_S, "UTC", *size)
    pages = range(arrange_frame(view).pages)
    frames = [arrange_frame(replace(view, page=page)) for page in pages]
    seen = " ".join(" ".join(row.text for row in frame.body) for frame in frames)
    words = " ".join(seen.split())
    wanted = ("3 checks, then Done", *(f"[ ] {n} of 3: {TEXTS[n - 1]}" for n in (1, 2, 3)))
    places = [words.index(each) for each in (*wanted, "That is all 3.")]
    assert places == sorted(places)
    assert "[x]" not in words
    assert "done" in {action.id for action in frames[-1].offers.actions}


async def test_done_confirms_the_whole_run_once() -> None:
    bench = FakeBench(card_with((RUN[0], RUN[2])))
    async with sight_of(bench) as sight:
        assert "2 checks, then Done" in sight.words()
        await sight.press("1")
    (command,) = bench.commands
    assert isinstance(command, FinishStep)


# --- long runs ----------------------------------------------------------------------------------

STEP = "fit/mark"


def with_checks(count: int) -> str:
    """The shipped floor with so many checks on one step."""
    rows = "".join(f"      look_{n}: {{text: Is place {n} right?}}\n" for n in range(count))
    lines = floor_text().splitlines(keepends=True)
    at = next(i for i, line in enumerate(lines) if line.startswith(f"  {STEP}:"))
    end = next(i for i in range(at + 1, len(lines)) if not lines[i].startswith("    "))
    old = [i for i in range(at, end) if lines[i].startswith("    checks:")]
    for i in old:
        last = next(j for j in range(i + 1, end + 1) if not lines[j].startswith("      "))
        del lines[i:last]
    return "".join([*lines[: at + 1], f"    checks:\n{rows}", *lines[at + 1 :]])


def long_runs(text: str) -> list[Finding]:
    """What is said about long runs of checks."""
    findings = resolve_design(BuildText("b.yaml", text), (), ()).findings
    return [finding for finding in findings if finding.rule == "long_check_run"]


def test_a_long_run_is_warned_of_with_its_line_and_what_would_be_right() -> None:
    text = with_checks(MOST_CHECKS + 1)
    (finding,) = long_runs(text)
    assert finding.level is Level.WARN
    assert f"'{STEP}' has 8 checks" in finding.text
    assert "split the step" in finding.remedy
    assert (finding.where.file, finding.where.name) == ("b.yaml", STEP)
    assert text.splitlines()[finding.where.line - 1].strip() == "checks:"
    assert f"  {STEP}:" in text.splitlines()[finding.where.line - 2]


def test_a_run_of_seven_is_short_enough() -> None:
    assert 5 <= MOST_CHECKS <= 9  # the WHO's range of items at one pause, from memory
    assert long_runs(with_checks(MOST_CHECKS)) == []


@pytest.mark.parametrize("build", BUILDS)
def test_no_shipped_build_has_a_long_run(build: str) -> None:
    assert all(finding.rule != "long_check_run" for finding in shelf_design(build).findings)
