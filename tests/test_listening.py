"""When the microphone is open: by the key, after the card has spoken, and at no other time."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from shopstep.voice import listening as m
from shopstep.voice.listening import Listening, Way


def test_push_to_talk_opens_for_a_while_and_a_second_tap_shuts() -> None:
    state = m.push(Listening(Way.PUSH), 10.0)
    assert state.is_open(10.0 + m.PUSHED_S - 0.1)
    assert not state.is_open(10.0 + m.PUSHED_S)
    assert not m.push(state, 12.0).is_open(12.0)


def test_who_began_in_time_is_heard_out_but_not_for_ever() -> None:
    state = m.push(Listening(Way.PUSH), 0.0)
    late = m.PUSHED_S + m.MORE_S
    assert state.is_open(late - 0.1, in_speech=True)
    assert not state.is_open(late, in_speech=True)


def test_a_held_pedal_listens_until_it_is_let_go() -> None:
    state = m.press(Listening(Way.PUSH))
    assert state.is_open(1e6)
    assert not m.release(state, 100.0).is_open(101.0)


def test_armed_listens_after_the_card_has_spoken_and_never_while_it_speaks() -> None:
    speaking = m.begin_speaking(Listening(Way.ARMED))
    assert not speaking.is_open(5.0)
    after = m.end_speaking(speaking, 6.0)
    assert after.is_open(6.0 + m.ARMED_S - 0.1)
    assert not after.is_open(6.0 + m.ARMED_S)
    assert not m.heard(after).is_open(6.1)


def test_push_to_talk_does_not_listen_by_itself_and_off_never_does() -> None:
    assert not m.end_speaking(Listening(Way.PUSH), 6.0).is_open(6.1)
    off = Listening(Way.OFF)
    assert not any(s.is_open(0.1) for s in (m.push(off, 0), m.press(off), m.end_speaking(off, 0)))


def test_open_listening_has_no_end_but_the_key_and_never_hears_the_program() -> None:
    state = Listening(Way.OPEN)
    assert state.is_open(1e6)
    assert m.heard(state).is_open(1e6)
    assert not m.begin_speaking(state).is_open(1.0)
    assert m.end_speaking(m.begin_speaking(state), 2.0).is_open(1e6)
    stopped = m.push(state, 3.0)
    assert not stopped.is_open(3.0)
    assert not m.end_speaking(m.begin_speaking(stopped), 4.0).is_open(5.0)
    assert m.push(stopped, 6.0).is_open(1e6)
    assert (state.words(0), stopped.words(0)) == (
        "always listening; tap to stop", "stopped; tap to listen",
    )  # fmt: skip


def test_ways_are_read_and_a_wrong_word_gets_a_sentence() -> None:
    assert m.read_way("armed") is Way.ARMED
    assert m.read_way(" Open") is Way.OPEN
    assert "push, armed, open and off" in str(m.read_way("always"))


def test_the_screen_is_told_which_way_it_is() -> None:
    assert Listening(Way.OFF).words(0) == "voice off"
    assert Listening(Way.PUSH).words(0) == "tap to talk"
    assert m.push(Listening(Way.PUSH), 0).words(2.0) == "listening, 4 s"
    assert m.press(Listening(Way.PUSH)).words(0) == "listening while held"
    assert m.begin_speaking(Listening(Way.ARMED)).words(0).startswith("speaks")


@given(st.lists(st.sampled_from(["push", "begin", "end", "heard", "press", "release"])))
def test_it_is_never_open_longer_than_the_longest_time_without_a_new_cause(
    moves: list[str],
) -> None:
    state, now = Listening(Way.ARMED), 0.0
    for move in moves:
        now += 1.0
        match move:
            case "push":
                state = m.push(state, now)
            case "begin":
                state = m.begin_speaking(state)
            case "end":
                state = m.end_speaking(state, now)
            case "heard":
                state = m.heard(state)
            case "press":
                state = m.press(state)
            case _:
                state = m.release(state, now)
    if not state.held:
        assert not state.is_open(now + m.ARMED_S + m.MORE_S + 0.1, in_speech=True)
