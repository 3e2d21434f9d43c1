"""The book of paired devices, and a session opened for a tablet."""

from __future__ import annotations

from shopstep.storage.device_book import Device, DeviceBook
from shopstep.storage.folders import data_folder
from shopstep.wiring.problems import plain_problems

__all__ = ["Device", "DeviceBook", "open_device_book"]


def open_device_book() -> DeviceBook:
    """The devices that were paired with this machine; Problem where its folder is closed."""
    with plain_problems():
        book = DeviceBook(data_folder() / "tablet")
        book.secret()
        return book
