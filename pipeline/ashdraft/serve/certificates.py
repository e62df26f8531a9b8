"""A certificate authority of this computer's own, and the certificate it gives the pages.

Phones allow a page the microphone only over a line that is encrypted (W3C Secure Contexts). The
authority can vouch for private addresses and `.local` names only (name constraints, RFC 5280,
4.2.1.10), so that a phone which trusts it trusts it with nothing else. Both keys stay in a
folder that only their owner can read.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from ..output import atomic_write

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey

    Made = tuple[x509.Certificate, EllipticCurvePrivateKey]

AUTHORITY_LASTS = timedelta(days=3650)
LASTS = timedelta(days=397)
"""No longer than browsers take a certificate for (CA/Browser Forum baseline, until 2026: 398)."""
_LEFT = timedelta(days=30)
_EARLIER = timedelta(days=1)  # clocks of phones differ
PRIVATE = (
    "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8",
    "100.64.0.0/10", "fc00::/7", "fe80::/10", "::1/128",
)  # fmt: skip
"""RFC 1918, 3927, 1122, 6598, 4193, 4291."""
NAMES = ("local", "localhost")


@dataclass(frozen=True, slots=True)
class Certificates:
    """Files in PEM form: the authority to install on a phone; the pages' chain and their key."""

    authority: Path
    chain: Path
    key: Path

    def fingerprint(self) -> str:
        """The SHA-256 sum of the pages' certificate as browsers show it."""
        from cryptography import x509
        from cryptography.hazmat.primitives.hashes import SHA256

        certificate = x509.load_pem_x509_certificate(self.chain.read_bytes())
        return certificate.fingerprint(SHA256()).hex(" ").upper()


def is_private(address: str) -> bool:
    """Whether the authority can vouch for this address."""
    ip = ipaddress.ip_address(address)
    return any(ip in ipaddress.ip_network(net) for net in PRIVATE)


def certificates(folder: Path, addresses: Sequence[str], names: Sequence[str]) -> Certificates:
    """Return certificates for `addresses` (IP) and `names`, made where those in `folder` do not do.

    Raises OSError.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    folder.chmod(0o700)
    files = Certificates(folder / "ashdraft-ca.crt", folder / "pages.crt", folder / "pages.key")
    authority_key = folder / "ashdraft-ca.key"
    authority = _load(files.authority, authority_key)
    fresh = authority is None
    if authority is None:
        authority = _authority()
        _store(authority_key, _key(authority[1]))
        _store(files.authority, _pem(authority[0]))
    if fresh or not _does(_load(files.chain, files.key), addresses, names):
        made = _signed(authority, addresses, names)
        _store(files.key, _key(made[1]))
        _store(files.chain, _pem(made[0]) + _pem(authority[0]))
    return files


def _authority() -> Made:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.hazmat.primitives.hashes import SHA256

    key = ec.generate_private_key(ec.SECP256R1())
    name = _named("Ashdraft on this computer")
    permitted: list[x509.GeneralName] = [
        *(x509.IPAddress(ipaddress.ip_network(net)) for net in PRIVATE),
        *(x509.DNSName(domain) for domain in NAMES),
    ]
    usage = x509.KeyUsage(
        False, False, False, False, False, True, True, False, False
    )  # signs certificates and revocation lists, nothing else
    builder = (
        _builder(name, name, key, AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
    )
    return builder.sign(key, SHA256()), key


def _signed(authority: Made, addresses: Sequence[str], names: Sequence[str]) -> Made:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.hazmat.primitives.hashes import SHA256
    from cryptography.x509.oid import ExtendedKeyUsageOID

    key = ec.generate_private_key(ec.SECP256R1())
    alternatives: list[x509.GeneralName] = [
        *(x509.IPAddress(ipaddress.ip_address(address)) for address in addresses),
        *(x509.DNSName(name) for name in names),
    ]
    builder = (
        _builder(_named("Ashdraft pages"), authority[0].subject, key, LASTS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.SubjectAlternativeName(alternatives), critical=False)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(authority[1].public_key()),
            critical=False,
        )
    )
    return builder.sign(authority[1], SHA256()), key


def _builder(
    name: x509.Name, issuer: x509.Name, key: EllipticCurvePrivateKey, lasts: timedelta
) -> x509.CertificateBuilder:
    from cryptography import x509

    now = datetime.now(UTC)
    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _EARLIER)
        .not_valid_after(now - _EARLIER + lasts)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _named(text: str) -> x509.Name:
    from cryptography import x509
    from cryptography.x509.oid import NameOID

    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])


def _does(made: Made | None, addresses: Sequence[str], names: Sequence[str]) -> bool:
    """Whether a certificate is for all of these, and not near its end."""
    from cryptography import x509

    if made is None:
        return False
    covered = made[0].extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    ips = {str(ip) for ip in covered.get_values_for_type(x509.IPAddress)}
    return ips >= set(addresses) and set(covered.get_values_for_type(x509.DNSName)) >= set(names)


def _load(certificate: Path, key: Path) -> Made | None:
    """A certificate and its key; None where one is missing, damaged or nearly over."""
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    try:
        read = x509.load_pem_x509_certificate(certificate.read_bytes())
        private = load_pem_private_key(key.read_bytes(), None)
    except (OSError, ValueError):
        return None
    if not isinstance(private, EllipticCurvePrivateKey):
        return None
    if read.public_key() != private.public_key():
        return None
    return (read, private) if read.not_valid_after_utc - datetime.now(UTC) > _LEFT else None


def _pem(certificate: x509.Certificate) -> bytes:
    from cryptography.hazmat.primitives.serialization import Encoding

    return certificate.public_bytes(Encoding.PEM)


def _key(key: EllipticCurvePrivateKey) -> bytes:
    from cryptography.hazmat.primitives.serialization import (
        Encoding,
        NoEncryption,
        PrivateFormat,
    )

    return key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())


def _store(path: Path, data: bytes) -> None:
    path.touch(mode=0o600)
    atomic_write(path, data)
