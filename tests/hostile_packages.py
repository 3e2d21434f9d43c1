"""Packages that somebody made to do harm, or by mistake: each must be refused with a sentence."""

from __future__ import annotations

import hashlib
import io
import json
import struct
import warnings
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

GOOD = (Path(__file__).resolve().parent.parent / "assets" / "new-build.yaml").read_text("utf-8")
"""A build that is one: what is refused is refused for its package."""


def archive(
    entries: list[tuple[str | zipfile.ZipInfo, bytes]], way: int = zipfile.ZIP_DEFLATED
) -> bytes:
    """A ZIP of these entries, whatever they are."""
    held = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(held, "w", way) as file:
        warnings.simplefilter("ignore")  # two entries of one name
        for name, body in entries:
            file.writestr(name, body)
    return held.getvalue()


def listed(held: dict[str, bytes], **changes: Any) -> bytes:
    """A list that fits the texts, but for the changes; None takes a field out."""
    fields: dict[str, Any] = {
        "version": 1,
        "build": next(iter(held), ""),
        "texts": {
            name: {"bytes": len(body), "sha256": hashlib.sha256(body).hexdigest()}
            for name, body in held.items()
        },
        "measured": {},
        "note": "",
    }
    fields |= changes
    return json.dumps({k: v for k, v in fields.items() if v is not None}).encode()


def packed(
    files: dict[str, bytes] | None = None,
    extra: list[tuple[str | zipfile.ZipInfo, bytes]] | None = None,
    **changes: Any,
) -> bytes:
    """A package of these texts with a fitting list, but for the changes."""
    held = {"shelf-box.yaml": GOOD.encode()} if files is None else files
    entries: list[tuple[str | zipfile.ZipInfo, bytes]] = [
        ("package.json", listed(held, **changes)),
        *held.items(),
        *(extra or []),
    ]
    return archive(entries)


def _kind(mode: int) -> bytes:
    entry = zipfile.ZipInfo("shelf-box.yaml")
    entry.create_system, entry.external_attr = 3, mode << 16
    body = b"/etc/passwd"
    return archive([("package.json", listed({"shelf-box.yaml": body})), (entry, body)])


def _named(name: str) -> bytes:
    return packed({name: GOOD.encode()})


def _locked() -> bytes:
    data = bytearray(packed())
    for mark, place in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = data.index(mark, data.index(mark) + 1)
        data[at + place] |= 1
    return bytes(data)


def _lies_of_its_length() -> bytes:
    data = bytearray(packed())
    at = data.index(b"PK\x01\x02", data.index(b"PK\x01\x02") + 1)
    data[at + 24 : at + 28] = struct.pack("<I", 10)
    return bytes(data)


def _changed_text() -> bytes:
    body = GOOD.encode()
    return archive(
        [("package.json", listed({"shelf-box.yaml": body})), ("shelf-box.yaml", body + b"#\n")]
    )


def _nested(depth: int) -> bytes:
    head = b'{"version": 1, "build": "a.yaml", "texts": ' + b"[" * depth + b"]" * depth + b"}"
    return archive([("package.json", head), ("a.yaml", b"x: 1\n")])


ATTACKS: dict[str, Callable[[], bytes]] = {
    "up and out": lambda: _named("../shelf-box.yaml"),
    "up and out, other slash": lambda: _named("..\\shelf-box.yaml"),
    "whole path": lambda: _named("/etc/shelf-box.yaml"),
    "drive letter": lambda: _named("C:shelf-box.yaml"),
    "folder": lambda: _named("builds/shelf-box.yaml"),
    "hidden file": lambda: _named(".shelf-box.yaml"),
    "two dots as name": lambda: _named("..yaml"),
    "stream of a file": lambda: _named("shelf-box.yaml:x.yaml"),
    "letters that a terminal obeys": lambda: _named("\x1b[2Jshelf.yaml"),
    "letters that turn the line round": lambda: _named("shelf\u202elmay.yaml"),
    "line break in a name": lambda: _named("shelf\nbox.yaml"),
    "very long name": lambda: _named("a" * 5000 + ".yaml"),
    "script beside it": lambda: packed(extra=[("run.sh", b"rm -rf /\n")]),
    "program by its list": lambda: _named("shelf-box.py"),
    "settings of the shop": lambda: packed(extra=[("settings.toml", b"x = 1\n")]),
    "empty folder": lambda: packed(extra=[("more/", b"")]),
    "symbolic link": lambda: _kind(0o120777),
    "device": lambda: _kind(0o020666),
    "pipe": lambda: _kind(0o010666),
    "folder by its mode": lambda: _kind(0o040755),
    "small file that grows": lambda: packed({"shelf-box.yaml": b" " * 200_000_000}),
    "list that grows": lambda: archive([("package.json", b" " * 90_000_000)]),
    "sheet that grows": lambda: packed(extra=[("measure.txt", b" " * 90_000_000)]),
    "many files": lambda: packed({f"b{n}.yaml": GOOD.encode() for n in range(5000)}),
    "two of one name": lambda: packed(extra=[("shelf-box.yaml", b"id: other\n")]),
    "two that differ by capitals": lambda: packed(
        {"shelf-box.yaml": GOOD.encode(), "Shelf-Box.yaml": GOOD.encode()}
    ),
    "under a password": _locked,
    "packed in another way": lambda: archive([("package.json", b"{}")], zipfile.ZIP_LZMA),
    "lies of its length": _lies_of_its_length,
    "changed after packing": _changed_text,
    "no list": lambda: archive([("shelf-box.yaml", GOOD.encode())]),
    "list that is no list": lambda: archive([("package.json", b"[1, 2]")]),
    "list that is no JSON": lambda: archive([("package.json", b"{build: x}")]),
    "list of nested lists": lambda: _nested(40_000),
    "newer version": lambda: packed(version=2),
    "version that is no number": lambda: packed(version=True),
    "huge number": lambda: packed(version=10**4000),
    "build that is not there": lambda: packed(build="other.yaml"),
    "build of a wrong kind": lambda: packed(build=["shelf-box.yaml"]),
    "no texts": lambda: packed(texts={}),
    "texts left out": lambda: packed(texts=None),
    "texts of a wrong kind": lambda: packed(texts=["shelf-box.yaml"]),
    "text without its length": lambda: packed(texts={"shelf-box.yaml": {"bytes": True}}),
    "measurement of a wrong kind": lambda: packed(measured={"a": 1}),
    "measurement that is a program": lambda: packed(measured={"__import__('os')": "1 in"}),
    "endless measurement": lambda: packed(measured={"box_width": "1" * 10_000}),
    "ten thousand measurements": lambda: packed(measured={f"m{n}": "1 in" for n in range(10_000)}),
    "note that a terminal obeys": lambda: packed(note="\x1b]0;x\x07"),
    "endless note": lambda: packed(note="x" * 100_000),
    "text that is no text": lambda: packed({"shelf-box.yaml": b"\xff\xfe\x00a"}),
    "text with a zero": lambda: packed({"shelf-box.yaml": GOOD.encode() + b"\0"}),
    "build that grows out of itself": lambda: packed(
        {"shelf-box.yaml": b"a: &a [x]\nb: &b [*a, *a]\nc: [*b, *b]\n"}
    ),
    "build that makes objects": lambda: packed(
        {"shelf-box.yaml": b"a: !!python/object/apply:os.system ['true']\n"}
    ),
    "build that is none": lambda: packed({"shelf-box.yaml": b"hello\n"}),
    "build with a parent elsewhere": lambda: packed(
        {"shelf-box.yaml": b"schema: 1\nid: shelf-box\nparent: ../../secret\n"}
    ),
    "build with a parent that is not there": lambda: packed(
        {"shelf-box.yaml": b"schema: 1\nid: shelf-box\nparent: screened-floor\n"}
    ),
    "build that is its own parent": lambda: packed(
        {"shelf-box.yaml": b"schema: 1\nid: shelf-box\nparent: shelf-box\n"}
    ),
    "no archive": lambda: b"hello",
    "nothing": lambda: b"",
    "half an archive": lambda: packed()[:150],
    "more than a package": lambda: b"PK" + b"\0" * 3_000_000,
}
