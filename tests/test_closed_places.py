"""Folders that cannot be written or cannot lock: one sentence, exit code 4, nothing half-written.

The read-only folders are real, for root and for anybody else: closed by their mode under a child
that has no powers of root, or mounted read-only. The locks fail in a file system of our own.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.storage.session_file import SessionFile
from tests.crash.no_locks import EXCLUSIVE, RESERVED, SHARED, no_locks

ROOT = Path(__file__).parent.parent
NOW = ("--now", "2026-01-15T18:00:00+00:00")
ON_OWN_DISK = "copy it to this machine's own disk and go on with the copy."
MOUNT_READ_ONLY = 'mount --bind "$0" "$0" && mount -o remount,bind,ro "$0" && exec "$@"'


@pytest.fixture
def folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Iterator[Path]:
    """A folder with one session, open to writing again at the end."""
    place = tmp_path / "card"
    place.mkdir()
    assert run(["start", "bird-box", "--plain", "--session", str(place / "box.session"), *NOW]) == 0
    capsys.readouterr()
    yield place
    place.chmod(0o755)


@dataclass(frozen=True, slots=True)
class Said:
    """What a command line gave."""

    code: int
    out: str
    err: str


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder with its bytes; a folder inside it counts as empty."""
    return {str(p): p.read_bytes() if p.is_file() else b"" for p in sorted(folder.rglob("*"))}


def mounting(folder: Path) -> list[str]:
    """What runs a command while the folder is mounted read-only; [] where nobody may mount."""
    for rights in (["--mount"], ["--user", "--map-root-user", "--mount"]):
        way = ["unshare", *rights, "sh", "-c", MOUNT_READ_ONLY, str(folder)]
        try:
            if subprocess.run([*way, "true"], capture_output=True, check=False).returncode == 0:
                return way
        except FileNotFoundError:  # no such tool on this system
            return []
    return []


def run_closed(folder: Path, way: str, *words: str, typed: str = "") -> Said:
    """A command line while the folder is closed to writing; by its mode where it must not mount."""
    before = mounting(folder) if way == "mounted read-only" else []
    folder.chmod(0o755 if before else 0o555)
    child = subprocess.run(
        [*before, sys.executable, "-m", "tests.crash.run_powerless", *words],
        cwd=ROOT,
        input=typed,
        capture_output=True,
        text=True,
        check=False,
    )
    folder.chmod(0o755)
    return Said(child.returncode, child.stdout, child.stderr)


def assert_one_sentence(said: Said, *words: str) -> None:
    """Exit code 4 and one line that says all of these words."""
    assert said.code == 4, said
    (line,) = said.err.splitlines()
    assert line.startswith("shopstep: ")
    for each in words:
        assert each in line


WAYS = pytest.mark.parametrize("way", ["closed by its mode", "mounted read-only"])


@WAYS
def test_a_command_in_a_closed_folder_is_refused_in_one_sentence(folder: Path, way: str) -> None:
    session = folder / "box.session"
    before = contents(folder)
    for words in (("do", str(session), "ack", *NOW), ("resume", str(session), "--plain", *NOW)):
        said = run_closed(folder, way, *words)
        assert_one_sentence(
            said, f"{session} could not be written", "closed to writing", ON_OWN_DISK
        )
        assert contents(folder) == before


@WAYS
def test_a_session_in_a_closed_folder_can_still_be_read(folder: Path, way: str) -> None:
    session = str(folder / "box.session")
    for words in (("log", session), ("do", session, "status", *NOW), ("check-session", session)):
        said = run_closed(folder, way, *words)
        assert (said.code, said.err) == (0, "")
        assert said.out


@WAYS
def test_no_session_is_begun_or_salvaged_in_a_closed_folder(folder: Path, way: str) -> None:
    before = contents(folder)
    new, whole = folder / "new.session", folder / "box-salvaged.session"
    for words, made in (
        (("start", "bird-box", "--plain", "--session", str(new), *NOW), new),
        (("salvage", str(folder / "box.session")), whole),
    ):
        said = run_closed(folder, way, *words)
        assert_one_sentence(
            said, f"{made} could not be made", "closed to writing", "this machine's own disk"
        )
        assert contents(folder) == before


def test_what_a_closed_folder_holds_goes_on_as_a_copy(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = tmp_path / "copy.session"
    shutil.copyfile(folder / "box.session", copy)
    assert run(["do", str(copy), "ack", *NOW]) == 0
    assert "You can say: done" in " ".join(capsys.readouterr().out.split())


def test_a_file_that_is_closed_alone_is_told_as_well(folder: Path) -> None:
    session = folder / "box.session"
    session.chmod(0o444)
    before = session.read_bytes()
    child = subprocess.run(
        [sys.executable, "-m", "tests.crash.run_powerless", "do", str(session), "ack", *NOW],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert_one_sentence(
        Said(child.returncode, child.stdout, child.stderr), "closed to writing", ON_OWN_DISK
    )
    assert session.read_bytes() == before


@WAYS
def test_a_power_cut_that_a_closed_folder_cannot_put_right_is_told(folder: Path, way: str) -> None:
    session = folder / "box.session"
    subprocess.run([sys.executable, "-c", CUT_SHORT, str(session)], check=False)
    journal = folder / "box.session-journal"
    assert journal.stat().st_size > 0
    said = run_closed(folder, way, "do", str(session), "status", *NOW)
    assert_one_sentence(said, "closed to writing", f"copy it and {journal.name} beside it to this")
    assert journal.stat().st_size > 0
    with SessionFile.open(session) as file:
        assert [one.version for one in file.events_after(0)] == [1, 2]


CUT_SHORT = """
import os, sqlite3, sys
connection = sqlite3.connect(sys.argv[1], isolation_level=None)
connection.execute("PRAGMA cache_size = 1")
connection.execute("BEGIN IMMEDIATE")
connection.execute("UPDATE plan SET document = document || hex(zeroblob(1000000))")
os._exit(9)
"""
"""A transaction whose pages have begun to reach the file when the power goes."""


# --- locks ------------------------------------------------------------------------------------

CODES = {
    "no locks at all": sqlite3.SQLITE_NOLFS,
    "lock failed": sqlite3.SQLITE_IOERR_LOCK,
    "read lock failed": sqlite3.SQLITE_IOERR_RDLOCK,
    "locks broken": sqlite3.SQLITE_PROTOCOL,
    "always busy": sqlite3.SQLITE_BUSY,
}
LEVELS = {"to read": SHARED, "to write": RESERVED, "to commit": EXCLUSIVE}


@pytest.mark.parametrize("level", LEVELS.values(), ids=LEVELS)
@pytest.mark.parametrize("code", CODES.values(), ids=CODES)
def test_a_folder_that_cannot_lock_is_told_in_one_sentence(
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    code: int,
    level: int,
) -> None:
    session, new = folder / "box.session", folder / "new.session"
    before = contents(folder)
    monkeypatch.setattr("shopstep.storage.session_database._BUSY_S", 0.0)
    with no_locks(code, level) as connect:
        monkeypatch.setattr(sqlite3, "connect", connect)
        for words, remedy in (
            (("do", str(session), "ack", *NOW), ON_OWN_DISK),
            (("start", "bird-box", "--plain", "--session", str(new), *NOW), "own disk"),
        ):
            said = Said(run([*words]), *capsys.readouterr())
            assert_one_sentence(said, str(folder), "cannot lock files", remedy)
            assert contents(folder) == before
        if level != EXCLUSIVE:  # the last lock is asked for only where there is something to store
            said = Said(run(["resume", str(session), "--plain", *NOW]), *capsys.readouterr())
            assert_one_sentence(said, str(session), "cannot lock files", ON_OWN_DISK)
            assert contents(folder) == before
    monkeypatch.undo()
    with SessionFile.open(session) as file:
        assert len(file.events_after(0)) == 2


def test_locks_that_hold_store_the_command_on_the_same_stand_in(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The trial is worth something: with its locks given, the other binding stores the tick."""
    with no_locks(sqlite3.SQLITE_BUSY, EXCLUSIVE + 1) as connect:
        monkeypatch.setattr(sqlite3, "connect", connect)
        assert run(["do", str(folder / "box.session"), "ack", *NOW]) == 0
    assert "done" in capsys.readouterr().out
    assert os.listdir(folder) == ["box.session"]
