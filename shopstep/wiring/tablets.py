"""The book of paired devices, and this machine's certificates."""

from __future__ import annotations

from shopstep.storage.certificates import Certificates, CertificateShelf
from shopstep.storage.device_book import Device, DeviceBook
from shopstep.storage.folders import data_folder
from shopstep.wiring.problems import plain_problems

__all__ = ["Certificates", "Device", "DeviceBook", "give_certificates", "open_device_book"]


def open_device_book() -> DeviceBook:
    """The devices that were paired with this machine; Problem where its folder is closed."""
    with plain_problems():
        book = DeviceBook(data_folder() / "tablet")
        book.secret()
        return book


def give_certificates(addresses: tuple[str, ...]) -> Certificates:
    """Certificates of this machine for its addresses; Problem where its folder is closed."""
    with plain_problems():
        return CertificateShelf(data_folder() / "tablet" / "trust").give(addresses)
