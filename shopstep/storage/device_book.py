"""Tablets that were paired, and the secret that signs their cookies: small files of this machine.

One file for each device: letting go of it removes the file, and noting that it was seen only
touches the file, so that a device can never come back by a late write.
"""

from __future__ import annotations

import json
import os
import re
import secrets
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from shopstep.storage.private_file import PRIVATE_FILE, PRIVATE_FOLDER, write_private
from shopstep.words import say

SECRET_BYTES = 32
_ID = re.compile(r"[0-9a-f]{16}")


@dataclass(frozen=True, slots=True)
class Device:
    """One tablet that was paired."""

    id: str
    """16 hexadecimal digits."""
    name: str
    """``tablet 1``: what the person calls it by."""
    address: str
    """Where it was when it was paired."""
    paired_s: int
    """Seconds since 1970 UTC, as all moments here."""
    seen_s: int


class DeviceBook:
    """Paired devices in a folder of their own; read anew at every question."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._devices = folder / "devices"

    def secret(self) -> bytes:
        """What cookies are signed with; made on first use, readable by its owner alone."""
        path = self._folder / "secret"
        with suppress(FileNotFoundError, ValueError):  # a damaged one signs nothing any more
            kept = bytes.fromhex(path.read_text(encoding="ascii"))
            if len(kept) == SECRET_BYTES:
                path.chmod(PRIVATE_FILE)
                return kept
        self._make_folders()
        made = secrets.token_bytes(SECRET_BYTES)
        write_private(path, made.hex())
        return made

    def add(self, address: str, now_s: int) -> Device:
        """A new device under the next free name."""
        self._make_folders()
        taken = {device.name for device in self.all()}
        number = next(n for n in range(1, len(taken) + 2) if f"tablet {n}" not in taken)
        device = Device(
            secrets.token_hex(8), say("tablet {number}", number=number), address, now_s, now_s
        )
        text = json.dumps({"schema": 1, "name": device.name, "address": address, "paired": now_s})
        write_private(self._devices / device.id, text)
        os.utime(self._devices / device.id, (now_s, now_s))
        return device

    def all(self) -> tuple[Device, ...]:
        """Every device, in the order in which they were paired."""
        if not self._devices.is_dir():
            return ()
        found = [self.find(path.name) for path in self._devices.iterdir()]
        there = [device for device in found if device is not None]
        return tuple(sorted(there, key=lambda device: (device.paired_s, device.name)))

    def find(self, device_id: str) -> Device | None:
        """One device by its id; None where it is not, or not any more, in the book."""
        if not _ID.fullmatch(device_id):
            return None
        path = self._devices / device_id
        try:
            kept = json.loads(path.read_text(encoding="utf-8"))
            seen_s = int(path.stat().st_mtime)
            return Device(
                device_id, str(kept["name"]), str(kept["address"]), int(kept["paired"]), seen_s
            )
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def note_seen(self, device_id: str, now_s: int) -> None:
        """Note that a device was here; nothing where it was let go meanwhile."""
        if _ID.fullmatch(device_id):
            with suppress(OSError):
                os.utime(self._devices / device_id, (now_s, now_s))

    def let_go(self, name: str) -> bool:
        """Forget a device by its name; False where there is none."""
        for device in self.all():
            if device.name == name:
                (self._devices / device.id).unlink(missing_ok=True)
                return True
        return False

    def _make_folders(self) -> None:
        self._folder.parent.mkdir(parents=True, exist_ok=True)
        for folder in (self._folder, self._devices):
            folder.mkdir(mode=PRIVATE_FOLDER, exist_ok=True)
