"""Where the tablet's page is served: this machine only, or one address of it in the house."""

from __future__ import annotations

from shopstep.tablet.addresses import (
    LOCAL,
    is_address,
    is_at_home,
    is_in_internet,
    own_addresses,
)
from shopstep.wiring.problems import ExitCode, Problem


def served_addresses(chosen: str | None, *, lan: bool) -> tuple[str, ...]:
    """The addresses to listen on, the one to be shown first; Problem where there is none."""
    if chosen is not None:
        return _chosen(chosen)
    return (_at_home(), LOCAL) if lan else (LOCAL,)


def others_of(addresses: tuple[str, ...]) -> tuple[str, ...]:
    """Home addresses of this machine that are not served though another one is."""
    if addresses == (LOCAL,):
        return ()
    return tuple(a for a in own_addresses() if is_at_home(a) and a not in addresses)


def _at_home() -> str:
    own = own_addresses()
    found = [address for address in own if is_at_home(address)]
    if found:
        return found[0]
    way = "join the Wi-Fi first, or leave --lan out"
    if own:
        way = f"join the Wi-Fi first, or name the address that it has: --address {own[0]}"
    raise Problem(
        f"--lan: this machine is in no home network just now (no private address); {way}",
        ExitCode.FILES,
    )


def _chosen(address: str) -> tuple[str, ...]:
    own = own_addresses()
    if address in (LOCAL, "localhost"):
        return (LOCAL,)
    if not is_address(address) or address not in own:
        known = ", ".join(own) or "it has none but its own inner one"
        raise Problem(
            f"--address: '{address}' is no address of this machine ({known})", ExitCode.USAGE
        )
    if is_in_internet(address):
        raise Problem(
            f"--address: {address} can be reached from the internet, and the tablet is served in"
            " the house only; choose a private address",
            ExitCode.USAGE,
        )
    return (address, LOCAL)
