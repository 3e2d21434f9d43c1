"""A tablet server under attack: where it is, a pass that it gave, and some that it never gave."""

from __future__ import annotations

import hmac
import socket
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from shopstep.storage.device_book import DeviceBook
from shopstep.tablet import cookies
from tests.raw_web import Reply, Web
from tests.tablet_run import TabletRun


@dataclass(frozen=True, slots=True)
class Target:
    """A server that runs, and one device that is paired with it."""

    run: TabletRun
    book: DeviceBook
    web: Web
    """Speaks as the paired device."""

    @property
    def stranger(self) -> Web:
        """Speaks without a pass."""
        return replace(self.web, cookie="")

    def forged(self, value: str) -> Web:
        """Speaks with a pass of its own making."""
        return replace(self.web, cookie=f"{cookies.NAME}={value}")


def pass_in(reply: Reply) -> str:
    """The cookie that a pairing gave, as it is sent back."""
    return reply.headers["set-cookie"].split(";")[0]


def refused(reply: Reply) -> bool:
    """Closed, or told no, with nothing of ours in the answer."""
    return reply.status in (0, 303, 400, 401, 403, 404, 405, 413, 421, 431) and b"card" not in (
        reply.body
    )


def forged_passes(target: Target) -> dict[str, str]:
    """Passes that were never given, by what is wrong with them."""
    secret, now_s = target.book.secret(), int(time.time())
    device = target.book.all()[0].id
    good = target.web.cookie.partition("=")[2]
    plain = hmac.new(secret, f"{device}{now_s}".encode(), "sha256").hexdigest()
    return {
        "forged": cookies.sign(b"x" * 32, device, now_s),
        "another way of signing": f"{device}.{now_s}.{plain}",
        "expired": cookies.sign(secret, device, now_s - cookies.LASTS_S - 5),
        "from the future": cookies.sign(secret, device, now_s + 10 * 86400),
        "of a device that never was": cookies.sign(secret, "f" * 16, now_s),
        "another device, old signature": "f" * 16 + good[16:],
        "cut short": good[:-1],
        "a path for an id": "../../secret.1." + "0" * 64,
        "empty": "",
    }


def wait_until(holds: Callable[[], bool]) -> None:
    """Until something is so; it must be within ten seconds."""
    deadline = time.monotonic() + 10
    while not holds():
        assert time.monotonic() < deadline
        time.sleep(0.05)


def drip(link: socket.socket, data: bytes) -> bool:
    """Send byte by byte for as long as the other side bears it; whether it cut the connection."""
    link.settimeout(0.3)
    for byte in data:
        try:
            link.sendall(bytes([byte]))
            if not link.recv(1):
                return True
        except TimeoutError:
            continue
        except OSError:
            return True
    return False
