"""A build in one file for another keeper: a ZIP archive with texts and a list of them.

In it: ``package.json`` (version 1: build, texts with length and SHA-256, measured values), the
build file, its parents, and ``measure.txt``. Whatever else a file holds is refused; nothing in it
can name a folder, run, or grow beyond what its list says. Source of the format: APPNOTE.TXT of the
ZIP file format, and RFC 8259 for the list. Imports ``model`` and the texts of this room.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from shopstep.model.plan import BuildFileError, BuildText, Where
from shopstep.storage.text_file import LARGEST_BYTES, decode_text
from shopstep.words import figure, say

LIST, SHEET = "package.json", "measure.txt"
VERSION = 1
MOST_FILES = 12
LARGEST_PACKAGE = 2_000_000
MOST_MEASURED = 200
_LONGEST_LIST = 100_000
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,79}\.ya?ml")
_MEASURED = re.compile(r"[a-z][a-z0-9_]{0,59}")
_LONGEST_VALUE, _LONGEST_NOTE = 60, 500
_DAY = (1980, 1, 1, 0, 0, 0)
"""The same moment in every package, so that the same build gives the same bytes."""
_WAYS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_READ_BADLY = (
    zipfile.BadZipFile, zlib.error, RuntimeError, NotImplementedError, EOFError, OSError,
    ValueError, OverflowError,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Package:
    """What one keeper gives another."""

    build: str
    """File name of the build."""
    texts: tuple[BuildText, ...]
    """The build and its parents, nearest first; names without folders."""
    measured: tuple[tuple[str, str], ...] = ()
    """The sender's measurements: name → value as written in a build file."""
    note: str = ""
    """What the sender wanted to say; nobody's name unless they wrote it."""
    sheet: str = ""
    """What to measure, to be read by people."""


def write_package(path: Path, package: Package) -> None:
    """Writes where nothing is. FileExistsError, OSError; BuildFileError for a name with a folder.

    The same package gives the same bytes.
    """
    for text in package.texts:
        _check_name(text.name, path)
    data = pack_bytes(package)
    with path.open("xb") as file:
        file.write(data)


def pack_bytes(package: Package) -> bytes:
    """The archive."""
    bodies = {text.name: text.text.encode() for text in package.texts}
    listed = {
        "what": say("a build for shopstep"),
        "version": VERSION,
        "build": package.build,
        "texts": {
            name: {"bytes": len(body), "sha256": hashlib.sha256(body).hexdigest()}
            for name, body in bodies.items()
        },
        "measured": dict(package.measured),
        "note": package.note,
    }
    head = json.dumps(listed, indent=1, ensure_ascii=False).encode() + b"\n"
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        for name, body in {LIST: head, **bodies, SHEET: package.sheet.encode()}.items():
            entry = zipfile.ZipInfo(name, _DAY)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system, entry.external_attr = 3, 0o100644 << 16
            archive.writestr(entry, body)
    return held.getvalue()


def read_package(path: Path) -> Package:
    """A package from a file that anybody may have written.

    BuildFileError with a sentence for everything that is not exactly as it should be; nothing is
    written anywhere, and no more is unpacked than a package may hold.
    """
    try:
        if not path.is_file():
            _refuse(path, say("is no ordinary file") if path.exists() else say("is not there"))
        if path.stat().st_size > LARGEST_PACKAGE:
            _refuse(
                path,
                say(
                    "is larger than a package may be ({largest_package} bytes)",
                    largest_package=figure(LARGEST_PACKAGE, ","),
                ),
            )
        data = path.read_bytes()
    except OSError as problem:
        _refuse(path, say("cannot be read: {strerror}", strerror=problem.strerror))
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _read(archive, path)
    except _READ_BADLY as problem:
        _refuse(
            path, say("is no whole package ({problem})", problem=problem or type(problem).__name__)
        )


def _read(archive: zipfile.ZipFile, path: Path) -> Package:
    entries = archive.infolist()
    if len(entries) > MOST_FILES:
        _refuse(
            path,
            say(
                "holds {entries} files; a package holds {most_files} at most",
                entries=len(entries),
                most_files=MOST_FILES,
            ),
        )
    names = [entry.filename for entry in entries]
    if len({name.casefold() for name in names}) < len(names):
        _refuse(path, say("holds two files of one name"))
    for entry in entries:
        _check_entry(entry, path)
    held = {entry.filename: entry for entry in entries}
    if LIST not in held:
        _refuse(path, say("holds no '{list}'; it was not made by 'shopstep pack'", list=LIST))
    listed = _Listed(_body(archive, held[LIST], path, _LONGEST_LIST), path)
    extra = set(held) - {LIST, SHEET, *listed.texts}
    if extra:
        _refuse(path, say("holds '{extra}', which its list does not name", extra=min(extra)))
    sheet = _body(archive, held[SHEET], path, LARGEST_BYTES) if SHEET in held else b""
    texts = [
        _text(name, _body(archive, held[name], path, LARGEST_BYTES), facts, path)
        if name in held
        else _refuse(path, say("lacks '{name}', which its list names", name=name))
        for name, facts in listed.texts.items()
    ]
    first = [text for text in texts if text.name == listed.build]
    others = [text for text in texts if text.name != listed.build]
    where = Where(str(path), 0, SHEET)
    return Package(
        listed.build,
        (*first, *others),
        listed.measured,
        listed.note,
        decode_text(sheet, SHEET, where),
    )


def _check_entry(entry: zipfile.ZipInfo, path: Path) -> None:
    name = entry.filename
    if name not in (LIST, SHEET):
        _check_name(name, path)
    kind = entry.external_attr >> 16 & 0o170000
    if kind not in (0, 0o100000):
        _refuse(path, say("holds '{shown}', which is no ordinary file", shown=_shown(name)))
    if entry.flag_bits & 1:
        _refuse(path, say("holds '{shown}' under a password", shown=_shown(name)))
    if entry.compress_type not in _WAYS:
        _refuse(
            path, say("holds '{shown}', packed in a way that is not used here", shown=_shown(name))
        )


def _check_name(name: str, path: Path) -> None:
    if not _NAME.fullmatch(name):
        _refuse(
            path,
            say(
                "holds '{shown}'; a file in a package is a build file by its name alone, "
                "such as my-floor.yaml",
                shown=_shown(name),
            ),
        )


def _body(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, path: Path, most: int) -> bytes:
    """Never more than ``most`` bytes, whatever the archive says of itself."""
    with archive.open(entry) as file:
        body = file.read(most + 1)
        if len(body) > most:
            _refuse(
                path,
                say(
                    "holds '{filename}' of more than {most} bytes",
                    filename=entry.filename,
                    most=figure(most, ","),
                ),
            )
        if file.read(1):
            _refuse(
                path,
                say("holds '{filename}' of another length than it says", filename=entry.filename),
            )
    return body


def _text(name: str, body: bytes, facts: tuple[int, str], path: Path) -> BuildText:
    if (len(body), hashlib.sha256(body).hexdigest()) != facts:
        _refuse(path, say("holds '{name}' changed: it is not what the list says", name=name))
    if b"\0" in body:
        _refuse(path, say("holds '{name}', which is no text", name=name))
    return BuildText(
        name,
        decode_text(body, say("'{name}' in the package", name=name), Where(str(path), 0, name)),
    )


class _Listed:
    """The list, checked field by field."""

    def __init__(self, body: bytes, path: Path) -> None:
        self._path = path
        try:
            listed = json.loads(body)
        except (ValueError, RecursionError):
            _refuse(path, say("has a '{list}' that is no JSON", list=LIST))
        fields = self._object(listed, say("the whole list"))
        version = fields.get("version")
        if version != VERSION or isinstance(version, bool):
            what = (
                say("a newer version of this program")
                if _is_newer(version)
                else say("something else")
            )
            _refuse(
                path,
                say(
                    "was made by {what}: version {shown}, known is {version}",
                    what=what,
                    shown=_shown(version),
                    version=VERSION,
                ),
            )
        self.texts = self._texts(fields.get("texts"))
        self.build = self._word(fields.get("build"), "build", 90)
        if self.build not in self.texts:
            _refuse(
                path,
                say(
                    "says that its build is '{shown}', and does not hold it",
                    shown=_shown(self.build),
                ),
            )
        self.measured = self._measured(fields.get("measured", {}))
        self.note = self._word(fields.get("note", ""), "note", _LONGEST_NOTE)

    def _object(self, value: object, what: str) -> Mapping[str, object]:
        if not isinstance(value, dict):
            _refuse(self._path, say("has no names and values where {what} should be", what=what))
        return value

    def _word(self, value: object, what: str, most: int) -> str:
        if not isinstance(value, str) or len(value) > most or not _is_plain(value):
            _refuse(
                self._path,
                say(
                    "has a '{what}' that is no text of at most {most} characters",
                    what=what,
                    most=most,
                ),
            )
        return value

    def _texts(self, value: object) -> dict[str, tuple[int, str]]:
        found: dict[str, tuple[int, str]] = {}
        for name, facts in self._object(value, "'texts'").items():
            _check_name(name, self._path)
            told = self._object(facts, say("what is said of '{name}'", name=name))
            size, digest = told.get("bytes"), told.get("sha256")
            if not isinstance(size, int) or isinstance(size, bool) or not isinstance(digest, str):
                _refuse(self._path, say("does not say length and SHA-256 of '{name}'", name=name))
            found[name] = size, digest
        return found

    def _measured(self, value: object) -> tuple[tuple[str, str], ...]:
        told = self._object(value, "'measured'")
        if len(told) > MOST_MEASURED:
            _refuse(
                self._path,
                say(
                    "has {told} measurements; {most_measured} is the most",
                    told=len(told),
                    most_measured=MOST_MEASURED,
                ),
            )
        for name in told:
            if not _MEASURED.fullmatch(name):
                _refuse(
                    self._path,
                    say("has a measurement '{shown}', which is no name", shown=_shown(name)),
                )
        return tuple(
            (name, self._word(text, say("measured: {name}", name=name), _LONGEST_VALUE))
            for name, text in told.items()
        )


def _is_newer(version: object) -> bool:
    return isinstance(version, int) and version > VERSION


def _is_plain(text: str) -> bool:
    return all(letter.isprintable() or letter == "\n" for letter in text)


def _shown(value: object) -> str:
    """What a stranger wrote, short and without letters that a terminal obeys."""
    text = str(value)[:60]
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def _refuse(path: Path, what: str) -> NoReturn:
    raise BuildFileError(
        say("it {what}. Nothing was taken from it.", what=what),
        Where(str(path), 0, ""),
    ) from None
