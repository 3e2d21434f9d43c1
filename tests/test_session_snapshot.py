"""The kept state is a shortcut that never says anything else; old files are brought up to date."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from shopstep.session.evolve import fold
from shopstep.session.state import Note, Reading, State
from shopstep.storage.clock import FixedClock
from shopstep.storage.session_file import SessionFile
from shopstep.storage.session_schema import APPLICATION_ID, SCHEMA
from shopstep.storage.state_text import read_state, write_state
from shopstep.workbench import KEPT_EVERY, Workbench
from tests.sample_plan import BEGIN_S, make_plan
from tests.session_bench import Play, first_events, make_request, moment_at

OLD = Path(__file__).parent / "old_sessions"
FULL = State(
    version=9,
    title="t ✓",
    begun={"a": 1},
    finished={"b": 2, "a": 3},
    acknowledged=frozenset({"x", "y"}),
    readings={("a", "n"): Reading(-3, False, 7)},
    accepted={("a", "n"): "why"},
    notes=(Note("a", "words", 5, "to_get"),),
    aside={"c": ""},
    temperature_c=8.5,
    held_since=4,
)


def make_file(path: Path) -> SessionFile:
    """A new session file of the sample plan."""
    plan = make_plan()
    first = first_events(plan)
    return SessionFile.create(path, make_request(), plan, first, moment_at(BEGIN_S), "bench")


def long_session(path: Path) -> State:
    """A session that is long enough to have its state kept; the state by folding."""
    play = Play()
    with make_file(path) as file:
        bench = Workbench(file, FixedClock(BEGIN_S), "do")
        play.finish_until("u1/glue/square")
        later = [envelope.event for envelope in play.envelopes[len(file.events_after(0)) :]]
        file.append(bench.state.version, tuple(later), moment_at(BEGIN_S), "do", "many")
        while bench.card().version < KEPT_EVERY + 10:
            events = tuple(later[:1]) * 50
            file.append(
                bench.state.version, events, moment_at(BEGIN_S), "do", f"c{bench.state.version}"
            )
        assert file.snapshot() is not None
        return fold(file.events_after(0))


def test_a_state_survives_as_text_in_the_order_of_its_keys() -> None:
    again = read_state(write_state(FULL))
    assert again == FULL
    assert list(again.finished) == ["b", "a"]


@pytest.mark.parametrize("text", ["", "[]", "{}x", '{"version": 1, "nonsense": 2}', '{"begun": 3}'])
def test_what_is_no_state_is_told(text: str) -> None:
    with pytest.raises(ValueError, match="kept state"):
        read_state(text)


def test_a_session_opened_from_its_kept_state_is_the_folded_one(tmp_path: Path) -> None:
    path = tmp_path / "a.session"
    folded = long_session(path)
    with SessionFile.open(path) as file:
        kept = file.snapshot()
        assert kept is not None
        assert 0 < kept.version <= folded.version
        assert Workbench(file, FixedClock(BEGIN_S), "do").state == folded


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE snapshot SET body = replace(body, 'rail', 'mail')",
        "UPDATE snapshot SET body = ''",
        "UPDATE snapshot SET fingerprint = 'another program'",
        "UPDATE snapshot SET version = version + 1000",
        "UPDATE snapshot SET digest = 7",
        "UPDATE snapshot SET body = x'00ff'",
        "DELETE FROM snapshot",
        "DROP TABLE snapshot",
    ],
)
def test_a_kept_state_that_is_not_to_be_trusted_is_passed_over(tmp_path: Path, damage: str) -> None:
    path = tmp_path / "a.session"
    folded = long_session(path)
    connection = sqlite3.connect(path)
    connection.execute(damage)
    connection.commit()
    connection.close()
    with SessionFile.open(path) as file:
        assert Workbench(file, FixedClock(BEGIN_S), "do").state == folded


def restore(name: str, path: Path) -> None:
    """A session file as an earlier form of the program left it."""
    connection = sqlite3.connect(path)
    connection.executescript((OLD / name).read_text(encoding="utf-8"))
    connection.execute(f"PRAGMA application_id={APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version={name.removesuffix('.sql').rpartition('-')[2]}")
    connection.commit()
    connection.close()


@pytest.mark.parametrize("name", sorted(path.name for path in OLD.glob("*.sql")))
def test_a_session_of_an_earlier_form_opens_and_goes_on(name: str, tmp_path: Path) -> None:
    path = tmp_path / "old.session"
    restore(name, path)
    with SessionFile.open(path) as file:
        bench = Workbench(file, FixedClock(BEGIN_S + 3600), "do")
        assert bench.card().headline == "On hold"
        assert bench.state.version == 27
        assert [note.text for note in bench.state.notes] == ["kept as it is"]
    connection = sqlite3.connect(path)
    assert connection.execute("PRAGMA user_version").fetchone() == (SCHEMA,)
    connection.close()


def test_there_is_an_old_file_for_every_form_before_this_one() -> None:
    assert {f"form-{form}.sql" for form in range(1, SCHEMA)} <= {p.name for p in OLD.iterdir()}


def test_a_file_that_cannot_be_written_stays_in_its_form_and_can_be_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "old.session"
    restore("form-1.sql", path)

    def refuse(_connection: sqlite3.Connection) -> None:
        raise sqlite3.OperationalError("attempt to write a readonly database")

    monkeypatch.setattr("shopstep.storage.session_file.upgrade", refuse)
    with SessionFile.open(path) as file:
        assert file.snapshot() is None
        assert Workbench(file, FixedClock(BEGIN_S), "log").state.version == 27
