"""The certificate authority: what it vouches for, and what it cannot."""

from __future__ import annotations

import ipaddress
import shutil
import ssl
import stat
import subprocess
from pathlib import Path

import pytest
from ashdraft.errors import UsageError
from ashdraft.serve import certificates as made
from ashdraft.serve.network import lan_address
from cryptography import x509

from tests.needs import need

ADDRESS = "192.168.1.20"


def verified(folder: Path, files: made.Certificates, *options: str) -> str:
    """What OpenSSL, which has its own verifier (RFC 5280), says of the pages' certificate."""
    need(shutil.which("openssl"), "openssl is not installed (Debian package openssl)")
    command = ["openssl", "verify", "-x509_strict", "-CAfile", str(files.authority), *options]
    done = subprocess.run([*command, str(files.chain)], capture_output=True, text=True)
    return done.stdout + done.stderr


def test_pages_are_vouched_for(tmp_path: Path) -> None:
    files = made.certificates(tmp_path / "state", [ADDRESS], ["desk.local"])
    assert ": OK" in verified(tmp_path, files, "-verify_ip", ADDRESS, "-purpose", "sslserver")
    assert ": OK" in verified(tmp_path, files, "-verify_hostname", "desk.local")
    assert "mismatch" in verified(tmp_path, files, "-verify_ip", "192.168.1.21")


@pytest.mark.parametrize(
    ("addresses", "names"), [(["8.8.8.8"], []), ([ADDRESS], ["bank.example"]), (["2600::1"], [])]
)
def test_the_authority_cannot_vouch_for_the_internet(
    tmp_path: Path, addresses: list[str], names: list[str]
) -> None:
    """Even whoever steals its key cannot pose as a bank (RFC 5280, 4.2.1.10)."""
    files = made.certificates(tmp_path / "state", addresses, names)
    assert "permitted subtree violation" in verified(tmp_path, files)


def test_keys_are_their_owners_alone(tmp_path: Path) -> None:
    files = made.certificates(tmp_path / "state", [ADDRESS], [])
    assert stat.S_IMODE((tmp_path / "state").stat().st_mode) == 0o700
    for path in (files.key, tmp_path / "state" / "ashdraft-ca.key"):
        assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_certificates_are_kept_and_made_anew_where_they_do_not_do(tmp_path: Path) -> None:
    """A phone that was told to go on is not asked again at every start."""
    first = made.certificates(tmp_path, [ADDRESS], ["desk.local"])
    authority, chain, sum = (
        first.authority.read_bytes(),
        first.chain.read_bytes(),
        first.fingerprint(),
    )
    assert made.certificates(tmp_path, [ADDRESS], ["desk.local"]).chain.read_bytes() == chain
    moved = made.certificates(tmp_path, ["10.0.0.4"], ["desk.local"])
    assert moved.authority.read_bytes() == authority
    assert moved.fingerprint() != sum
    context = ssl.create_default_context(cafile=str(moved.authority))
    context.load_cert_chain(moved.chain, moved.key)
    (tmp_path / "pages.key").write_text("damaged")
    assert made.certificates(tmp_path, ["10.0.0.4"], []).key.read_text() != "damaged"
    leaf = x509.load_pem_x509_certificate(moved.chain.read_bytes())
    days = (leaf.not_valid_after_utc - leaf.not_valid_before_utc).days
    assert days <= 398


@pytest.mark.parametrize("address", ["8.8.8.8", "bank.example", "", "0.0.0.0", "::"])
def test_only_a_home_network_is_served(address: str) -> None:
    with pytest.raises(UsageError):
        lan_address(address)


def test_a_private_address_is_taken() -> None:
    for net in made.PRIVATE:
        inside = str(ipaddress.ip_network(net)[1 if "/128" not in net else 0])
        assert lan_address(inside) == inside
