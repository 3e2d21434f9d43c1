"""What the command line says to wrong input, and with which exit code; nothing is written."""

from __future__ import annotations

import io
import json
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from shopstep.__main__ import main
from shopstep.cli.main import run
from tests.floor import FILE, floor_text

BUILD = str(FILE)


WRONG = [
    (["plan", "screened-flor"], 2, "did you mean 'screened-floor'?"),
    (["plan", "nowhere/x.yaml"], 2, "is not there"),
    (["plan", BUILD, "--set", "box_width=15 3/8/2"], 2, "is no length"),
    (["plan", BUILD, "--set", "box_width=16 1/2"], 2, "has no unit"),
    (["plan", BUILD, "--set", "box_width"], 2, "NAME=VALUE"),
    (["plan", BUILD, "--set", "box_widht=16 in"], 2, "did you mean 'box_width'?"),
    (["plan", BUILD, "--set", "box_width=40 in"], 1, "works from 12 in to 24 in"),
    (["plan", BUILD, "--set", "entrance_side=top"], 2, "'short' or 'long'"),
    (["plan", BUILD, "--units", "0"], 2, "1 to 200"),
    (["plan", BUILD, "hive-body", "--units", "2,0"], 2, "1 unit or more"),
    (["plan", BUILD, "hive-body", "--units", "0,2"], 2, "1 unit or more"),
    (["plan", BUILD, "--units", "1000000000"], 2, "1 to 200"),
    (["plan", BUILD, "--json", "--what-if"], 2, "--json gives the plan"),
    (["plan", BUILD, "--json", "--chart"], 2, "--json gives the plan"),
    (["plan", BUILD, "--json", "--why", "u1/paint/second"], 2, "--json gives the plan"),
    (["plan", BUILD, "--temperature", "warm"], 2, "no temperature"),
    (["plan", BUILD, "--humidity", "140"], 2, "no relative humidity"),
    (["plan", BUILD, "--now", "yesterday"], 2, "is no moment"),
    (["plan", BUILD, "--shop", "garage"], 2, "no shop 'garage'"),
    (["plna", BUILD], 2, "did you mean 'plan'?"),
    (["plan"], 2, "shopstep: BUILDS is missing\nAll its words: shopstep plan --help\n"),
    (["plan", BUILD, "--units"], 2, "shopstep: --units: its value is missing"),
    (["tonight"], 2, "shopstep: --until is missing"),
    (["plan", BUILD, "--unit", "2"], 2, "there is no option '--unit'; did you mean '--units'?"),
    (["plan", BUILD, "--units", "x"], 2, "shopstep: --units: 'x' is no number of units; write"),
    (["plan", BUILD, "--price", "board"], 2, "no STOCK=PRICE; write for example board=4.80"),
    (["plan", BUILD, "--limit", "x"], 2, 'FIT=LEAST..MOST; write for example mouse_gate="1/4'),
    (["plan", BUILD, "--label", "x"], 2, 'for example wood_glue.open="8 min"'),
    (["do", "LAST", "done-until", "x", "--closed", "x"], 2, '"right glue, unit 1=19:42"'),
    (["do", "LAST", "done-until", "x", "--ended", "x"], 2, '"first coat, unit 1=20:30"'),
    (["do", "LAST", "done-until", "x", "--read", "x"], 2, '"diagonals_differ, unit 1=1/32 in"'),
    (["rack", "lst"], 2, "there is no command 'lst'; did you mean 'list'?"),
    (["rack", "zzz"], 2, "there is no command 'zzz'; known: add, "),
    (["voice", "wrods"], 2, "did you mean 'words'?"),
    (["plan", BUILD, "hive-body", "--units", "1,2,3"], 2, "shopstep: --units: 3 numbers for 2"),
    (["builds", "x"], 2, "shopstep: Got unexpected extra argument"),
    (["plan", BUILD, "--chart-svg", "no/a.svg"], 4, "no/a.svg: there is no folder no; make it"),
    (["plan", BUILD, "--chart-svg", "."], 4, "it is a folder; name a file in it"),
    (["rack", "import", "no.csv"], 4, "no.csv: it is not there"),
    (["resume"], 4, "no session to resume"),
    (["resume", "nothing.session"], 4, "nothing.session"),
    (["do", "nothing.session", "done"], 4, "nothing.session"),
    (["log", "nothing"], 4, "nothing"),
]


@pytest.mark.parametrize(("arguments", "code", "hint"), WRONG)
def test_wrong_input_gets_a_sentence_and_an_exit_code(
    arguments: list[str], code: int, hint: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = sorted(tmp_path.rglob("*"))
    assert run(arguments) == code
    said = capsys.readouterr()
    assert hint in said.err
    assert said.err.startswith("shopstep: "), "every problem has one shape"
    assert len(said.err.splitlines()) <= 2
    assert not [p for p in sorted(tmp_path.rglob("*")) if p.is_file() and p not in before]


def test_a_group_without_a_command_shows_its_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rack"]) == 2
    assert capsys.readouterr().err.startswith("Usage: shopstep rack ")


def test_ctrl_c_before_the_commands_are_loaded_leaves_no_traceback(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class _Loading:
        def __getattr__(self, name: str) -> object:
            raise KeyboardInterrupt

    monkeypatch.setitem(sys.modules, "shopstep.cli.main", _Loading())
    assert main() == 130


@pytest.mark.parametrize("arguments", [["builds"], ["--help"], ["schema"]])
def test_a_reader_who_has_seen_enough_is_no_failure(arguments: list[str]) -> None:
    """As with ``shopstep builds | head -1``: the pipe is closed before all is said."""
    command = [sys.executable, "-m", "shopstep", *arguments]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.close()
        assert running.stderr.read() == b""
        assert running.wait() == 0


def test_a_file_in_this_folder_is_offered_before_a_like_name_on_the_shelf(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["new", "herb-box"]) == 0
    assert run(["check", "herb-box"]) == 2
    assert "did you mean 'herb-box.yaml'?" in capsys.readouterr().err


def test_a_broken_build_file_names_file_and_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "b.yaml"
    text = floor_text().replace("    title: panel\n", "    titel: panel\n", 1)
    file.write_text(text, encoding="utf-8")
    assert run(["check", str(file)]) == 2
    line = text[: text.index("titel: panel")].count("\n") + 1
    assert f"{file}, line {line}: " in capsys.readouterr().err


@pytest.mark.parametrize(
    ("data", "hint"),
    [(b"\xff\xfe\x00bad", "UTF-8"), (b"x" * 1_500_000, "is the most"), (b"", "empty")],
)
def test_what_is_no_text_is_no_build(
    data: bytes, hint: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "b.yaml"
    file.write_bytes(data)
    assert run(["check", str(file)]) == 2
    assert hint in capsys.readouterr().err


def test_a_folder_is_no_build(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(tmp_path)]) == 2
    assert "is a folder" in capsys.readouterr().err


def start(file: Path, build: str = BUILD) -> int:
    """A session of one floor; the exit code."""
    return run(["start", build, "--session", str(file), "--plain"])


def test_a_session_is_never_made_over_another(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "one.session"
    assert start(file) == 0
    data = file.read_bytes()
    assert start(file) == 3
    assert file.read_bytes() == data
    assert "holds a session already" in capsys.readouterr().err


def test_a_foreign_file_is_no_session(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text, foreign = tmp_path / "text.session", tmp_path / "foreign.session"
    text.write_text("hello")
    with sqlite3.connect(foreign) as connection:
        connection.execute("CREATE TABLE t (x)")
    connection.close()
    for file in (text, foreign):
        data = file.read_bytes()
        assert run(["resume", str(file), "--plain"]) == 4
        assert file.read_bytes() == data
        assert str(file.name) in capsys.readouterr().err


def test_a_changed_build_is_noticed_and_can_be_put_aside(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    build, file = tmp_path / "b.yaml", tmp_path / "one.session"
    build.write_text(floor_text(), encoding="utf-8")
    assert start(file, str(build)) == 0
    build.write_text(floor_text().replace("landing: 2 in", "landing: 3 in"), encoding="utf-8")
    data = file.read_bytes()
    assert run(["do", str(file), "status"]) == 3
    assert file.read_bytes() == data
    assert "has changed since" in capsys.readouterr().err
    assert run(["do", str(file), "status", "--keep-plan"]) == 0
    assert run(["do", str(file), "status"]) == 0
    build.unlink()
    assert run(["do", str(file), "status"]) == 0


def test_a_session_shows_what_a_changed_build_changes_and_moves_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    build, file = tmp_path / "b.yaml", tmp_path / "one.session"
    build.write_text(floor_text(), encoding="utf-8")
    assert start(file, str(build)) == 0
    assert run(["resume", str(file), "--show-change"]) == 1
    assert "is as it was when this session was planned" in capsys.readouterr().err
    build.write_text(floor_text().replace("landing: 2 in", "landing: 3 in"), encoding="utf-8")
    data = file.read_bytes()
    assert run(["resume", str(file), "--show-change"]) == 0
    # by hand: 3 + 19 7/8
    assert "22 7/8 in" in capsys.readouterr().out
    assert file.read_bytes() == data
    assert run(["resume", str(file), "--show-change", "--move-plan"]) == 2
    capsys.readouterr()
    monkeypatch.setattr("sys.stdin", io.StringIO("quit\n"))
    assert run(["resume", str(file), "--plain", "--move-plan"]) == 0
    assert run(["do", str(file), "status"]) == 0
    assert run(["log", str(file)]) == 0
    assert "moved over to the changed build file" in capsys.readouterr().out
    build.write_text(floor_text().replace("landing: 2 in", "landing: 90 in"), encoding="utf-8")
    assert run(["resume", str(file), "--plain", "--move-plan"]) == 3
    assert "The plan in it stands." in capsys.readouterr().err


def test_the_rest_of_an_evening_is_planned(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "one.session"
    now = ["--now", "2026-01-15T18:30:00+00:00"]
    assert run(["start", BUILD, "--session", str(file), "--plain", *now]) == 0
    capsys.readouterr()
    data = file.read_bytes()
    assert run(["tonight", str(file), "--until", "20:00", *now]) == 0
    assert "Until 20:00, 1 h 30 min: " in capsys.readouterr().out
    assert file.read_bytes() == data
    for wrong in ("noon", "25:00", "18:00"):
        assert run(["tonight", str(file), "--until", wrong, *now]) == 2
        assert "--until: " in capsys.readouterr().err


def test_several_builds_are_planned_and_begun_together(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    builds = ["screened-floor", "roof"]
    assert run(["plan", *builds, "--units", "2,1", "--set", "box_width=16 1/2 in"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "2 × Screened hive floor, 1 × " in said
    assert run(["plan", *builds, "--units", "2,1,4"]) == 2
    assert "3 numbers for 2 builds" in capsys.readouterr().err
    assert run(["plan", *builds, "--units", "two"]) == 2
    assert run(["plan", *builds, "--set", "box_widht=16 in"]) == 2
    assert "box_width" in capsys.readouterr().err
    file = tmp_path / "both.session"
    assert run(["start", *builds, "--session", str(file), "--plain"]) == 0
    capsys.readouterr()
    assert run(["do", str(file), "status"]) == 0
    assert run(["log", str(file)]) == 0
    assert "Screened hive floor, 1 unit; " in capsys.readouterr().out


def test_an_unknown_word_for_do_names_the_nearest(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "one.session"
    assert start(file) == 0
    assert run(["do", str(file), "dome"]) == 2
    assert "done" in capsys.readouterr().err


def test_the_shelf_lists_what_a_build_asks_for(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["builds", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    floor = next(b for b in document["builds"] if b["id"] == "screened-floor")
    assert {"box_width", "entrance_side"} <= {ask["name"] for ask in floor["asks"]}


def test_a_build_that_cannot_be_read_does_not_hide_the_others(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = tmp_path / "data" / "shopstep" / "builds"
    own.mkdir(parents=True)
    (own / "broken.yaml").write_text("schema: 1\nid: [", encoding="utf-8")
    assert run(["builds"]) == 0
    said = capsys.readouterr().out
    assert "broken: cannot be read" in said
    assert "screened-floor" in said


def test_settings_name_the_nearest_key(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "config" / "shopstep" / "settings.toml"
    file.parent.mkdir(parents=True)
    file.write_text("[shops.garage]\nclmaps = 6\n", encoding="utf-8")
    assert run(["plan", BUILD, "--shop", "garage"]) == 2
    said = capsys.readouterr().err
    assert "did you mean 'clamps'?" in said
    assert "line 2" in said


def test_a_shop_of_the_settings_is_used(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "config" / "shopstep" / "settings.toml"
    file.parent.mkdir(parents=True)
    file.write_text(
        '[shops.garage]\nzone = "UTC"\nopens = "09:00"\ncloses = "12:00"\n'
        'temperature = "50 F"\nkerf = "3 mm"\n',
        encoding="utf-8",
    )
    assert run(["plan", BUILD, "--shop", "garage", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["schedule"][0]["start"][11:13] in ("09", "10", "11")
    assert document["conditions"]["temperature_c"] == 10.0


def test_the_plain_face_ends_with_its_input_and_keeps_the_session(tmp_path: Path) -> None:
    file = tmp_path / "one.session"
    command = [sys.executable, "-m", "shopstep"]
    begun = subprocess.run(
        [*command, "start", BUILD, "--session", str(file)],
        input="why\nhold\n", capture_output=True, text=True, check=False, cwd=FILE.parent.parent,
    )  # fmt: skip
    assert begun.returncode == 0, begun.stderr
    again = subprocess.run(
        [*command, "resume", str(file)],
        input="resume\n", capture_output=True, text=True, check=False, cwd=FILE.parent.parent,
    )  # fmt: skip
    assert again.returncode == 0, again.stderr
    assert "hold" in again.stdout.lower()


@pytest.mark.parametrize(
    "command", ["builds", "measure", "check", "plan", "start", "resume", "do", "log"]
)
def test_every_command_has_help_with_an_example(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([command, "--help"]) == 0
    assert "Example" in capsys.readouterr().out


def test_the_example_settings_are_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "config" / "shopstep" / "settings.toml"
    file.parent.mkdir(parents=True)
    file.write_bytes((FILE.parent.parent / "assets" / "settings.example.toml").read_bytes())
    assert run(["plan", BUILD, "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["conditions"] == {
        "temperature_c": 12.0,
        "humidity_percent": 70.0,
        "night_c": 10.0,
    }


@pytest.mark.parametrize("moment", ["2300-01-01", "9999-12-31", "0001-01-01T00:00:00+14:00"])
def test_a_moment_of_another_age_is_refused(
    moment: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["plan", BUILD, "--now", moment]) == 2
    assert "1971 to 2199" in capsys.readouterr().err


def test_a_session_that_cannot_be_written_gives_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "one.session"
    assert start(file) == 0
    file.write_bytes(file.read_bytes()[:5000])
    assert run(["do", str(file), "note", "x"]) == 4
    assert "Traceback" not in capsys.readouterr().err


def test_an_unknown_usual_shop_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "config" / "shopstep" / "settings.toml"
    file.parent.mkdir(parents=True)
    file.write_text('usual_shop = "garag"\n[shops.garage]\nclamps = 6\n', encoding="utf-8")
    assert run(["plan", BUILD]) == 2
    assert "did you mean 'garage'?" in capsys.readouterr().err


def test_a_step_that_bears_the_name_of_a_machine_step_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "b.yaml"
    tea = "  rough_cut/board: {title: Tea, text: Sit down., minutes: 1, needs: []}\n"
    file.write_text(floor_text().replace("\nsteps:\n", f"\nsteps:\n{tea}"), encoding="utf-8")
    assert run(["plan", str(file)]) == 2
    assert "bears the name" in capsys.readouterr().err
