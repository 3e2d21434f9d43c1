"""Who may ask for what: the host, where the page came from, and the pass of the device.

Imports aiohttp, the cookies and the ports.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from http.cookies import CookieError

from aiohttp import web

from shopstep.tablet import cookies
from shopstep.tablet.pages import AUTHORITY
from shopstep.tablet.ports import Device, Devices
from shopstep.words import say

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]
Tell = Callable[[str, str], None]
OPEN_PATHS = frozenset({"/pair", "/pair.js", "/pair.css", AUTHORITY})
"""What is seen without a pass: the page that asks for the code, and the authority to install."""
LISTENING_PATH = "/"
"""The only page that may ask for the microphone."""
SCREEN_PATH = "/terminal"
"""The only page that may stand in a frame, and only in one of our own."""

BASE_HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "Server": "shopstep",
}


def headers_for(path: str, origin: str) -> dict[str, str]:
    """The strict headers of an answer; ``origin`` is ours, for the sockets of old browsers."""
    framed = path == SCREEN_PATH
    own = "'self'" if framed else "'none'"
    sockets = origin.replace("http", "ws", 1)
    styles = "'self' 'unsafe-inline'" if framed else "'self'"  # the terminal makes its own styles
    policy = (
        "default-src 'none'; script-src 'self'; font-src 'self'; img-src 'self' data:;"
        f" style-src {styles}; connect-src 'self' {sockets}; manifest-src 'self';"
        " frame-src 'self'; base-uri 'none'; form-action 'none';"
        f" frame-ancestors {own}"
    )
    frame = "SAMEORIGIN" if framed else "DENY"
    headers = BASE_HEADERS | {"Content-Security-Policy": policy, "X-Frame-Options": frame}
    if path == LISTENING_PATH:
        own_only = headers["Permissions-Policy"].replace("microphone=()", "microphone=(self)")
        headers["Permissions-Policy"] = own_only
    return headers


@dataclass(frozen=True, slots=True)
class Visit:
    """A device with a pass that holds."""

    device: Device
    pass_: cookies.Pass


class Guard:
    """Lets in who has a pass, from our own page, by our own name."""

    def __init__(self, devices: Devices, now_s: Callable[[], int], tell: Tell) -> None:
        self._devices = devices
        self._secret = devices.secret()
        self._now_s = now_s
        self._tell = tell
        self.origins: frozenset[str] = frozenset()
        """``http://127.0.0.1:8321`` …: what the server is reached by; set once it listens."""

    def origin_of(self, request: web.Request) -> str | None:
        """Our own origin that was asked; None where the request names another host."""
        origin = f"{request.scheme}://{request.headers.get('Host', '')}".lower()
        return origin if origin in self.origins else None

    def visit(self, request: web.Request) -> Visit | None:
        """The device that asks; None without a pass that holds."""
        try:
            value = request.cookies.get(cookies.NAME, "")
        except CookieError:
            return None
        found = cookies.read(self._secret, value, self._now_s())
        device = self._devices.find(found.device) if found is not None else None
        return Visit(device, found) if found is not None and device is not None else None

    def is_paired(self, device_id: str) -> bool:
        """Whether a device is still in the book."""
        return self._devices.find(device_id) is not None

    def admit(self, device: Device, response: web.StreamResponse, *, is_secret: bool) -> None:
        """Give a device its pass; ``is_secret``: the way is TLS."""
        now_s = self._now_s()
        response.set_cookie(
            cookies.NAME,
            cookies.sign(self._secret, device.id, now_s),
            max_age=cookies.LASTS_S,
            path="/",
            httponly=True,
            samesite="Strict",
            secure=is_secret,
        )

    @web.middleware
    async def middleware(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Refuses what is not allowed; every answer but a socket closes its connection."""
        refusal = self._refusal(request)
        response = refusal if refusal is not None else await _answer(request, handler)
        if not isinstance(response, web.WebSocketResponse):
            response.force_close()
        return response

    def _refusal(self, request: web.Request) -> web.Response | None:
        address = request.remote or "?"
        if self.origin_of(request) is None or not request.raw_path.startswith("/"):
            self._tell(say("refused: another host was asked for"), address)
            return web.Response(status=421, text=say("This is not the name of this machine."))
        if _needs_origin(request) and not self._is_own_page(request):
            self._tell(say("refused: asked from a foreign page"), address)
            return web.Response(status=403, text=say("Only our own page may ask."))
        if request.path in OPEN_PATHS or self.visit(request) is not None:
            return None
        if request.path == "/" and request.method == "GET":
            return web.Response(status=303, headers={"Location": "/pair"})
        what = (
            say("a pass that does not hold") if cookies.NAME in request.cookies else say("no pass")
        )
        self._tell(say("refused: {what}", what=what), address)
        return web.Response(status=401, text=say("Pair this device first."))

    def _is_own_page(self, request: web.Request) -> bool:
        return request.headers.get("Origin", "").lower() == self.origin_of(request)


def _needs_origin(request: web.Request) -> bool:
    """Whether the request does something, or opens a socket."""
    upgrade = request.headers.get("Upgrade", "")
    return request.method not in ("GET", "HEAD") or bool(upgrade) or "Origin" in request.headers


async def _answer(request: web.Request, handler: Handler) -> web.StreamResponse:
    try:
        return await handler(request)
    except web.HTTPException as problem:
        return web.Response(status=problem.status, text=problem.reason)
