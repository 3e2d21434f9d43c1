"""Attacks on the tablet's server, each against the real one: none gets in, and it lives on."""

from __future__ import annotations

import json
import socket
import time
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from dataclasses import replace
from pathlib import Path

import pytest

from shopstep.storage.device_book import DeviceBook
from shopstep.tablet.doorman import HEAD_S, MOST_FROM_ONE
from shopstep.tablet.pairing import TRIES
from shopstep.tablet.server import MOST_WATCHERS
from tests.attacked_tablet import Target, drip, forged_passes, pass_in, refused, wait_until
from tests.raw_web import Web, closing_code, frame, next_text, read_head
from tests.tablet_run import TabletRun, card_of, make_session

DONE = json.dumps({"id": "a" * 32, "act": "do ack", "step": "", "seen": 0})
PAGES = (
    "/", "/card.js", "/card.css", "/textual.js", "/mono.ttf", "/terminal", "/alive",
    "/picture.svg?of=" + "0" * 32, "/hand-push.svg", "/late.wav", "/icon-192.png",
)  # fmt: skip


@pytest.fixture(scope="module")
def target(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Target]:
    """One server for all attacks: what one breaks, the next one meets."""
    folder = tmp_path_factory.mktemp("attacks")
    run = TabletRun(make_session(folder))
    stranger = Web(run.port)
    reply = stranger.pair(run.next_code())
    assert reply.status == 204, reply
    before = card_of(run.session).version
    book = DeviceBook(folder / "xdg_data_home" / "shopstep" / "tablet")
    yield Target(run, book, replace(stranger, cookie=pass_in(reply)))
    assert card_of(run.session).version == before, "nothing was done in the session"
    assert run.stop() == 0


@pytest.fixture(autouse=True)
def _lives_on(target: Target) -> Iterator[None]:
    """After every attack the paired device is served, and nobody else was let in."""
    yield
    assert target.web.ask("/alive").status == 204
    assert [device.name for device in target.book.all()] == ["tablet 1"]


@pytest.mark.parametrize("path", PAGES)
def test_without_a_pass_no_file_is_given(target: Target, path: str) -> None:
    reply = target.stranger.ask(path)
    assert reply.status == (303 if path == "/" else 401)
    assert len(reply.body) < 100


@pytest.mark.parametrize("socket_path", ["/card", "/ws"])
def test_no_forged_or_old_pass_opens_a_socket(target: Target, socket_path: str) -> None:
    for name, value in forged_passes(target).items():
        link, reply = target.forged(value).open(socket_path)
        link.close()
        assert reply.status == 401, name
        assert target.forged(value).ask("/terminal").status == 401, name


@pytest.mark.parametrize("socket_path", ["/card", "/ws"])
@pytest.mark.parametrize(
    "origin",
    [None, "null", "http://evil.example", "https://127.0.0.1:{port}", "http://127.0.0.1",
     "http://127.0.0.1:{port}.evil.example"],
)  # fmt: skip
def test_a_foreign_page_opens_no_socket_although_it_has_the_pass(
    target: Target, socket_path: str, origin: str | None
) -> None:
    shown = origin.format(port=target.run.port) if origin else origin
    link, reply = target.web.open(socket_path, Origin=shown)
    link.close()
    assert reply.status == 403


@pytest.mark.parametrize("host", ["evil.example", "evil.example:80", "127.0.0.1", "", "[::1]"])
def test_another_host_name_is_refused(target: Target, host: str) -> None:
    # against a name that somebody lets point here (DNS rebinding)
    assert refused(target.web.ask("/", Host=host))
    link, reply = target.web.open("/card", Host=host, Origin=f"http://{host}")
    link.close()
    assert refused(reply)


def test_a_code_cannot_be_replayed_guessed_or_tried_from_a_foreign_page(target: Target) -> None:
    code = target.run.new_code()
    foreign = target.stranger.ask(
        "/pair", "POST", json.dumps({"code": code}).encode(), Origin="http://evil.example"
    )
    assert foreign.status == 403
    assert b"Only our own page" in foreign.body
    wrong = f"{(int(code) + 1) % 10**8:08d}"
    replies = [target.stranger.pair(wrong) for _ in range(TRIES)]
    assert [reply.status for reply in replies] == [403] * TRIES
    assert target.stranger.pair(code).status == 403, "five tries, and the right one comes too late"
    code = target.run.new_code()
    reply = target.stranger.pair(code)
    assert reply.status == 204
    assert target.stranger.pair(code).status == 403, "once"
    assert target.book.let_go("tablet 2")
    gone = replace(target.web, cookie=pass_in(reply))
    assert gone.ask("/alive").status == 401


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"[]", b'{"code": 12345678}', b'{"code": ["1"]}', b'{"code": "\xc3\xa9"}',
     b'{"code": "' + b"1" * 900 + b'"}', b'{"code": ""}', b"[" * 1000, b"\xff\xfe"],
)  # fmt: skip
def test_what_is_no_code_is_answered_plainly(target: Target, body: bytes) -> None:
    reply = target.stranger.ask("/pair", "POST", body)
    assert reply.status in (400, 403)
    assert "set-cookie" not in reply.headers


def test_a_body_larger_than_any_code_is_not_read(target: Target) -> None:
    reply = target.stranger.ask("/pair", "POST", b"x" * 200_000)
    assert refused(reply)


@pytest.mark.parametrize(
    "path",
    [
        "/../../../../etc/passwd", "/..%2f..%2fetc/passwd", "/%2e%2e/secret", "/static/",
        "/static/../secret", "//etc/passwd", "/card.js/../../../secret", "/devices", "/secret",
        "/web/card.html", "/download/x", "/pair/../card.js", "/card.js%00.css", "/\\..\\secret",
        "http://evil.example/", "*",
    ],
)  # fmt: skip
def test_no_path_leads_out_and_nothing_is_listed(target: Target, path: str) -> None:
    for web in (target.web, target.stranger):
        reply = web.ask(path)
        assert refused(reply), (path, reply)
        assert b"root:" not in reply.body


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"])
def test_no_other_method_does_anything(target: Target, method: str) -> None:
    assert refused(target.web.ask("/card", method))


@pytest.mark.parametrize(
    "data",
    [
        b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: a\nSet-Cookie: b=c\r\n\r\n",
        b"GET /pair?x=%0d%0aSet-Cookie:%20b=c HTTP/1.1\r\nHost: {host}\r\n\r\n",
        b"GET /pair HTTP/1.1\r\nHost: {host}\r\nHost: evil.example\r\n\r\n",
        b"POST /pair HTTP/1.1\r\nHost: {host}\r\nContent-Length: 5\r\n"
        b"Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: {host}\r\nCookie: " + b"a" * 20_000 + b"\r\n\r\n",
        b"GET /" + b"a" * 20_000 + b" HTTP/1.1\r\nHost: {host}\r\n\r\n",
        b"GET / HTTP/1.1\r\n" + b"".join(b"X%d: y\r\n" % n for n in range(3000)) + b"\r\n",
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + b"\x00" * 40 + b"\r\n\r\n",
        b"SSH-2.0-x\r\n\r\n",
    ],
    ids=["bare line feed", "words in the path", "two hosts", "two lengths", "long cookie",
         "long path", "many headers", "TLS hello", "another protocol"],
)  # fmt: skip
def test_no_smuggled_or_broken_head_gets_through(target: Target, data: bytes) -> None:
    host = target.web.host.encode()
    with suppress(ConnectionError):
        reply = target.stranger.send(data.replace(b"{host}", host))
        assert refused(reply), reply
        assert "b=c" not in reply.headers.get("set-cookie", "")


def test_a_foreign_page_cannot_frame_read_or_sniff_ours(target: Target) -> None:
    for path in (*PAGES, "/pair", "/nowhere"):
        headers = target.web.ask(path).headers
        assert headers["x-content-type-options"] == "nosniff", path
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cross-origin-resource-policy"] == "same-origin"
        assert headers["cache-control"] == "no-store"
        assert "access-control-allow-origin" not in headers
        assert headers["server"] == "shopstep"
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "script-src 'self';" in policy
        own = path == "/terminal"
        assert f"frame-ancestors {chr(39)}{'self' if own else 'none'}{chr(39)}" in policy
        assert headers["x-frame-options"] == ("SAMEORIGIN" if own else "DENY")


def test_words_in_the_address_are_not_given_to_the_terminals_script(target: Target) -> None:
    reply = target.web.ask("/terminal?ping=http://evil.example/")
    assert (reply.status, reply.headers["location"]) == (303, "/terminal")


def test_the_pass_is_out_of_reach_of_scripts_and_other_pages(target: Target) -> None:
    reply = target.stranger.pair(target.run.new_code())
    given_words = reply.headers["set-cookie"]
    assert target.book.let_go("tablet 2")
    assert "HttpOnly" in given_words
    assert "SameSite=Strict" in given_words


Breaker = Callable[[socket.socket], None]


def _send(*frames: bytes) -> Breaker:
    return lambda link: link.sendall(b"".join(frames))


@pytest.mark.parametrize(
    ("breaks", "codes"),
    [
        (_send(frame(b"x" * 70_000)), {1009, 0}),
        (_send(frame(b"x", length=2**62)), {1009, 1002, 0}),
        (_send(frame(b'["stdin"', opcode=1)), {1008}),
        (_send(frame(b"[" * 9_000)), {1008}),
        (_send(frame(b'{"kind": "card"}')), {1008}),
        (_send(frame(b'["resize", {"width": "9", "height": null}]')), {1008}),
        (_send(frame(b"\x00\x01", opcode=2)), {1008, 1000, 0}),
        (_send(frame(b"\xff\xfe", opcode=1)), {1007, 0}),
        (_send(frame(b"x", opcode=11)), {1002, 0}),
        (_send(b"GET / HTTP/1.1\r\n\r\n"), {1002, 0}),
    ],
    ids=["too large", "a huge length", "cut JSON", "deep JSON", "another form", "no numbers",
         "bytes", "no UTF-8", "unknown kind", "no frame"],
)  # fmt: skip
def test_a_frame_that_is_none_closes_the_socket(
    target: Target, breaks: Breaker, codes: set[int]
) -> None:
    link, reply = target.web.open("/card")
    with closing(link):
        assert reply.status == 101
        breaks(link)
        assert closing_code(link) in codes


@pytest.mark.parametrize(
    ("breaks", "code"),
    [
        (_send(frame(b"x" * 70_000)), 1009),
        (_send(frame(b'["stdin", 7]')), 1008),
        (_send(frame(b'["resize", {"width": "9", "height": null}]')), 1008),
    ],
    ids=["too large", "no keys", "no numbers"],
)
def test_a_frame_that_is_none_ends_the_screen(target: Target, breaks: Breaker, code: int) -> None:
    link, reply = target.web.open("/ws")
    with closing(link):
        assert reply.status == 101
        breaks(link)
        assert closing_code(link) == code


def test_not_more_pages_watch_than_may(target: Target) -> None:
    links = [target.web.open("/card")[0] for _ in range(MOST_WATCHERS)]
    for link in links:
        next_text(link, "card")
    late, _ = target.web.open("/card")
    assert closing_code(late) == 4429
    for link in (*links, late):
        link.close()
    deadline = time.monotonic() + 5
    while time.monotonic() < deadline:  # their ends are noticed at once, but not at the same time
        link, _ = target.web.open("/card")
        with closing(link), suppress(AssertionError):
            next_text(link, "card")
            return
    raise AssertionError("nobody is let in any more")


def test_two_hundred_connections_do_not_shut_out_who_watches(target: Target) -> None:
    watching, _ = target.web.open("/card")
    links = []
    for _ in range(200):
        with suppress(OSError):
            links.append(socket.create_connection(("127.0.0.1", target.run.port), timeout=5))
    try:
        assert next_text(watching, "clock")["kind"] == "clock"
        assert next_text(watching, "clock")["kind"] == "clock"
        wait_until(lambda: sum(_is_open(link) for link in links) < MOST_FROM_ONE)
    finally:
        for link in (*links, watching):
            link.close()
    assert any("too many connections" in line for line in target.run.log)


def _is_open(link: socket.socket) -> bool:
    link.setblocking(False)
    try:
        return bool(link.recv(1))
    except BlockingIOError:
        return True
    except OSError:
        return False


def test_a_slow_handshake_is_cut(target: Target) -> None:
    # at once: a head that drips, empty lines without end, and a body that never comes
    whole = target.stranger.request("/pair")
    began = time.monotonic()
    with target.web.connect() as silent, target.web.connect() as bodiless:
        silent.sendall(b"\r\n\r\n\r\n\r\n")
        bodiless.sendall(target.stranger.request("/pair", "POST", b"", Content_Length="40"))
        with target.web.connect() as slow:
            assert drip(slow, whole[: len(whole) - 1])
            assert HEAD_S - 1 < time.monotonic() - began < HEAD_S + 3
        assert read_head(bodiless).status == 400
        assert read_head(silent).status == 0
    assert time.monotonic() - began < HEAD_S + 4


def test_a_device_that_is_let_go_is_cut_off_at_once(target: Target) -> None:
    reply = target.stranger.pair(target.run.new_code())
    web = replace(target.web, cookie=pass_in(reply))
    card, _ = web.open("/card")
    screen, _ = web.open("/ws")
    with closing(card), closing(screen):
        next_text(card, "card")
        assert "tablet 2" in target.run.run("devices").stdout
        assert target.run.run("devices", "--revoke", "tablet 2").returncode == 0
        assert closing_code(card) == 4401
        assert closing_code(screen) == 4401
    assert web.ask("/card.js").status == 401


def test_a_tap_sent_from_a_foreign_step_changes_nothing(target: Target) -> None:
    link, _ = target.web.open("/card")
    with closing(link):
        next_text(link, "card")
        link.sendall(frame(DONE.encode()))
        answer = next_text(link, "answer")
    assert answer["ok"] is False


def test_screens_are_told_nothing_of_the_shell_that_started_the_server(target: Target) -> None:
    wait_until(lambda: not target.run.screens())
    link, _ = target.web.open("/ws")
    with closing(link):
        wait_until(lambda: bool(target.run.screens()))
        (screen,) = target.run.screens()
        told = Path(f"/proc/{screen}/environ").read_bytes()
    assert b"XDG_DATA_HOME" in told
    assert b"SECRET_OF_THE_SHELL" not in told
    wait_until(lambda: not target.run.screens())


def test_the_log_says_what_happened_and_no_secret(target: Target) -> None:
    target.stranger.ask("/card.js")
    target.web.ask("/", Host="evil.example")
    target.web.open("/card", Origin="http://evil.example")[0].close()
    code = target.run.new_code()
    target.stranger.pair(f"{(int(code) + 1) % 10**8:08d}")
    told = ("paired: tablet 1", "no pass", "foreign page", "another host", "a wrong code")
    wait_until(lambda: all(words in "".join(target.run.log) for words in told))
    log = "".join(target.run.log)
    assert code not in log
    secret = target.book.secret().hex()
    signature = target.web.cookie.rpartition(".")[2]
    for hidden in (secret, signature, "Traceback", "evil.example", "root:"):
        assert hidden not in log
