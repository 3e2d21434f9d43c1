"""The card on a tablet across the shop: serving it, and the devices that may see it."""

from __future__ import annotations

import sys
from contextlib import ExitStack
from datetime import datetime
from os import strerror
from pathlib import Path

import click

from shopstep.cli.completing import offer_sessions
from shopstep.cli.tablet_addresses import others_of, served_addresses
from shopstep.tablet import missing_packages, run_tablet
from shopstep.tablet.addresses import LOCAL, is_at_home
from shopstep.tablet.ports import Secrecy, TabletPlan
from shopstep.wiring.benches import OnChange, find_session, open_session
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.wiring.screens import alarm_files, make_alarm, make_pictures, screen_settings
from shopstep.wiring.tablets import LateEars, LateVoice, give_certificates, open_device_book
from shopstep.words import say
from shopstep.workbench import Workbench

PORT = 8321


@click.command("tablet", short_help="The card on a tablet's browser, in this house only.")
@click.argument("session", required=False, shell_complete=offer_sessions)
@click.option("--lan", is_flag=True, help="Serve the home network, not only this machine.")
@click.option("--address", metavar="ADDRESS", help="As --lan, at this address of the machine.")
@click.option("--tls", is_flag=True, help="Secret from all in the network; see what it prints.")
@click.option("--port", type=click.IntRange(0, 65535), default=PORT, show_default=True)
@click.option("--keep-plan", is_flag=True, help="The build file changed: keep the session's plan.")
def tablet_command(
    session: str | None, lan: bool, address: str | None, tls: bool, port: int, keep_plan: bool
) -> int:
    """Show a session on a tablet: pair it once with the code that appears here.

    Nothing is installed on the tablet and nothing leaves the house. Without --lan only browsers
    on this machine reach it.

    \b
    Examples:
      shopstep tablet --lan
      shopstep tablet screened-floor-2026-01-15 --lan
      shopstep tablet --address 192.168.1.20
      shopstep tablet --lan --tls
    """
    _need_packages()
    on_change = OnChange.KEEP if keep_plan else OnChange.ASK
    with plain_problems():
        path = find_session(None if session == "LAST" else session).resolve()
    title = _try_session(path, on_change)
    addresses = served_addresses(address, lan=lan)
    leaving = ExitStack()
    voice = LateVoice()
    leaving.callback(voice.stop)
    plan = TabletPlan(
        title=title,
        open_bench=lambda: _open(path, on_change, leaving),
        devices=open_device_book(),
        screen_command=(sys.executable, "-m", "shopstep.cli.tablet_screen", str(path)),
        addresses=addresses,
        port=port,
        others=others_of(addresses),
        secrecy=_secrecy(addresses) if tls else None,
        pictures=make_pictures(),
        alarm=make_alarm(),
        sounds=alarm_files(),
        is_loud_at_machines=screen_settings().alarms_at_machines == "sound",
        speech=voice,
        ears=LateEars(),
    )
    try:
        with leaving:
            run_tablet(plan, click.echo, lambda line: click.echo(line, err=True))
    except OSError as problem:
        raise Problem(
            say(
                "port {port} cannot be used ({strerror}); choose another one: --port {port_2}",
                port=port,
                strerror=strerror(problem.errno or 0),
                port_2=PORT + 1 if port != PORT + 1 else PORT,
            ),
            ExitCode.FILES,
        ) from None
    click.echo(say("All is kept. To go on: shopstep resume {path}", path=path), err=True)
    return ExitCode.OK


def _need_packages() -> None:
    missing = missing_packages()
    if missing:
        raise Problem(
            say(
                "the tablet needs packages that are not installed ({missing});"
                " get them: pip install '.[tablet]', in the folder that you cloned",
                missing=", ".join(missing),
            ),
            ExitCode.FILES,
        )


def _try_session(path: Path, on_change: OnChange) -> str:
    """The title of the session; what is wrong with it is told before anything is served."""
    opened = open_session(str(path), make_clock(None), "tablet", on_change, must_write=True)
    with opened.journal:
        return opened.bench.state.title


def _open(path: Path, on_change: OnChange, leaving: ExitStack) -> Workbench:
    opened = open_session(str(path), make_clock(None), "tablet", on_change, betters=True)
    leaving.callback(opened.leave)
    return opened.bench


def _secrecy(addresses: tuple[str, ...]) -> Secrecy:
    foreign = [address for address in addresses if not (is_at_home(address) or address == LOCAL)]
    if foreign:
        raise Problem(
            say(
                "--tls: certificates are made for home networks only, and {foreign} is in none;"
                " leave --tls out, or give another --address",
                foreign=foreign[0],
            ),
            ExitCode.USAGE,
        )
    made = give_certificates(addresses)
    return Secrecy(str(made.chain), str(made.key), str(made.authority), made.fingerprint)


@click.command("devices", short_help="Tablets that are paired; let one go.")
@click.option("--revoke", metavar="NAME", help="Let a device go: it sees nothing any more.")
def devices_command(revoke: str | None) -> int:
    """List the tablets that were paired with this machine, or let one go.

    \b
    Examples:
      shopstep devices
      shopstep devices --revoke "tablet 1"
    """
    book = open_device_book()
    with plain_problems():
        if revoke is not None:
            return _let_go(revoke)
        devices = book.all()
    if not devices:
        click.echo(say("No device is paired. To pair one: shopstep tablet --lan"))
    for device in devices:
        click.echo(
            say(
                "{device_name}: paired {moment} from {address}, last here {moment_2}",
                device_name=device.name,
                moment=_moment(device.paired_s),
                address=device.address,
                moment_2=_moment(device.seen_s),
            )
        )
    return ExitCode.OK


def _let_go(name: str) -> int:
    book = open_device_book()
    if not book.let_go(name):
        known = ", ".join(device.name for device in book.all()) or say("none is paired")
        raise Problem(
            say("there is no device '{name}' ({known})", name=name, known=known), ExitCode.USAGE
        )
    click.echo(say("{name} is let go; it sees nothing any more.", name=name))
    return ExitCode.OK


def _moment(at_s: int) -> str:
    return f"{datetime.fromtimestamp(at_s).astimezone():%Y-%m-%d %H:%M}"
