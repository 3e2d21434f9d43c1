"""The server that a tablet's browser talks to: a fixed set of pages, and three kinds of sockets.

``/card`` carries the card, the clocks and what is tapped; ``/ear`` a microphone while it is open;
``/ws`` the bench screen itself, drawn by a process of its own. A subclass of textual-serve's server
whose routes, files and start are our own, for the stock ones let anybody in. Imports aiohttp,
textual-serve and the parts here.
"""

from __future__ import annotations

import asyncio
import json
import ssl
import time
from contextlib import suppress
from typing import Any

from aiohttp import WSMsgType, web
from textual_serve.server import Server, to_int

from shopstep.tablet import cookies, ear, speech
from shopstep.tablet.asking import HEARS, HEARS_NOT, Asked, BadMessage, read_message
from shopstep.tablet.bell import Bell, Ringer
from shopstep.tablet.bench_thread import BenchThread
from shopstep.tablet.doorman import HEAD_S, Doorman
from shopstep.tablet.feed import LET_GO, Feed, Watcher
from shopstep.tablet.guard import Guard, headers_for
from shopstep.tablet.happenings import Happenings
from shopstep.tablet.pages import edition_of, read_pages
from shopstep.tablet.pairing import Pairing, Verdict
from shopstep.tablet.picture_shelf import PATH as PICTURE
from shopstep.tablet.picture_shelf import PictureShelf
from shopstep.tablet.ports import TabletPlan
from shopstep.tablet.quiet import quiet_logger
from shopstep.tablet.terminal_process import TerminalProcess
from shopstep.words import say

MOST_WATCHERS = 10
MOST_SCREENS = 10
MOST_FRAME = 16 * 1024
MOST_BODY = 1024
BODY_S = 3.0
HEARTBEAT_S = 5.0
"""A page that does not answer for half as long again is gone: then this machine rings itself."""
LEFT = 4000
"""Closing code: the person left the bench screen."""
ENDED = 4001
"""Closing code: the screen ended by itself; the reason says why."""
FULL = 4429
"""Closing code: as many are open as may be."""
BAD = 1008
_REASON_BYTES = 120
_WIDEST, _TALLEST = 500, 300


class TabletServer(Server):
    """Serves one session to paired devices."""

    def __init__(self, plan: TabletPlan, happenings: Happenings) -> None:
        super().__init__("", host=plan.addresses[0], port=plan.port, title=plan.title)
        self.pairing = Pairing()
        self.happenings = happenings
        self._plan = plan
        self._tls = _context_of(plan)
        self._shelf = PictureShelf(plan.pictures)
        self._bench = BenchThread(
            plan.open_bench, self._shelf, is_loud_at_machines=plan.is_loud_at_machines
        )
        self._guard = Guard(plan.devices, lambda: int(time.time()), happenings.tell)
        bell = Bell(Ringer(plan.alarm, happenings.ring))
        self._feed = Feed(self._bench, self._guard.is_paired, happenings.tell, bell)
        self._ear = ear.EarPage(
            self._bench, plan.ears, self._guard, happenings.tell, self._feed.look_now
        )
        self._speech = speech.SpeechPage(self._bench, plan.speech, self._asked_back)
        self._pages = read_pages(plan.secrecy, plan.sounds)
        self._edition = edition_of(self._pages)
        self._screens: set[web.WebSocketResponse] = set()
        self._runner: web.AppRunner | None = None
        self._listeners: list[asyncio.Server] = []

    @property
    def fingerprint(self) -> str:
        """Of the authority that a tablet is to trust; empty over plain HTTP."""
        return self._plan.secrecy.fingerprint if self._plan.secrecy else ""

    @property
    def others(self) -> tuple[str, ...]:
        """Home addresses of this machine that are not served."""
        return self._plan.others

    @property
    def address(self) -> str:
        """Where a tablet finds it: ``http://192.0.2.7:8321``."""
        scheme = "https" if self._tls else "http"
        return f"{scheme}://{self.host}:{self.port}"

    async def start(self) -> None:
        """Open the session and listen. OSError where the port is taken."""
        await self._bench.open()
        self._runner = web.AppRunner(
            await self._make_app(),
            access_log=None,
            logger=quiet_logger(self.happenings.tell),
            shutdown_timeout=1.0,
            keepalive_timeout=HEAD_S,
            max_line_size=4096,
            max_field_size=4096,
        )
        await self._runner.setup()
        assert self._runner.server is not None
        doorman = Doorman(self._runner.server, self.happenings.tell)
        loop = asyncio.get_running_loop()
        for address in self._plan.addresses:
            listener = await loop.create_server(doorman, address, self.port, ssl=self._tls)
            self._listeners.append(listener)
            self.port = listener.sockets[0].getsockname()[1]
        self._guard.origins = self._origins()
        self._feed.start()

    def _origins(self) -> frozenset[str]:
        scheme = "https" if self._tls else "http"
        hosts = {*self._plan.addresses}
        if "127.0.0.1" in hosts:
            hosts.add("localhost")
        return frozenset(f"{scheme}://{host}:{self.port}" for host in hosts)

    async def stop(self) -> None:
        """Close every socket, end every screen, let the session go."""
        for listener in self._listeners:
            listener.close()
        await self._feed.stop()
        with suppress(TimeoutError):
            async with asyncio.timeout(3.0):
                await asyncio.gather(*(socket.close(code=1001) for socket in self._screens))
        if self._runner is not None:
            await self._runner.cleanup()
        self._ear.close()
        self._speech.close()
        self._bench.close()

    async def _make_app(self) -> web.Application:
        app = web.Application(middlewares=[self._guard.middleware], client_max_size=MOST_BODY)
        app.add_routes(
            [
                *(web.get(path, self._send_file) for path in self._pages if path != "/"),
                web.get("/", self._send_card_page),
                web.get("/alive", self._say_alive),
                web.get(PICTURE, self._send_picture),
                web.post("/pair", self._pair),
                web.get("/card", self._handle_card),
                web.get(speech.PATH, self._speech.handle),
                web.get(ear.PATH, self._ear.handle),
                web.get("/ws", self.handle_websocket),
            ]
        )
        app.on_response_prepare.append(self._make_strict)
        return app

    async def _make_strict(self, request: web.Request, response: web.StreamResponse) -> None:
        origin = self._guard.origin_of(request) or self.address
        response.headers.update(headers_for(request.path, origin))

    async def _send_file(self, request: web.Request) -> web.Response:
        if request.query_string:  # the terminal's script would obey words in it
            return web.Response(status=303, headers={"Location": request.path})
        file = self._pages[request.path]
        charset = None if file.is_binary else "utf-8"
        return web.Response(body=file.body, content_type=file.content_type, charset=charset)

    async def _send_picture(self, request: web.Request) -> web.Response:
        """A picture that a card named; only what is held under that name."""
        body = self._shelf.body(request.query.get("of", ""))
        if body is None:
            return web.Response(status=404, text=say("There is no such picture now."))
        return web.Response(body=body, content_type="image/svg+xml", charset="utf-8")

    async def _send_card_page(self, request: web.Request) -> web.Response:
        """The page; a pass that is a day old is given anew with it."""
        response = await self._send_file(request)
        visit = self._guard.visit(request)
        if visit is not None and time.time() - visit.pass_.issued_s > cookies.RENEWED_AFTER_S:
            self._guard.admit(visit.device, response, is_secret=self._tls is not None)
        return response

    async def _say_alive(self, _: web.Request) -> web.Response:
        return web.Response(status=204)

    async def _pair(self, request: web.Request) -> web.Response:
        """Take a code, and give a pass for it."""
        address = request.remote or "?"
        try:
            async with asyncio.timeout(BODY_S):
                body: Any = await request.json()
            code = body["code"]
        except (ValueError, KeyError, TypeError, TimeoutError, RecursionError):
            code = None
        if not isinstance(code, str) or len(code) > 40 or not code.isascii():
            return web.json_response({"text": say("That is no code.")}, status=400)
        verdict = self.pairing.try_code(code, time.monotonic())
        if verdict is Verdict.RIGHT:
            device = self._plan.devices.add(address, int(time.time()))
            self.happenings.tell(say("paired: {device_name}", device_name=device.name), address)
            response = web.Response(status=204)
            self._guard.admit(device, response, is_secret=self._tls is not None)
            return response
        left = self.pairing.tries_left
        if verdict is Verdict.WRONG and left:
            self.happenings.tell(say("a wrong code; tries left: {left}", left=left), address)
            text = say("That is not the code. Tries left: {left}.", left=left)
        else:
            self.happenings.tell(say("a code was tried, and none is open now"), address)
            text = say("No code is open now. Press Enter where shopstep runs: it shows a new one.")
        return web.json_response({"text": text}, status=403)

    async def _open_socket(self, request: web.Request) -> web.WebSocketResponse:
        socket = web.WebSocketResponse(
            heartbeat=HEARTBEAT_S, max_msg_size=MOST_FRAME, compress=False
        )
        await socket.prepare(request)
        return socket

    async def _handle_card(self, request: web.Request) -> web.WebSocketResponse:
        """One page that watches the card and sends what is tapped."""
        visit = self._guard.visit(request)
        assert visit is not None, "the guard lets nobody else in"
        socket = await self._open_socket(request)
        if self._feed.count >= MOST_WATCHERS:
            self.happenings.tell(say("refused: as many pages are open as may be"))
            await socket.close(code=FULL)
            return socket
        watcher = Watcher(socket, visit.device.id)
        self._plan.devices.note_seen(visit.device.id, int(time.time()))
        hello = {"kind": "hello", "edition": self._edition, "deaf": self._ear.why_not()}
        await watcher.tell(hello)
        self._feed.add(watcher)
        try:
            await self._listen(socket, watcher, request.remote or "?")
        finally:
            self._feed.remove(watcher)
        return socket

    async def _listen(self, socket: web.WebSocketResponse, watcher: Watcher, address: str) -> None:
        async for message in socket:
            if message.type is not WSMsgType.TEXT:
                break
            try:
                asked = read_message(message.data)
            except BadMessage:
                self.happenings.tell(say("a page sent what is no message"), address)
                await watcher.close(BAD)
                return
            if not self._guard.is_paired(watcher.device):
                await watcher.close(LET_GO)
                return
            if asked.act in (HEARS, HEARS_NOT):
                watcher.hears = asked.act == HEARS
                continue
            try:
                answer = await self._answer(asked, watcher.device)
            except Exception as problem:  # a full or removed disk: nothing was done
                text = say(
                    "This was not saved, nothing has changed: {problem}.",
                    problem=str(problem).rstrip("."),
                )
                answer = {"ok": False, "text": say("{text} Try again.", text=text)}
            await watcher.tell({"kind": "answer", "id": asked.id} | answer)
            self._feed.look_now()

    async def _answer(self, asked: Asked, device: str) -> dict[str, Any]:
        if asked.act in (ear.YES, ear.NO):
            return await self._ear.tapped(device, asked.seen, asked.act)
        return await self._bench.answer(asked)

    def _asked_back(self, request: web.Request) -> str:
        visit = self._guard.visit(request)
        return self._ear.asked_back(visit.device.id) if visit is not None else ""

    async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
        """One bench screen in a process of its own, for as long as the socket stays."""
        visit = self._guard.visit(request)
        assert visit is not None, "the guard lets nobody else in"
        socket = await self._open_socket(request)
        if len(self._screens) >= MOST_SCREENS:
            self.happenings.tell(say("refused: as many screens are open as may be"))
            await socket.close(code=FULL)
            return socket
        self._screens.add(socket)
        try:
            await self._serve_screen(socket, request, visit.device.id)
        finally:
            self._screens.discard(socket)
        return socket

    async def _serve_screen(
        self, socket: web.WebSocketResponse, request: web.Request, device: str
    ) -> None:
        async def end() -> None:
            code, reason = (ENDED, screen.problem) if screen.problem else (LEFT, "")
            await socket.close(code=code, message=_short(reason))

        screen = TerminalProcess(self._plan.screen_command, socket.send_bytes, end)
        width, height = (to_int(request.query.get(name, ""), 80) for name in ("width", "height"))
        await screen.start(_within(width, _WIDEST), _within(height, _TALLEST))
        watch = asyncio.create_task(self._watch_pass(socket, device))
        try:
            await self._take_keys(socket, screen)
        finally:
            watch.cancel()
            await screen.stop()

    async def _watch_pass(self, socket: web.WebSocketResponse, device: str) -> None:
        while self._guard.is_paired(device):
            await asyncio.sleep(1.0)
        await socket.close(code=LET_GO)

    async def _take_keys(self, socket: web.WebSocketResponse, screen: TerminalProcess) -> None:
        async for message in socket:
            if message.type is not WSMsgType.TEXT or not await _pass_on(message.data, screen):
                await socket.close(code=BAD)
                return


async def _pass_on(text: str, screen: TerminalProcess) -> bool:
    """Hand what the terminal's script sent to the screen; False for what it never sends."""
    try:
        envelope = json.loads(text)
        match envelope:
            case ["stdin", str(keys)]:
                await screen.send_bytes(keys.encode("utf-8"))
            case ["resize", {"width": int(width), "height": int(height)}]:
                await screen.set_terminal_size(_within(width, _WIDEST), _within(height, _TALLEST))
            case ["focus"]:
                await screen.focus()
            case ["blur"]:
                await screen.blur()
            case ["ping", str()]:
                pass
            case _:
                return False
    except (ValueError, RecursionError):
        return False
    return True


def _within(cells: int, most: int) -> int:
    return max(1, min(most, cells))


def _short(reason: str) -> bytes:
    """A reason in as many bytes as a closing frame has room for (RFC 6455, 5.5)."""
    return reason.encode("utf-8")[:_REASON_BYTES].decode("utf-8", "ignore").encode("utf-8")


def _context_of(plan: TabletPlan) -> ssl.SSLContext | None:
    if plan.secrecy is None:
        return None
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.load_cert_chain(plan.secrecy.chain, plan.secrecy.key)
    return context
