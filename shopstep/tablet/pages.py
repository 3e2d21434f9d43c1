"""The files that a browser is given: a fixed table, read once; no path of a request is looked up.

Our own pages lie in ``web``; the terminal's script, its styles and its typeface (Roboto Mono,
Apache License 2.0) come from textual-serve. Imports the pictures of hands.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from html import escape
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from shopstep.present.hand_pictures import NAMES, hand_svg
from shopstep.tablet.ports import Secrecy
from shopstep.tablet.sheet import hand_address
from shopstep.words import manner, say

AUTHORITY = "/authority.crt"
ENGLISH = "en"
JS, CSS, HTML, SVG = "text/javascript", "text/css", "text/html", "image/svg+xml"
INK = "#f6f5ef"
"""As in ``card.css``."""
_OURS = {
    "/": ("card.html", HTML),
    "/card.js": ("card.js", JS),
    "/board.js": ("board.js", JS),
    "/clocks.js": ("clocks.js", JS),
    "/picture.js": ("picture.js", JS),
    "/swipes.js": ("swipes.js", JS),
    "/link.js": ("link.js", JS),
    "/screen.js": ("screen.js", JS),
    "/words.js": ("words.js", JS),
    "/pad.js": ("pad.js", JS),
    "/ear.js": ("ear.js", JS),
    "/aloud.js": ("aloud.js", JS),
    "/microphone.js": ("microphone.js", JS),
    "/ear_face.js": ("ear_face.js", JS),
    "/ear_asked.js": ("ear_asked.js", JS),
    "/ear_worklet.js": ("ear_worklet.js", JS),
    "/ear.css": ("ear.css", CSS),
    "/sound.js": ("sound.js", JS),
    "/taps.js": ("taps.js", JS),
    "/card.css": ("card.css", CSS),
    "/pair": ("pair.html", HTML),
    "/pair.js": ("pair.js", JS),
    "/pair.css": ("pair.css", CSS),
    "/terminal": ("terminal.html", HTML),
    "/terminal.js": ("terminal.js", JS),
    "/terminal.css": ("terminal.css", CSS),
    "/icon.svg": ("icon.svg", SVG),
    "/icon-192.png": ("icon-192.png", "image/png"),
    "/icon-512.png": ("icon-512.png", "image/png"),
    "/app.webmanifest": ("app.webmanifest", "application/manifest+json"),
}
_THEIRS = {
    "/textual.js": ("static/js/textual.js", JS),
    "/xterm.css": ("static/css/xterm.css", CSS),
    "/mono.ttf": ("static/fonts/RobotoMono-VariableFont_wght.ttf", "font/ttf"),
}


@dataclass(frozen=True, slots=True)
class PageFile:
    """One file as it is sent."""

    body: bytes
    content_type: str

    @property
    def is_binary(self) -> bool:
        """Whether it has no letters to be told apart."""
        return self.content_type.startswith(("audio/", "font/", "image/png"))


def read_pages(
    secrecy: Secrecy | None = None, sounds: Mapping[str, bytes] | None = None
) -> dict[str, PageFile]:
    """All files by the path that they are asked for; with TLS also the authority to install."""
    ours, theirs = files("shopstep.tablet") / "web", files("textual_serve")
    authority = {} if secrecy is None else {AUTHORITY: _authority(secrecy)}
    return {
        **authority,
        **{f"/{name}.wav": PageFile(body, "audio/wav") for name, body in (sounds or {}).items()},
        **{hand_address(n): PageFile(hand_svg(p, INK).encode(), SVG) for p, n in NAMES.items()},
        **{path: PageFile(_in_words(ours / n), kind) for path, (n, kind) in _OURS.items()},
        **{path: PageFile((theirs / n).read_bytes(), kind) for path, (n, kind) in _THEIRS.items()},
    }


_WORDED = re.compile(rb'worded\((\s*)("(?:[^"\\]|\\.)*")')
_MARKED = re.compile(rb"\[\[([^\[\]]+)\]\]")


def _in_words(file: Traversable) -> bytes:
    """One of our files, its sentences in the language that is spoken when the server starts.

    In scripts they are literals in ``worded("…")``, in pages they stand in ``[[…]]``.
    """
    body = file.read_bytes()
    if file.name.endswith(".js"):
        return _WORDED.sub(_say_literal, body)
    if file.name.endswith(".html"):
        return _MARKED.sub(_say_marked, body)
    return body


def _say_literal(found: re.Match[bytes]) -> bytes:
    return b"worded(" + found[1] + json.dumps(say(json.loads(found[2]))).encode()


def _say_marked(found: re.Match[bytes]) -> bytes:
    text = found[1].decode()
    return escape(manner().language if text == ENGLISH else say(text)).encode()


def _authority(secrecy: Secrecy) -> PageFile:
    return PageFile(Path(secrecy.authority).read_bytes(), "application/x-x509-ca-cert")


def edition_of(pages: dict[str, PageFile]) -> str:
    """Changes with any file, so that a page that is older than its server loads itself anew."""
    whole = sha256()
    for path in sorted(pages):
        whole.update(pages[path].body)
    return whole.hexdigest()[:16]
