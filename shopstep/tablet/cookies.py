"""The cookie of a paired device: its id and when it was given, signed (HMAC-SHA-256, RFC 2104).

Pure: the secret and the time are arguments. Whether the device is still in the book is asked
elsewhere.
"""

from __future__ import annotations

import hmac
import re
from dataclasses import dataclass

NAME = "shopstep_device"
LASTS_S = 180 * 86400
RENEWED_AFTER_S = 86400
"""A cookie older than this is given anew with the page, so that a tablet in use stays paired."""
_SLACK_S = 86400
"""How far in the future a cookie may lie: the clock may have been put back."""
_FORM = re.compile(r"([0-9a-f]{16})\.([0-9]{1,12})\.([0-9a-f]{64})")


@dataclass(frozen=True, slots=True)
class Pass:
    """A cookie that was signed here."""

    device: str
    issued_s: int


def sign(secret: bytes, device: str, issued_s: int) -> str:
    """The cookie's value; ``issued_s`` in seconds since 1970 UTC."""
    return f"{device}.{issued_s}.{_signature(secret, device, issued_s)}"


def read(secret: bytes, value: str, now_s: int) -> Pass | None:
    """The pass in a cookie; None where it is forged, damaged or too old."""
    match = _FORM.fullmatch(value)
    if match is None:
        return None
    device, issued_s = match[1], int(match[2])
    if not hmac.compare_digest(match[3], _signature(secret, device, issued_s)):
        return None
    if not now_s - LASTS_S < issued_s <= now_s + _SLACK_S:
        return None
    return Pass(device, issued_s)


def _signature(secret: bytes, device: str, issued_s: int) -> str:
    text = f"device:{device}:{issued_s}"
    return hmac.new(secret, text.encode("ascii"), "sha256").hexdigest()
