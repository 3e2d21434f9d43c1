"""TLS with this machine's own authority: believed where it is installed, for homes only."""

from __future__ import annotations

import socket
import ssl
import stat
from collections.abc import Iterator
from contextlib import closing, suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509

from shopstep.storage.certificates import RENEWED_DAYS, SERVER_DAYS, CertificateShelf
from tests.raw_web import Web, next_text
from tests.tablet_run import TabletRun, make_session

NOW = datetime(2026, 1, 15, tzinfo=UTC)
HOME = ("192.168.1.20", "127.0.0.1")


@pytest.fixture(scope="module")
def run(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TabletRun]:
    """A server that speaks TLS."""
    started = TabletRun(make_session(tmp_path_factory.mktemp("secret")), "--tls")
    started.code = started.next_code()
    yield started
    assert started.stop() == 0


def authority_of(run: TabletRun) -> str:
    """The file that a tablet installs."""
    return str(run.folder / "xdg_data_home" / "shopstep" / "tablet" / "trust" / "authority.pem")


def test_a_tablet_that_trusts_this_machine_is_served_in_secret(run: TabletRun) -> None:
    web = Web(run.port, authority=authority_of(run))
    reply = web.pair(run.code)
    assert reply.status == 204
    assert "Secure" in reply.headers["set-cookie"]
    paired = Web(run.port, reply.headers["set-cookie"].split(";")[0], authority_of(run))
    assert paired.ask("/").status == 200
    assert "wss://" in paired.ask("/").headers["content-security-policy"]
    link, opened = paired.open("/card")
    with closing(link):
        assert opened.status == 101
        next_text(link, "card")


def test_the_authority_is_given_to_who_asks_and_nothing_else(run: TabletRun) -> None:
    web = Web(run.port, authority=authority_of(run))
    reply = web.ask("/authority.crt")
    assert reply.headers["content-type"].startswith("application/x-x509-ca-cert")
    assert reply.body == Path(authority_of(run)).read_bytes()
    assert b"PRIVATE" not in reply.body
    assert web.ask("/card.js").status == 401


def test_who_does_not_trust_it_is_warned(run: TabletRun) -> None:
    context = ssl.create_default_context()
    with (
        socket.create_connection(("127.0.0.1", run.port)) as link,
        pytest.raises(ssl.SSLCertVerificationError),
    ):
        context.wrap_socket(link, server_hostname="127.0.0.1")


def test_plain_words_and_old_protocols_get_nothing(run: TabletRun) -> None:
    with suppress(ConnectionError):
        assert Web(run.port).ask("/").status == 0
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    with pytest.warns(DeprecationWarning, match="TLSv1_1"):
        context.minimum_version = context.maximum_version = ssl.TLSVersion.TLSv1_1
    with (
        socket.create_connection(("127.0.0.1", run.port)) as link,
        pytest.raises((ssl.SSLError, ConnectionError)),
    ):
        context.wrap_socket(link)


def test_certificates_stay_until_they_run_out_or_the_address_changes(tmp_path: Path) -> None:
    shelf = CertificateShelf(tmp_path / "trust")
    first = shelf.give(HOME, NOW)
    made = first.chain.read_bytes()
    again = shelf.give(HOME, NOW + timedelta(days=SERVER_DAYS - RENEWED_DAYS - 2))
    assert again == first
    assert again.chain.read_bytes() == made
    shelf.give(("192.168.1.21",), NOW)
    moved = first.chain.read_bytes()
    assert moved != made
    later = shelf.give(("192.168.1.21",), NOW + timedelta(days=SERVER_DAYS))
    assert later.chain.read_bytes() != moved
    assert later.fingerprint == first.fingerprint, "what the tablet trusts stays"


def test_a_damaged_certificate_is_made_anew(tmp_path: Path) -> None:
    shelf = CertificateShelf(tmp_path / "trust")
    made = shelf.give(HOME, NOW)
    made.chain.write_text("gone", encoding="ascii")
    shelf.give(HOME, NOW)
    assert x509.load_pem_x509_certificate(made.chain.read_bytes())


def test_keys_are_for_their_owner_alone(tmp_path: Path) -> None:
    made = CertificateShelf(tmp_path / "trust").give(HOME, NOW)
    for key in (made.key, made.authority.with_suffix(".key")):
        assert stat.S_IMODE(key.stat().st_mode) == 0o600
        assert b"PRIVATE KEY" in key.read_bytes()


def test_the_authority_can_speak_for_homes_only(tmp_path: Path) -> None:
    # RFC 5280, 4.2.1.10: a critical constraint; no address outside, no name but localhost
    made = CertificateShelf(tmp_path / "trust").give(HOME, NOW)
    authority = x509.load_pem_x509_certificate(made.authority.read_bytes())
    found = authority.extensions.get_extension_for_class(x509.NameConstraints)
    assert found.critical
    permitted = found.value.permitted_subtrees or []
    nets = [name.value for name in permitted if isinstance(name, x509.IPAddress)]
    assert all(getattr(net, "is_private", False) for net in nets)
    names = [name.value for name in permitted if isinstance(name, x509.DNSName)]
    assert names == ["localhost"]
    basic = authority.extensions.get_extension_for_class(x509.BasicConstraints).value
    assert (basic.ca, basic.path_length) == (True, 0)
