"""A file system that notes every write, sync and deletion, and what a power cut may leave of them.

Rules, after https://www.sqlite.org/atomiccommit.html, sections 2 and 3: a write is durable only
once its file was synced; of writes since then any subset may have landed, a write also in part, by
sectors of 512 bytes. A new file is in its folder for sure once it was synced, a deleted one gone
for sure once the folder was (SQLite asks for that with the deletion).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations
from pathlib import Path
from random import Random
from typing import Any

import apsw

SECTOR = 512
ALL_SUBSETS_UP_TO = 5
"""Of so many unsynced writes all subsets are tried, of more a sample."""


@dataclass
class Step:
    """One thing that was asked of the disk."""

    kind: str
    """``write``, ``truncate``, ``sync``, ``delete``, ``open`` or ``mark``."""
    file: str
    at: int = 0
    data: bytes = b""
    sync_folder: bool = False


@dataclass
class Disk:
    """All steps in order."""

    steps: list[Step] = field(default_factory=list)

    def mark(self, version: int) -> None:
        """A command was confirmed: so many events are on disk."""
        self.steps.append(Step("mark", "", version))


class NotingFile(apsw.VFSFile):
    """A file that notes what is done to it."""

    def __init__(self, disk: Disk, vfs: str, name: Any, flags: list[int]) -> None:
        self._disk = disk
        path = name.filename() if isinstance(name, apsw.URIFilename) else str(name)
        self._name = Path(path).name
        disk.steps.append(Step("open", self._name))
        super().__init__(vfs, name, flags)

    def xWrite(self, data: bytes, offset: int) -> None:
        """A write."""
        self._disk.steps.append(Step("write", self._name, offset, bytes(data)))
        super().xWrite(data, offset)

    def xTruncate(self, newsize: int) -> None:
        """The file's new length."""
        self._disk.steps.append(Step("truncate", self._name, newsize))
        super().xTruncate(newsize)

    def xSync(self, flags: int) -> None:
        """All so far is on disk."""
        self._disk.steps.append(Step("sync", self._name))
        super().xSync(flags)


class NotingVFS(apsw.VFS):
    """The usual file system, with every change noted."""

    def __init__(self, name: str, disk: Disk) -> None:
        self._disk = disk
        super().__init__(name, "")

    def xOpen(self, name: Any, flags: list[int]) -> apsw.VFSFile:
        """A noting file."""
        return NotingFile(self._disk, "", name, flags)

    def xDelete(self, filename: str, syncdir: bool) -> None:
        """A deletion, with or without a sync of the folder."""
        self._disk.steps.append(Step("delete", Path(filename).name, sync_folder=bool(syncdir)))
        super().xDelete(filename, syncdir)


@dataclass
class _File:
    durable: bytes | None
    """What is on disk for sure; None where no such file is."""
    pending: list[Step] = field(default_factory=list)
    may_be_gone: bool = False
    """Deleted, and the folder not synced since."""


def after_power_cut(
    before: dict[str, bytes], steps: list[Step], dice: Random
) -> Iterator[dict[str, bytes]]:
    """What the files may hold when the power goes after these steps."""
    files = {name: _File(data) for name, data in before.items()}
    for step in steps:
        _follow(files, step)
    name_choices = [(name, list(_contents(file, dice))) for name, file in files.items()]
    yield from _combine(name_choices, dice)


def _follow(files: dict[str, _File], step: Step) -> None:
    if step.kind == "mark":
        return
    file = files.setdefault(step.file, _File(None))
    if step.kind in ("write", "truncate"):
        file.pending.append(step)
        file.may_be_gone = False
    elif step.kind == "sync":
        data = file.durable or b""
        for one in file.pending:
            data = _apply(data, one)
        files[step.file] = _File(data)
    elif step.kind == "delete":
        if step.sync_folder:
            files[step.file] = _File(None)
        else:
            file.may_be_gone = True


def _apply(data: bytes, step: Step) -> bytes:
    if step.kind == "truncate":
        return data[: step.at].ljust(step.at, b"\0")
    end = step.at + len(step.data)
    data = data.ljust(step.at, b"\0")
    return data[: step.at] + step.data + data[end:]


def _contents(file: _File, dice: Random) -> Iterator[bytes | None]:
    """Every content that a file may have, or a sample where there are too many."""
    if file.may_be_gone or (file.durable is None and file.pending) or file.durable is None:
        yield None
    if file.durable is None and not file.pending:
        return
    for chosen in _subsets(file.pending, dice):
        data = file.durable or b""
        for step in chosen:
            data = _apply(data, step)
        yield data


def _subsets(pending: list[Step], dice: Random) -> Iterator[list[Step]]:
    if len(pending) <= ALL_SUBSETS_UP_TO:
        for count in range(len(pending) + 1):
            yield from (list(chosen) for chosen in combinations(pending, count))
    else:
        yield []
        yield list(pending)
        for _ in range(12):
            yield [step for step in pending if dice.random() < 0.5]
    writes = [step for step in pending if len(step.data) > SECTOR]
    for torn in writes[:3]:
        part = dice.randrange(SECTOR, len(torn.data), SECTOR)
        piece = Step("write", torn.file, torn.at, torn.data[:part])
        yield [piece if step is torn else step for step in pending]


def _combine(
    choices: list[tuple[str, list[bytes | None]]], dice: Random
) -> Iterator[dict[str, bytes]]:
    """Each content of each file with a few of the others'."""
    if not choices:
        yield {}
        return
    (name, contents), rest = choices[0], choices[1:]
    others = list(_combine(rest, dice))
    for content in contents:
        for other in others if len(others) <= 3 else dice.sample(others, 3):
            yield other | ({name: content} if content is not None else {})
