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
from shopstep.words import say


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
    way = say("join the Wi-Fi first, or leave --lan out")
    if own:
        way = say(
            "join the Wi-Fi first, or name the address that it has: --address {own}", own=own[0]
        )
    raise Problem(
        say(
            "--lan: this machine is in no home network just now (no private address); {way}",
            way=way,
        ),
        ExitCode.FILES,
    )


def _chosen(address: str) -> tuple[str, ...]:
    own = own_addresses()
    if address in (LOCAL, "localhost"):
        return (LOCAL,)
    if not is_address(address) or address not in own:
        known = ", ".join(own) or say("it has none but its own inner one")
        raise Problem(
            say(
                "--address: '{address}' is no address of this machine ({known})",
                address=address,
                known=known,
            ),
            ExitCode.USAGE,
        )
    if is_in_internet(address):
        raise Problem(
            say(
                "--address: {address} can be reached from the internet, and the tablet is served in"
                " the house only; choose a private address",
                address=address,
            ),
            ExitCode.USAGE,
        )
    return (address, LOCAL)
