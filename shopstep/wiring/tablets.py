"""The book of paired devices, this machine's certificates, and its voice."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopstep.storage.certificates import Certificates, CertificateShelf
from shopstep.storage.device_book import Device, DeviceBook
from shopstep.storage.folders import tablet_folder
from shopstep.wiring.problems import plain_problems

if TYPE_CHECKING:
    from shopstep.voice.speak import Voice

__all__ = [
    "Certificates",
    "Device",
    "DeviceBook",
    "LateVoice",
    "give_certificates",
    "open_device_book",
]


class LateVoice:
    """The voice of this machine; nothing of it is loaded until the first word is asked for."""

    def __init__(self) -> None:
        self._voice: Voice | None = None

    def speak(self, sentences: Sequence[str]) -> bytes:
        """The sentences as WAV; empty where nothing can speak."""
        if self._voice is None:
            from shopstep.wiring.speaking import make_voice

            self._voice = make_voice()
        return self._voice.speak(sentences)

    def stop(self) -> None:
        """Let go of what it holds."""
        if self._voice is not None:
            self._voice.stop()


def open_device_book() -> DeviceBook:
    """The devices that were paired with this machine; Problem where its folder is closed."""
    with plain_problems():
        book = DeviceBook(tablet_folder())
        book.secret()
        return book


def give_certificates(addresses: tuple[str, ...]) -> Certificates:
    """Certificates of this machine for its addresses; Problem where its folder is closed."""
    with plain_problems():
        return CertificateShelf(tablet_folder() / "trust").give(addresses)
