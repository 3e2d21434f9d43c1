"""What the tablet's server needs: a session, the book of devices, and how to start a screen.

Imports the shapes of ``present``, ``session`` and ``model`` only; ``wiring`` and the command line
bring the real ones, tests bring fakes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

from shopstep.model.plan import Plan
from shopstep.present.face import Bench
from shopstep.workbench import Alarm

if TYPE_CHECKING:
    from shopstep.voice.hear_news import News, Order


class Pictures(Protocol):
    """Draws steps beside the work."""

    def drawing(self, plan: Plan, kind_id: str) -> tuple[str, str] | None:
        """The picture of a step kind as SVG, and what it shows in words; empty ones for none.

        None while it is drawn: the call asks for it. Never waits, never fails.
        """
        ...

    def stop(self) -> None:
        """Give up what is drawn now; nothing is left running."""
        ...


class Device(Protocol):
    """One paired tablet."""

    @property
    def id(self) -> str:
        """16 hexadecimal digits."""
        ...

    @property
    def name(self) -> str:
        """What the person calls it by."""
        ...


class Devices(Protocol):
    """The book of paired tablets."""

    def secret(self) -> bytes:
        """What cookies are signed with."""
        ...

    def add(self, address: str, now_s: int) -> Device:
        """A new device."""
        ...

    def find(self, device_id: str) -> Device | None:
        """A device that is still in the book."""
        ...

    def note_seen(self, device_id: str, now_s: int) -> None:
        """Note that a device was here."""
        ...


@dataclass(frozen=True, slots=True)
class Secrecy:
    """Files for a way that nobody can listen to (TLS)."""

    chain: str
    key: str
    authority: str
    """Given to the tablet, to be installed there."""
    fingerprint: str
    """Of the authority, to be compared by eye."""


class Speech(Protocol):
    """Makes speech; asked from a thread of its own."""

    def speak(self, sentences: Sequence[str], *, slowly: bool = False) -> bytes:
        """The sentences as WAV (16 bit, mono) of bounded size; empty where nothing can speak."""
        ...


class Ears(Protocol):
    """Hears what it is fed, beside the server; no call waits."""

    def start(self) -> None:
        """Begin; news come once it hears, or cannot."""
        ...

    def order(self, order: Order) -> None:
        """What it is to do from now on."""
        ...

    def feed(self, sound: bytes) -> None:
        """Sound in its place among the orders: 16 kHz, mono, 16 bit."""
        ...

    def news(self) -> list[News]:
        """All that it told since the last call; one level for every piece of sound."""
        ...

    def stop(self) -> None:
        """Nothing is heard any more."""
        ...


class EarMaker(Protocol):
    """Makes the ear once a tablet listens."""

    def why_not(self) -> str:
        """Why nobody can be heard on this machine, in a sentence; empty where they can."""
        ...

    def open(self, has_ended: str) -> Ears:
        """A new ear; ``has_ended`` is told where it ends by itself."""
        ...


@dataclass(frozen=True, slots=True)
class TabletPlan:
    """What is to be served, and where."""

    title: str
    open_bench: Callable[[], Bench]
    """Opens the session; called once, in the thread that then uses it."""
    devices: Devices
    screen_command: Sequence[str]
    """The program and its words that show the bench screen on its standard streams."""
    addresses: tuple[str, ...]
    """Addresses of this machine to listen on; the first is the one that is shown."""
    port: int
    """0 for any that is free."""
    others: tuple[str, ...] = ()
    """Other home addresses of this machine, to be told: the tablet may be in that network."""
    secrecy: Secrecy | None = None
    pictures: Pictures | None = None
    alarm: Alarm | None = None
    """What rings here while no tablet can; the terminal's bell where it is None or cannot."""
    sounds: Mapping[str, bytes] = field(default_factory=dict)
    """WAV files of the alarms by name: ``half``, ``due`` and ``late``."""
    is_loud_at_machines: bool = False
    """Whether alarms are heard during a machine's step too."""
    speech: Speech | None = None
    """What says the card; nothing is spoken where None."""
    ears: EarMaker | None = None
    """What hears the tablets' microphones; nobody is heard where None."""
