"""What this machine can do for us, tried out: folders, locks, players of sound.

Each ``try_…`` gives an empty text where all is well, else a sentence that says what is not.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from shopstep.storage.sound import PLAYERS
from shopstep.words import say

LEAST_FREE = 50_000_000
"""Bytes that a long winter of sessions, their copies and pictures needs with room to spare."""


def try_folder(folder: Path) -> str:
    """Whether a file can be written, kept and taken away where the folder is or would be made."""
    place = _nearest(folder)
    try:
        with tempfile.NamedTemporaryFile(dir=place, prefix=".shopstep-") as file:
            file.write(b"x" * 4096)
            file.flush()
            os.fsync(file.fileno())
    except OSError as problem:
        return say(
            "nothing can be written in {place}: {strerror}", place=place, strerror=problem.strerror
        )
    free = shutil.disk_usage(place).free
    if free < LEAST_FREE:
        return say("only {free} MB are free in {place}", free=free // 1_000_000, place=place)
    return ""


def try_locks(folder: Path) -> str:
    """Whether two programs keep out of each other's way there; on some network drives they do not.

    One connection holds a file for writing, a second one has to be refused.
    """
    place = _nearest(folder)
    try:
        with tempfile.TemporaryDirectory(dir=place, prefix=".shopstep-") as scratch:
            return _try_two_writers(Path(scratch) / "locks.db")
    except (OSError, sqlite3.Error) as problem:
        return say("no database can be kept in {place}: {problem}", place=place, problem=problem)


def _try_two_writers(file: Path) -> str:
    first = sqlite3.connect(file, isolation_level=None)
    second = sqlite3.connect(file, isolation_level=None, timeout=0.0)
    try:
        first.execute("CREATE TABLE t (x)")
        first.execute("BEGIN IMMEDIATE")
        try:
            second.execute("BEGIN IMMEDIATE")
        except sqlite3.OperationalError:
            return ""
        return say(
            "two programs can write the same file at once in {parent}", parent=file.parent.parent
        )
    finally:
        second.close()
        first.close()


def find_player(
    find: Callable[[str], str | None] = shutil.which, platform: str = sys.platform
) -> str:
    """The program that will play our sounds; empty where there is none."""
    if platform == "win32":
        return say("Windows itself")
    return next((player[0] for player in PLAYERS if find(player[0])), "")


def _nearest(folder: Path) -> Path:
    """The folder, or the nearest one above it that is there."""
    while not folder.is_dir() and folder != folder.parent:
        folder = folder.parent
    return folder
