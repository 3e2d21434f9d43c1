"""A tablet that listens: what the ear is ordered, what the page is told, and what is done."""

from __future__ import annotations

import select
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from shopstep.session import commands as c
from shopstep.session.commands import Refusal
from shopstep.tablet import ear as socket_side
from shopstep.tablet.hearing import NOTHING_ASKED
from shopstep.units import Length
from shopstep.voice.hear_cautions import open_cautions
from shopstep.voice.hear_news import CHANGED, Judged, Level, Order, Trouble
from shopstep.voice.vocabulary import ACK
from shopstep.words import PLAIN, speak
from tests.ear_talk import READY, STARTS, grammar_of, judged, kinds, opened, tapped, tells
from tests.fake_bench import CAUTION, GLUE, MEASURE, STEP, FakeBench
from tests.fake_ears import PHRASES
from tests.pseudo_language import PSEUDO, accent
from tests.raw_web import next_text
from tests.tablet_ear import EarLink, FedEars, FedMaker, close_all
from tests.tablet_served import Served, wait_until

NEXT = replace(STEP, version=8, step_id="u1/fit/dry", headline="Dry fit")
CALM = Level(-60.0, False, False)

Start = Callable[..., tuple[Served, FedEars]]


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Start]:
    """Begin servers that listen; each with a bench of its own."""
    begun: list[Served] = []

    def begin(bench: FakeBench) -> tuple[Served, FedEars]:
        ears = FedEars(READY)
        begun.append(Served(tmp_path / str(len(begun)), bench, ears=FedMaker(ears, FedEars(READY))))
        return begun[-1], ears

    yield begin
    close_all()
    for served in begun:
        served.stop()


# What the ear is ordered


def test_the_noise_before_comes_first_then_the_grammar_of_the_card(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    link = EarLink.open(served.paired_web(), 7)
    words = link.next("open")
    assert (words["pushed_s"], words["armed_s"]) == (6, 8)
    ears.waiting.append(READY)
    assert "mark it done" in link.next("open")["sayings"]
    link.send(b"\x01\x00" * 800)
    link.send(b"\x02\x00" * 800)
    wait_until(lambda: len(ears.came) == 4, "it was fed")
    fresh, before, order, then = ears.came
    assert fresh == Order(None, is_fresh=True)
    assert (before, then) == (b"\x01\x00" * 800, b"\x02\x00" * 800)
    assert isinstance(order, Order)
    assert order.grammar is not None
    assert {"done", "back", "hold"} <= set(order.grammar.actions)
    assert "yes" not in order.grammar.actions
    link.close()
    wait_until(lambda: ears.orders[-1] == Order(None), "what was begun is not looked at")
    assert served.bench.commands == []


def test_the_end_is_judged_and_nobody_is_told(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    link = opened(served, ears)
    link.send(b"")
    wait_until(lambda: Order(None, is_cut=True) in ears.orders, "the end is judged")
    ears.waiting += [CALM]
    link.next("level")
    assert select.select([link.link], [], [], 0.3)[0] == [], "the last piece is not judged yet"
    assert isinstance(ears.came[-1], bytes), "its level says that all was judged"
    ears.waiting += [CALM]
    assert link.next("nobody")
    link.rest()
    assert link.code == 1000
    assert served.bench.commands == []


def test_level_is_told_where_it_changes(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    link = opened(served, ears)
    loud = Level(-12.0, False, True)
    ears.waiting += [CALM, CALM, loud, loud, CALM]
    found = [link.next("level")["too_loud"] for _ in range(3)]
    assert found == [False, True, False]
    link.close()


# What is done


def test_a_phrase_does_what_a_tap_does_and_ends_the_opening(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    served.bench.react = lambda _: NEXT
    link = opened(served, ears)
    told = tells(link, ears, judged(ears, "done"))
    assert (told["taken"], told["words"]) == (True, "mark it done")
    assert told["undo"] == "go back one step"
    link.rest()
    assert link.code == 1000
    assert kinds(served.bench) == ["FinishStep"]
    command = served.bench.commands[0]
    assert (command.step, command.seen) == (STEP.step_id, STEP.version)


def test_a_refusal_is_told_and_it_goes_on_listening(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    link = opened(served, ears)
    about = _about(ears)
    told = tells(link, ears, Judged(about, "mark it done", None, "Not sure enough: so so."))
    assert told == {
        "kind": "heard", "taken": False, "text": "Not sure enough: so so.", "words": "mark it done",
    }  # fmt: skip
    link.send(b"")
    wait_until(lambda: Order(None, is_cut=True) in ears.orders, "the end is judged")
    ears.waiting += [judged(ears, "hold"), CALM, CALM]
    assert link.next("heard")["taken"]
    link.rest()
    assert kinds(served.bench) == ["HoldBatch"]


def test_a_reason_is_not_followed_by_nobody_was_heard(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    link = opened(served, ears)
    tells(link, ears, Judged(_about(ears), "", None, "That was no phrase of this card."))
    link.send(b"")
    wait_until(lambda: Order(None, is_cut=True) in ears.orders, "the end is judged")
    ears.waiting += [CALM, CALM]
    assert "nobody" not in [told["kind"] for told in link.rest()]
    assert link.code == 1000


def _about(ears: FedEars) -> int:
    grammar = grammar_of(ears)
    assert grammar is not None
    return grammar.about


def test_what_was_said_about_another_card_does_nothing(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    link = opened(served, ears)
    served.bench.shown = NEXT
    told = tells(link, ears, judged(ears, "done"))
    assert (told["taken"], told["text"]) == (False, CHANGED)
    link.rest()
    assert served.bench.commands == []
    late = EarLink.open(served.paired_web(), 7)
    assert late.rest() == [{"kind": "trouble", "text": socket_side.CHANGED}]


def test_what_was_begun_in_an_opening_before_does_nothing(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    first = opened(served, ears)
    old = judged(ears, "done")
    first.close()
    wait_until(lambda: ears.orders[-1] == Order(None), "it was shut")
    second = opened(served, ears)
    ears.waiting += [old]
    assert tells(second, ears, judged(ears, "hold"))["words"] == PHRASES["hold"]
    assert kinds(served.bench) == ["HoldBatch"]


@pytest.mark.parametrize("action", ["yes", "no"])
def test_a_number_is_read_back_and_answered_by_voice(start: Start, action: str) -> None:
    served, ears = start(FakeBench(MEASURE))
    web = served.paired_web()
    link = opened(served, ears, web)
    told = tells(link, ears, judged(ears, "measure", "the reading is …", Length.inches("1/32")))
    assert told["question"]["text"] == "1/32 in for difference of the diagonals?"
    assert told["question"]["answers"] == [PHRASES["yes"], PHRASES["no"]]
    assert served.bench.commands == []
    link.rest()
    link = opened(served, ears, web)
    grammar = grammar_of(ears)
    assert grammar is not None
    assert grammar.actions == ("yes", "no", "again")
    tells(link, ears, judged(ears, action))
    assert kinds(served.bench) == (["TakeMeasure"] if action == "yes" else [])


@pytest.mark.parametrize(("act", "done"), [("heard yes", ["StartSpreading"]), ("heard no", [])])
def test_a_question_is_answered_by_a_tap_once_and_by_its_own_tablet_alone(
    start: Start, act: str, done: list[str]
) -> None:
    served, ears = start(FakeBench(STARTS))
    web, other = served.paired_web(), served.paired_web()
    assert tapped(web, act, STARTS.version)["text"] == NOTHING_ASKED
    link = opened(served, ears, web)
    assert tells(link, ears, judged(ears, "start"))["question"]
    link.rest()
    for wrong, seen in ((other, STARTS.version), (web, STARTS.version + 1)):
        assert tapped(wrong, act, seen) == {
            "kind": "answer", "id": "b" * 32, "ok": False, "text": NOTHING_ASKED,
        }  # fmt: skip
    assert tapped(web, act, STARTS.version)["ok"] is True
    assert tapped(web, act, STARTS.version)["text"] == NOTHING_ASKED
    assert kinds(served.bench) == done


def test_a_tablet_is_answered_in_the_language_of_the_keeper(start: Start) -> None:
    served, _ = start(FakeBench(STARTS))
    web = served.paired_web()
    speak(PSEUDO)
    try:
        assert tapped(web, "heard yes", STARTS.version)["text"] == accent(NOTHING_ASKED)
    finally:
        speak(PLAIN)


def test_a_caution_needs_its_whole_sentence(start: Start) -> None:
    served, ears = start(FakeBench(CAUTION))
    link = opened(served, ears)
    (sentence,) = open_cautions(CAUTION).values()
    grammar = grammar_of(ears)
    assert grammar is not None
    assert grammar.cautions == (sentence,)
    assert "done" not in grammar.actions
    assert tells(link, ears, judged(ears, ACK, "understood"))["refused"]
    assert served.bench.commands == []
    link.rest()
    link = opened(served, ears)
    tells(link, ears, judged(ears, ACK, sentence))
    assert [type(command) for command in served.bench.commands] == [c.AcknowledgeCaution]


def test_what_voice_did_is_undone_by_voice(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    served.bench.react = lambda command: (
        NEXT if isinstance(command, c.FinishStep) else replace(STEP, version=9)
    )
    web = served.paired_web()
    for action in ("done", "back"):
        link = opened(served, ears, web)
        tells(link, ears, judged(ears, action))
        link.rest()
    assert kinds(served.bench) == ["FinishStep", "GoBack"]
    assert served.bench.commands[1].step == STEP.step_id


def test_a_refusal_of_the_session_is_shown_with_its_way_on(start: Start) -> None:
    served, ears = start(FakeBench(STARTS))
    served.bench.react = lambda _: Refusal("What open time does the label give?", "label")
    web = served.paired_web()
    link = opened(served, ears, web)
    tells(link, ears, judged(ears, "start"))
    link.rest()
    link = opened(served, ears, web)
    told = tells(link, ears, judged(ears, "yes"))
    assert told["refused"]
    assert "label" in told["text"]
    assert told["page"]["rows"]


@pytest.mark.parametrize(
    ("action", "row"),
    [("number", "fence 12 3/8 in"), ("left", "clamps, unit 2"), ("more", "1. Take: ")],
)
def test_what_only_looks_opens_a_page(start: Start, action: str, row: str) -> None:
    card = replace(STEP, timers=(GLUE.timers[1],))
    served, ears = start(FakeBench(card))
    link = opened(served, ears)
    told = tells(link, ears, judged(ears, action))
    assert told["look"] == action
    assert told["page"]["rows"][0][1].startswith(row)
    assert served.bench.commands == []


# One at a time, and an ear that ends


def test_one_tablet_listens_and_the_other_is_told(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    first = opened(served, ears)
    second = EarLink.open(served.paired_web(), 7)
    assert second.rest() == [{"kind": "trouble", "text": socket_side.BUSY}]
    assert second.code == socket_side.FULL
    first.close()
    wait_until(lambda: ears.orders[-1] == Order(None), "it was shut")
    again = opened(served, ears)
    assert tells(again, ears, judged(ears, "done"))["taken"]
    assert kinds(served.bench) == ["FinishStep"]


def test_what_a_device_said_that_is_let_go_meanwhile_does_nothing(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    link = opened(served, ears)
    served.let_all_go()
    ears.waiting.append(judged(ears, "done"))
    link.rest()
    assert not any(told.get("taken") for told in link.told)
    assert served.bench.commands == []


def test_an_ear_that_ends_says_so_and_the_next_opening_has_a_new_one(start: Start) -> None:
    served, ears = start(FakeBench(STEP))
    link = opened(served, ears)
    ears.waiting.append(Trouble("Hearing cannot be started."))
    assert link.next("trouble")["text"] == "Hearing cannot be started."
    link.rest()
    wait_until(lambda: ears.is_stopped, "it is let go")
    link = EarLink.open(served.paired_web(), 7)
    link.next("open")
    link.close()


@pytest.mark.parametrize("why", ["Hearing needs the extra 'voice'."])
def test_without_the_extra_the_page_is_told_why_and_all_else_works(
    tmp_path: Path, why: str
) -> None:
    maker = FedMaker(why=why)
    served = Served(tmp_path, FakeBench(STEP), ears=maker)
    try:
        link, _ = served.paired_web().open("/card")
        assert next_text(link, "hello")["deaf"] == why
        assert next_text(link, "card")
        link.close()
        assert EarLink.open(served.paired_web(), 7).rest()[0]["text"] == why
        assert maker.opened == []
    finally:
        close_all()
        served.stop()


def test_the_ear_is_let_go_when_nobody_listens_for_a_while(
    start: Start, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(socket_side, "IDLE_S", 0.3)
    served, ears = start(FakeBench(STEP))
    opened(served, ears).close()
    wait_until(lambda: ears.is_stopped, "it is let go")
    link = EarLink.open(served.paired_web(), 7)
    assert link.next("open")


def test_an_ear_that_does_not_answer_is_given_up(
    start: Start, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(socket_side, "JUDGE_S", 0.3)
    served, ears = start(FakeBench(STEP))
    link = opened(served, ears)
    link.send(b"")
    assert link.next("trouble")["text"] == socket_side.LATE
    link.rest()
    wait_until(lambda: ears.is_stopped, "it is let go")
    assert served.bench.commands == []


def test_an_opening_has_an_end_however_little_is_sent(
    start: Start, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(socket_side, "MOST_S", 0.5)
    served, ears = start(FakeBench(STEP))
    link = opened(served, ears)
    for _ in range(8):
        time.sleep(0.1)
        link.send(b"\x00\x00")
    link.rest()
    assert link.code == 1008


def test_a_disk_that_is_full_is_told_and_the_server_lives_on(start: Start) -> None:
    served, ears = start(FakeBench(STEP))

    def full(_: object) -> Refusal:
        raise OSError("No space left on device")

    served.bench.react = full
    link = opened(served, ears)
    ears.waiting.append(judged(ears, "done"))
    assert "not saved" in link.next("trouble")["text"]
    link.rest()
    served.bench.react = lambda _: NEXT
    assert tells(opened(served, ears), ears, judged(ears, "done"))["taken"]
