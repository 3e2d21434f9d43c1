"""Which address of this machine a tablet at home can reach. Imports the standard library only."""

from __future__ import annotations

import ipaddress
import socket
import struct
from contextlib import suppress
from importlib import import_module

LOCAL = "127.0.0.1"
_SOMEWHERE = ("192.0.2.1", 9)
"""A documentation address (RFC 5737): nothing is sent, the system only chooses a way."""
_ASK_ADDRESS = 0x8915
"""SIOCGIFADDR of Linux."""


def own_addresses() -> tuple[str, ...]:
    """This machine's IPv4 addresses but its inner ones; that on the way out comes first."""
    found = dict.fromkeys([*_routed(), *_of_interfaces(), *_of_name()])
    return tuple(address for address in found if not _is_inner(address))


def is_at_home(address: str) -> bool:
    """Whether an address belongs to a home network: private (RFC 1918) or link-local."""
    seen = ipaddress.ip_address(address)
    if seen.version != 4 or _is_inner(address):
        return False
    homes = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16")
    return any(seen in ipaddress.ip_network(home) for home in homes)


def is_in_internet(address: str) -> bool:
    """Whether anybody in the world may reach it (IANA special-purpose registry, RFC 6890)."""
    return ipaddress.ip_address(address).is_global


def is_address(text: str) -> bool:
    """Whether it is written as an IPv4 address."""
    try:
        ipaddress.IPv4Address(text)
    except ValueError:
        return False
    return True


def _is_inner(address: str) -> bool:
    seen = ipaddress.ip_address(address)
    return seen.is_loopback or seen.is_unspecified


def _routed() -> list[str]:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_SOMEWHERE)
        except OSError:  # no way out: a network without internet, or none
            return []
        return [str(probe.getsockname()[0])]


def _of_interfaces() -> list[str]:
    """Asked of each interface where the system can be asked so (Linux)."""
    try:
        ask = import_module("fcntl").ioctl
        names = socket.if_nameindex()
    except (ImportError, AttributeError, OSError):
        return []
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        for _, name in names:
            with suppress(OSError):  # it has no address
                answer = ask(probe.fileno(), _ASK_ADDRESS, struct.pack("256s", name.encode()[:15]))
                found.append(socket.inet_ntoa(answer[20:24]))
    return found


def _of_name() -> list[str]:
    """By the name of this machine, for the other systems."""
    try:
        rows = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
    except OSError:
        return []
    return [str(row[4][0]) for row in rows]
