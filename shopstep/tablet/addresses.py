"""Which address of this machine a tablet at home can reach. Imports the standard library only."""

from __future__ import annotations

import ipaddress
import socket

LOCAL = "127.0.0.1"
_SOMEWHERE = ("192.0.2.1", 9)
"""A documentation address (RFC 5737): nothing is sent, the system only chooses a way."""


def home_address() -> str | None:
    """This machine's address in the home network; None where it is in none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_SOMEWHERE)
        except OSError:
            return None
        found = str(probe.getsockname()[0])
    return found if is_at_home(found) else None


def is_at_home(address: str) -> bool:
    """Whether an address belongs to a home network: private (RFC 1918) or link-local."""
    seen = ipaddress.ip_address(address)
    if seen.is_loopback or seen.is_unspecified or seen.version != 4:
        return False
    homes = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16")
    return any(seen in ipaddress.ip_network(home) for home in homes)
