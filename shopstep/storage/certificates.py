"""This machine's own small certificate authority, and the certificate that it gives the server.

The authority may only speak for addresses of home networks (name constraints, RFC 5280, 4.2.1.10),
so that a tablet that trusts it can be told nothing about any other place, even with its key.
Imports cryptography, late.
"""

from __future__ import annotations

import ipaddress
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from shopstep.storage.private_file import PRIVATE_FOLDER, write_private

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey

HOMES = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8")
"""Private (RFC 1918), link-local (RFC 3927) and this machine itself."""
AUTHORITY_DAYS = 3650
SERVER_DAYS = 397
"""Browsers take no longer ones (398 days, CA/Browser Forum baseline requirements, 6.3.2)."""
RENEWED_DAYS = 60
"""A certificate with fewer days left is made anew."""


@dataclass(frozen=True, slots=True)
class Certificates:
    """What a server needs to speak TLS, and what a tablet needs to believe it."""

    chain: Path
    key: Path
    authority: Path
    """To be installed on the tablet."""
    fingerprint: str
    """SHA-256 of the authority, to be compared by eye: ``AB:CD:…``."""


class CertificateShelf:
    """The authority and the server's certificate, in files of their own."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def give(self, addresses: tuple[str, ...], now: datetime | None = None) -> Certificates:
        """Certificates that hold for these addresses now; made where there are none yet."""
        now = now or datetime.now(UTC)
        self._folder.parent.mkdir(parents=True, exist_ok=True)
        self._folder.mkdir(mode=PRIVATE_FOLDER, exist_ok=True)
        authority, key = self._authority(now)
        if not self._serves(authority, addresses, now):
            self._make_server(authority, key, addresses, now)
        return Certificates(
            self._folder / "server.pem",
            self._folder / "server.key",
            self._folder / "authority.pem",
            _fingerprint(authority),
        )

    def _authority(self, now: datetime) -> tuple[x509.Certificate, EllipticCurvePrivateKey]:
        certificate, key = self._read("authority")
        if certificate is not None and key is not None and _days_left(certificate, now) > 0:
            return certificate, key
        return self._make_authority(now)

    def _make_authority(self, now: datetime) -> tuple[x509.Certificate, EllipticCurvePrivateKey]:
        from cryptography import x509
        from cryptography.hazmat.primitives.asymmetric import ec

        key = ec.generate_private_key(ec.SECP256R1())
        name = _name(f"shopstep on this machine, {now:%Y-%m-%d}")
        homes = [x509.IPAddress(ipaddress.ip_network(home)) for home in HOMES]
        builder = (
            _begin(name, name, key, now, AUTHORITY_DAYS)
            .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
            .add_extension(_usage(signs=True), critical=True)
            .add_extension(
                x509.NameConstraints([*homes, x509.DNSName("localhost")], None), critical=True
            )
        )
        return self._keep("authority", _sign(builder, key), key), key

    def _make_server(
        self,
        authority: x509.Certificate,
        signer: EllipticCurvePrivateKey,
        addresses: tuple[str, ...],
        now: datetime,
    ) -> None:
        from cryptography import x509
        from cryptography.hazmat.primitives.asymmetric import ec

        key = ec.generate_private_key(ec.SECP256R1())
        names: list[x509.GeneralName] = [x509.DNSName("localhost")]
        names += [x509.IPAddress(ipaddress.ip_address(address)) for address in addresses]
        server_auth = x509.ExtendedKeyUsage([x509.ObjectIdentifier("1.3.6.1.5.5.7.3.1")])
        builder = (
            _begin(_name("shopstep tablet"), authority.subject, key, now, SERVER_DAYS)
            .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
            .add_extension(_usage(signs=False), critical=True)
            .add_extension(server_auth, critical=False)
            .add_extension(x509.SubjectAlternativeName(names), critical=False)
            .add_extension(
                x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()),
                critical=False,
            )
        )
        self._keep("server", _sign(builder, signer), key)

    def _serves(
        self, authority: x509.Certificate, addresses: tuple[str, ...], now: datetime
    ) -> bool:
        from cryptography import x509

        certificate, key = self._read("server")
        if certificate is None or key is None or _days_left(certificate, now) < RENEWED_DAYS:
            return False
        with suppress(Exception):  # a broken or foreign one is made anew
            certificate.verify_directly_issued_by(authority)
            named = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName)
            known = {str(address) for address in named.value.get_values_for_type(x509.IPAddress)}
            return known.issuperset(addresses)
        return False

    def _read(self, name: str) -> tuple[x509.Certificate | None, EllipticCurvePrivateKey | None]:
        from cryptography import x509
        from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
        from cryptography.hazmat.primitives.serialization import load_pem_private_key

        try:
            text = (self._folder / f"{name}.pem").read_bytes()
            key = load_pem_private_key((self._folder / f"{name}.key").read_bytes(), None)
            certificate = x509.load_pem_x509_certificate(text)
        except (OSError, ValueError):
            return None, None
        same = key.public_key() == certificate.public_key()
        return (
            (certificate, key)
            if isinstance(key, EllipticCurvePrivateKey) and same
            else (None, None)
        )

    def _keep(
        self, name: str, certificate: x509.Certificate, key: EllipticCurvePrivateKey
    ) -> x509.Certificate:
        from cryptography.hazmat.primitives import serialization as s

        plain = key.private_bytes(s.Encoding.PEM, s.PrivateFormat.PKCS8, s.NoEncryption())
        write_private(self._folder / f"{name}.key", plain.decode("ascii"))
        text = certificate.public_bytes(s.Encoding.PEM).decode("ascii")
        write_private(self._folder / f"{name}.pem", text)
        return certificate


def _begin(
    subject: x509.Name,
    issuer: x509.Name,
    key: EllipticCurvePrivateKey,
    now: datetime,
    days: int,
) -> x509.CertificateBuilder:
    from cryptography import x509

    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))  # a tablet's clock may lag
        .not_valid_after(now - timedelta(days=1) + timedelta(days=days))
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _sign(builder: x509.CertificateBuilder, key: EllipticCurvePrivateKey) -> x509.Certificate:
    from cryptography.hazmat.primitives.hashes import SHA256

    return builder.sign(key, SHA256())


def _name(text: str) -> x509.Name:
    from cryptography import x509

    return x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, text)])


def _usage(*, signs: bool) -> x509.KeyUsage:
    from cryptography import x509

    return x509.KeyUsage(
        digital_signature=not signs,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs,
        crl_sign=signs,
        encipher_only=False,
        decipher_only=False,
    )


def _days_left(certificate: x509.Certificate, now: datetime) -> int:
    return (certificate.not_valid_after_utc - now).days


def _fingerprint(certificate: x509.Certificate) -> str:
    from cryptography.hazmat.primitives.hashes import SHA256

    return certificate.fingerprint(SHA256()).hex(":").upper()
