"""board, demo and shopstep alone on the command line: text, JSON, and what they leave behind."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.session.statuses import Status
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.demo import LANDS_ON, make_demo
from shopstep.wiring.doors import StartDesk
from tests.floor import FILE
from tests.test_house import HEAVY, loaded_by

NOW = "2026-01-15T18:00:00+00:00"
LATER = "2026-01-17T19:30:00+00:00"


@pytest.fixture
def session(capsys: pytest.CaptureFixture[str]) -> None:
    """A batch of two floors that was just begun."""
    assert run(["start", str(FILE), "--units", "2", "--plain", "--now", NOW]) == 0
    capsys.readouterr()
    return


# --- board --------------------------------------------------------------------------------------


@pytest.mark.usefixtures("session")
@pytest.mark.parametrize("name", [[], ["LAST"]])
def test_the_board_is_told_in_lines(name: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["board", *name, "--now", NOW]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Screened hive floor, 2 units: running, 0 of ")
    for text in ("► rough cut", "resting on guessed times", "evenings left", "Today", "Ready"):
        assert text in said
    assert max(len(line) for line in said.splitlines()) <= 78


@pytest.mark.usefixtures("session")
def test_the_board_follows_the_time_that_has_passed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["board", "--now", LATER]) == 0
    said = capsys.readouterr().out
    assert "later than planned" in said
    assert "19:30" in said  # today begins now, not when it was planned


@pytest.mark.usefixtures("session")
def test_the_board_changes_nothing_in_the_session(capsys: pytest.CaptureFixture[str]) -> None:
    run(["log", "--json"])
    before = capsys.readouterr().out
    run(["board", "--now", LATER])
    capsys.readouterr()
    run(["log", "--json"])
    assert capsys.readouterr().out == before


@pytest.mark.usefixtures("session")
def test_the_board_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["board", "LAST", "--json", "--now", NOW]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["version"] == 1
    assert told["now"] == "2026-01-15T18:00:00Z"
    assert told["batch"][0] == {
        "stage": "rough cut", "status": Status.AT_BENCH.value, "until": None, "done": 0, "total": 1,
    }  # fmt: skip
    assert told["today"]["steps"][0]["start"].startswith("2026-01-15")


@pytest.mark.usefixtures("session")
def test_the_board_is_a_word_of_the_line_by_line_face_and_of_do(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run(["do", "LAST", "board", "--now", NOW]) == 0
    told = capsys.readouterr().out
    assert "Signs: ► at the bench" in told
    monkeypatch.setattr("sys.stdin", io.StringIO("board\nquit\n"))
    assert run(["resume", "--plain", "--now", NOW]) == 0
    assert told in capsys.readouterr().out


def test_a_board_of_no_session_is_refused_with_the_way_on(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["board"]) == 4
    assert "begin one: shopstep start" in capsys.readouterr().err


def test_the_facts_of_the_board_load_nothing_heavy() -> None:
    code = "import shopstep.present.board_text; import shopstep.cli.board_command"
    assert not loaded_by(code).intersection(HEAVY)


# --- shopstep alone -----------------------------------------------------------------------------


def test_alone_in_a_pipe_it_says_what_is_possible(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([]) == 0
    said = capsys.readouterr().out
    assert "shopstep start screened-floor" in said
    assert "shopstep demo" in said
    assert "Usage" not in said
    assert "resume" not in said


@pytest.mark.usefixtures("session")
def test_alone_in_a_pipe_it_first_says_where_the_last_batch_stands(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run([]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert said.startswith("Screened hive floor, 2 units: 0 of ")
    assert "Last entry: Thu 15 Jan 2026, 18:00." in said
    assert "to go on: shopstep resume" in said


def test_every_command_that_is_named_there_exists(capsys: pytest.CaptureFixture[str]) -> None:
    run([])
    for words in re.findall(r"shopstep ([a-z]+)", capsys.readouterr().out):
        assert run([words, "--help"]) == 0


def test_alone_without_a_screen_it_loads_nothing_heavy() -> None:
    code = "from shopstep.cli.main import run; run([])"
    assert not loaded_by(code).intersection(HEAVY)


@pytest.mark.parametrize("is_open", [True, False])
def test_what_was_opened_on_the_start_screen_goes_to_the_bench(
    is_open: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run(["start", str(FILE), "--units", "2", "--plain", "--now", NOW])
    opened: list[bool] = []

    def run_start(door: StartDesk, *, theme: str) -> int:
        assert theme == "dark"
        if is_open:
            assert door.open(door.sessions()[0].name) is None
        return 0

    def run_bench(_: object, *, is_resumed: bool = False, **look: object) -> int:
        assert look["theme"] == "dark"
        opened.append(is_resumed)
        return 0

    monkeypatch.setattr("shopstep.tui.run_start", run_start)
    monkeypatch.setattr("shopstep.tui.run_bench", run_bench)
    monkeypatch.setattr("shopstep.cli.start_screen.is_terminal", lambda: True)
    assert run([]) == 0
    assert opened == ([True] if is_open else [])
    assert ("All is kept" in capsys.readouterr().err) is is_open


# --- coming back without a screen ---------------------------------------------------------------


@pytest.mark.usefixtures("session")
@pytest.mark.parametrize(("now", "asked"), [(NOW, False), (LATER, True)])
def test_resume_in_lines_asks_for_the_air_on_another_day(
    now: str, asked: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["resume", "--plain", "--now", now]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert ("How warm and how damp is the shop? Last time: " in said) is asked


# --- demo ---------------------------------------------------------------------------------------


def test_the_demo_is_thrown_away_and_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    assert run(["demo", "--plain"]) == 0
    said = capsys.readouterr()
    assert "unit 3 of 3" in said.out
    place = re.search(r"The demo was in (\S+); it is thrown away", said.err)
    assert place is not None
    assert not Path(place.group(1)).exists()
    assert not (tmp_path / "data").exists()  # nothing of it among the keeper's own


def test_the_demo_is_kept_where_that_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    assert run(["demo", "--plain", "--keep"]) == 0
    kept = re.search(r"shopstep resume (\S+)", capsys.readouterr().err)
    assert kept is not None
    assert run(["check-session", kept.group(1)]) == 0
    assert "Whole" in capsys.readouterr().out


@pytest.mark.parametrize(
    "now", ["2026-01-15T19:05:00+00:00", "2026-03-01T00:20:00+00:00", "2026-06-30T12:00:00+00:00"]
)
def test_the_demo_looks_alike_at_any_hour(now: str, tmp_path: Path) -> None:
    opened = make_demo(tmp_path, make_clock(now))
    bench = opened.bench
    card = bench.card()
    assert card.step_id == LANDS_ON
    assert card.notice == ""
    running = {(t.kind, t.name) for t in card.timers if t.due_s > bench.now_s()}
    assert ("recoat", "small parts, first coat, unit 1") in running
    assert ("clamp", "frame glue, unit 2") in running
    assert 0 <= bench.now_s() - bench.state.last_s <= 300
    events = bench.changes_since(0)
    moments = [envelope.moment.at_s for envelope in events]
    assert moments == sorted(moments)
    assert 40 < len(bench.state.finished) < len(bench.plan.steps)
    opened.journal.close()
