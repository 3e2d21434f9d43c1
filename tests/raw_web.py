"""A client that may break every rule: requests and frames as bytes."""

from __future__ import annotations

import base64
import json
import os
import socket
import ssl
import struct
import threading
from contextlib import suppress
from dataclasses import dataclass, field

PATIENCE_S = 60.0


@dataclass(frozen=True, slots=True)
class Reply:
    """What a server said; status 0 where it only closed."""

    status: int
    headers: dict[str, str] = field(default_factory=dict)
    body: bytes = b""


@dataclass(frozen=True, slots=True)
class Web:
    """One server on this machine, and the words that a good client sends it."""

    port: int
    cookie: str = ""
    authority: str = ""
    """The file of the authority that is believed; empty over plain HTTP."""

    @property
    def host(self) -> str:
        """Its name in a request."""
        return f"127.0.0.1:{self.port}"

    @property
    def origin(self) -> str:
        """Where its own pages come from."""
        return f"http{'s' if self.authority else ''}://{self.host}"

    def connect(self) -> socket.socket:
        """A bare connection."""
        link = socket.create_connection(("127.0.0.1", self.port), timeout=PATIENCE_S)
        if not self.authority:
            return link
        context = ssl.create_default_context(cafile=self.authority)
        return context.wrap_socket(link, server_hostname="127.0.0.1")

    def send(self, data: bytes) -> Reply:
        """Any bytes, and what comes back until the other side closes."""
        with self.connect() as link:
            link.sendall(data)
            return read_reply(link)

    def ask(
        self,
        path: str,
        method: str = "GET",
        body: bytes = b"",
        **changes: str | None,
    ) -> Reply:
        """A request as our page sends it, with headers changed or (None) left out."""
        return self.send(self.request(path, method, body, **changes))

    def request(
        self, path: str, method: str = "GET", body: bytes = b"", **changes: str | None
    ) -> bytes:
        """Its bytes."""
        headers: dict[str, str | None] = {"Host": self.host, "Cookie": self.cookie or None}
        if method != "GET":
            headers |= {"Origin": self.origin, "Content-Length": str(len(body))}
        headers |= {name.replace("_", "-"): value for name, value in changes.items()}
        lines = [f"{name}: {value}" for name, value in headers.items() if value is not None]
        return "\r\n".join([f"{method} {path} HTTP/1.1", *lines, "", ""]).encode("latin-1") + body

    def pair(self, code: str) -> Reply:
        """Try a pairing code."""
        return self.ask("/pair", "POST", json.dumps({"code": code}).encode())

    def open(self, path: str, **changes: str | None) -> tuple[socket.socket, Reply]:
        """Ask for a socket; the connection stays, for frames."""
        link = self.connect()
        asked: dict[str, str | None] = {
            "Upgrade": "websocket",
            "Connection": "Upgrade",
            "Sec-WebSocket-Version": "13",
            "Sec-WebSocket-Key": base64.b64encode(os.urandom(16)).decode(),
            "Origin": self.origin,
        }
        link.sendall(self.request(path, "GET", b"", **(asked | changes)))
        return link, read_head(link)


def read_head(link: socket.socket) -> Reply:
    """Status and headers, byte by byte so that no frame is lost."""
    head = b""
    while not head.endswith(b"\r\n\r\n"):
        try:
            byte = link.recv(1)
        except (ConnectionError, TimeoutError):
            byte = b""
        if not byte:
            return Reply(0)
        head += byte
    first, *rest = head.decode("latin-1").split("\r\n")
    pairs = [line.split(": ", 1) for line in rest if ": " in line]
    return Reply(int(first.split(" ")[1]), {name.lower(): value for name, value in pairs})


def read_reply(link: socket.socket) -> Reply:
    """Head and body, up to where the other side closes."""
    head = read_head(link)
    body = b""
    if head.status not in (0, 101, 204):
        while len(body) < int(head.headers.get("content-length", "0")):
            part = link.recv(65536)
            if not part:
                break
            body += part
    return Reply(head.status, head.headers, body)


def frame(payload: bytes, opcode: int = 1, *, masked: bool = True, length: int = -1) -> bytes:
    """One frame of a socket (RFC 6455, 5.2); ``length`` says another length than there is."""
    size = len(payload) if length < 0 else length
    mask = os.urandom(4)
    bit = 0x80 if masked else 0
    head = bytes([0x80 | opcode])
    if size < 126:
        head += bytes([bit | size])
    elif size < 65536:
        head += bytes([bit | 126]) + struct.pack(">H", size)
    else:
        head += bytes([bit | 127]) + struct.pack(">Q", size)
    if not masked:
        return head + payload
    return head + mask + bytes(byte ^ mask[i % 4] for i, byte in enumerate(payload))


def read_frame(link: socket.socket) -> tuple[int, bytes]:
    """Opcode and payload of the next frame; opcode 8 where the connection is closed."""
    head = _read(link, 2)
    if len(head) < 2:
        return 8, b""
    size = head[1] & 0x7F
    if size >= 126:
        wide = _read(link, 2 if size == 126 else 8)
        size = int.from_bytes(wide, "big")
    return head[0] & 0x0F, _read(link, size)


def _read(link: socket.socket, count: int) -> bytes:
    data = b""
    while len(data) < count:
        try:
            part = link.recv(count - len(data))
        except (ConnectionError, TimeoutError):
            break
        if not part:
            break
        data += part
    return data


def next_text(link: socket.socket, kind: str) -> dict[str, object]:
    """The next message of a kind."""
    for _ in range(50):
        opcode, payload = read_frame(link)
        if opcode == 8:
            break
        if opcode == 1:
            message: dict[str, object] = json.loads(payload)
            if message["kind"] == kind:
                return message
    raise AssertionError(f"no {kind} came")


def stay_alive(link: socket.socket) -> None:
    """Answer every ping as a browser does (RFC 6455, 5.5.2) until the connection is closed."""

    def answer() -> None:
        opcode = 0
        with suppress(OSError):  # it was closed here
            while opcode != 8:
                opcode, payload = read_frame(link)
                if opcode == 9:
                    link.sendall(frame(payload, 10))

    threading.Thread(target=answer, daemon=True).start()


def closing_code(link: socket.socket) -> int:
    """Why the other side closes; 0 where it only does."""
    for _ in range(200):
        opcode, payload = read_frame(link)
        if opcode == 8:
            return int.from_bytes(payload[:2], "big")
    raise AssertionError("it stays open")
