"""The commands ``tablet`` and ``devices``: what they say, and where they listen."""

from __future__ import annotations

import asyncio
import re
import socket
from pathlib import Path

import pytest
from click.testing import CliRunner

from shopstep.cli import tablet_addresses
from shopstep.cli import tablet_command as commands
from shopstep.cli.main import run
from shopstep.cli.tablet_addresses import others_of, served_addresses
from shopstep.cli.tablet_command import tablet_command
from shopstep.storage.device_book import DeviceBook
from shopstep.tablet.addresses import own_addresses
from shopstep.tablet.happenings import Happenings
from shopstep.tablet.ports import TabletPlan
from shopstep.tablet.running import pairing_lines, square_code
from shopstep.tablet.server import TabletServer
from shopstep.wiring.problems import Problem
from shopstep.wiring.tablets import open_device_book
from tests.fake_bench import CAUTION, FakeBench
from tests.raw_web import Web
from tests.tablet_run import make_session

NOW_S = 1_800_000_000


def served(tmp_path: Path, *addresses: str) -> TabletServer:
    """A server of a bench that does not exist."""
    plan = TabletPlan(
        title="Sample",
        open_bench=lambda: FakeBench(CAUTION),
        devices=DeviceBook(tmp_path / "tablet"),
        screen_command=("false",),
        addresses=addresses,
        port=0,
    )
    return TabletServer(plan, Happenings(lambda line: None, lambda: 0.0, lambda: "19:00:00"))


async def test_it_listens_where_it_is_told_and_nowhere_else(tmp_path: Path) -> None:
    server = served(tmp_path, "127.0.0.2", "127.0.0.1")
    await server.start()
    try:
        assert server.address == f"http://127.0.0.2:{server.port}"
        for host in ("127.0.0.2", "127.0.0.1", "localhost"):
            asked = Web(server.port).ask
            reply = await asyncio.to_thread(asked, "/", Host=f"{host}:{server.port}")
            assert reply.status == 303, host
        with pytest.raises(ConnectionRefusedError):
            await asyncio.to_thread(socket.create_connection, ("127.0.0.3", server.port))
    finally:
        await server.stop()


async def test_what_is_printed_names_the_address_and_the_code(tmp_path: Path) -> None:
    server = served(tmp_path, "127.0.0.1")
    title, square, code, limits, ways = pairing_lines(server)
    assert title == f"Sample: on a tablet at {server.address}"
    digits = code.removeprefix("Code: ").replace(" ", "")
    assert square == square_code(f"{server.address}/pair#{digits}")
    assert "once" in limits
    assert "5 tries" in limits
    assert "Enter" in ways


def test_devices_are_listed_and_let_go(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["devices"]) == 0
    assert "No device is paired" in capsys.readouterr().out
    book = open_device_book()
    book.add("192.0.2.5", NOW_S)
    assert run(["devices"]) == 0
    listed = capsys.readouterr().out
    assert listed.startswith("tablet 1: paired 2027-01-15 08:00 from 192.0.2.5")
    assert run(["devices", "--revoke", "tablet 2"]) == 2
    assert "there is no device 'tablet 2' (tablet 1)" in capsys.readouterr().err
    assert run(["devices", "--revoke", "tablet 1"]) == 0
    assert book.all() == ()


def test_a_session_that_is_not_there_is_told_before_anything_is_served(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["tablet", "nowhere"]) == 4
    assert "There is no session file" in capsys.readouterr().err


def test_a_missing_extra_is_told_with_how_to_get_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("shopstep.tablet.NEEDED", ("a_package_that_is_not_there",))
    assert run(["tablet"]) == 4
    said = capsys.readouterr().err
    assert "a_package_that_is_not_there" in said
    assert "pip install '.[tablet]'" in said


def test_a_machine_in_no_home_network_is_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setattr(commands, "_try_session", lambda path, change: "Sample")
    tablet = ["tablet", str(tmp_path / "x.session")]
    for own, way in (((), "leave --lan out"), (("203.0.113.9",), "--address 203.0.113.9")):
        monkeypatch.setattr(tablet_addresses, "own_addresses", lambda own=own: own)
        assert run([*tablet, "--lan"]) == 4
        said = capsys.readouterr().err
        assert "in no home network" in said
        assert way in said


def test_of_several_networks_one_is_served_and_the_others_are_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    own = ("203.0.113.9", "192.168.1.20", "10.0.0.3")
    monkeypatch.setattr(tablet_addresses, "own_addresses", lambda: own)
    served_there = served_addresses(None, lan=True)
    assert served_there == ("192.168.1.20", "127.0.0.1")
    assert others_of(served_there) == ("10.0.0.3",)
    assert served_addresses("10.0.0.3", lan=False) == ("10.0.0.3", "127.0.0.1")
    assert served_addresses(None, lan=False) == ("127.0.0.1",)
    assert others_of(("127.0.0.1",)) == ()


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("192.168.1.77", "is no address of this machine (192.168.1.20, 8.8.4.4)"),
        ("the laptop", "is no address of this machine"),
        ("8.8.4.4", "can be reached from the internet"),
    ],
)
def test_an_address_that_cannot_be_served_is_told(
    monkeypatch: pytest.MonkeyPatch, asked: str, said: str
) -> None:
    monkeypatch.setattr(tablet_addresses, "own_addresses", lambda: ("192.168.1.20", "8.8.4.4"))
    with pytest.raises(Problem, match=re.escape(said)):
        served_addresses(asked, lan=False)


def test_the_addresses_of_this_machine_are_its_own() -> None:
    for address in own_addresses():
        assert not address.startswith("127.")
        with socket.socket() as probe:
            probe.bind((address, 0))


def test_a_port_that_is_taken_is_told(tmp_path: Path) -> None:
    path = make_session(tmp_path)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        result = CliRunner().invoke(tablet_command, [str(path), "--port", str(port)])
    assert f"port {port} cannot be used" in str(result.exception)
