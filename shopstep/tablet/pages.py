"""The files that a browser is given: a fixed table, read once; no path of a request is looked up.

Our own pages lie in ``web``; the terminal's script, its styles and its typeface (Roboto Mono,
Apache License 2.0) come from textual-serve. Imports the standard library only.
"""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from importlib.resources import files
from pathlib import Path

from shopstep.tablet.ports import Secrecy

AUTHORITY = "/authority.crt"
JS, CSS, HTML = "text/javascript", "text/css", "text/html"
_OURS = {
    "/": ("card.html", HTML),
    "/card.js": ("card.js", JS),
    "/pad.js": ("pad.js", JS),
    "/sound.js": ("sound.js", JS),
    "/taps.js": ("taps.js", JS),
    "/card.css": ("card.css", CSS),
    "/pair": ("pair.html", HTML),
    "/pair.js": ("pair.js", JS),
    "/pair.css": ("pair.css", CSS),
    "/terminal": ("terminal.html", HTML),
    "/terminal.js": ("terminal.js", JS),
    "/terminal.css": ("terminal.css", CSS),
    "/icon.svg": ("icon.svg", "image/svg+xml"),
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


def read_pages(secrecy: Secrecy | None = None) -> dict[str, PageFile]:
    """All files by the path that they are asked for; with TLS also the authority to install."""
    ours, theirs = files("shopstep.tablet") / "web", files("textual_serve")
    authority = {} if secrecy is None else {AUTHORITY: _authority(secrecy)}
    return {
        **authority,
        **{path: PageFile((ours / n).read_bytes(), kind) for path, (n, kind) in _OURS.items()},
        **{path: PageFile((theirs / n).read_bytes(), kind) for path, (n, kind) in _THEIRS.items()},
    }


def _authority(secrecy: Secrecy) -> PageFile:
    return PageFile(Path(secrecy.authority).read_bytes(), "application/x-x509-ca-cert")


def edition_of(pages: dict[str, PageFile]) -> str:
    """Changes with any file, so that a page that is older than its server loads itself anew."""
    whole = sha256()
    for path in sorted(pages):
        whole.update(pages[path].body)
    return whole.hexdigest()[:16]
