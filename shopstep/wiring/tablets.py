"""The book of paired devices, this machine's certificates, its voice and its ear."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopstep.storage.certificates import Certificates, CertificateShelf
from shopstep.storage.device_book import Device, DeviceBook
from shopstep.storage.folders import tablet_folder
from shopstep.wiring.problems import Problem, plain_problems

if TYPE_CHECKING:
    from shopstep.voice.speak import Voice
    from shopstep.wiring.listening import ChildEars

__all__ = [
    "Certificates",
    "Device",
    "DeviceBook",
    "LateEars",
    "LateVoice",
    "give_certificates",
    "open_device_book",
]


class LateVoice:
    """The voice of this machine; nothing of it is loaded until the first word is asked for."""

    def __init__(self) -> None:
        self._voice: Voice | None = None

    def speak(self, sentences: Sequence[str], *, slowly: bool = False) -> bytes:
        """The sentences as WAV; empty where nothing can speak."""
        from shopstep.wiring.speaking import NORMAL, SLOW, make_voice

        if self._voice is None:
            self._voice = make_voice()
        return self._voice.speak(sentences, SLOW if slowly else NORMAL)

    def stop(self) -> None:
        """Let go of what it holds."""
        if self._voice is not None:
            self._voice.stop()


class LateEars:
    """The ear of this machine for tablets; nothing of it is loaded until one listens."""

    def why_not(self) -> str:
        """Why nobody can be heard here, in a sentence; empty where they can."""
        from shopstep.wiring.hearing import needs_extra

        try:
            needs_extra()
        except Problem as problem:
            return f"{problem.text[:1].upper()}{problem.text[1:]}."
        return ""

    def open(self, has_ended: str) -> ChildEars:
        """A process that hears what it is fed."""
        from shopstep.wiring.listening import FED, ChildEars

        return ChildEars(FED, has_ended)


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
