"""A certificate of its own for the home network: nobody vouches for it, so a browser warns once and shows its mark."""

from __future__ import annotations

import datetime
import ipaddress
import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cryptography import x509

_DAYS = 365  # how long it holds, a choice; longer ones are refused by some browsers
_LEFT_DAYS = 14  # it is made anew when less is left, a choice


@dataclass(frozen=True)
class Certificate:
    """One file with key and certificate, for its owner's eyes; fingerprint: SHA-256, as browsers show it."""

    file: Path
    fingerprint: str


def certificate(folder: Path, addresses: Sequence[str]) -> Certificate:
    """The one that lies in a folder if it is for these addresses and holds for a while, else a new one in its place.

    The same one is kept, so that a browser that was told to trust it need not be told again. Raises OSError.
    """
    from cryptography import x509

    file = folder / "page-certificate.pem"
    try:
        kept = x509.load_pem_x509_certificate(file.read_bytes())
    except (OSError, ValueError):
        kept = None
    if kept is None or not _holds(kept, addresses):
        folder.mkdir(parents=True, exist_ok=True)
        kept = _made(file, addresses)
    return Certificate(file, _fingerprint(kept))


def _holds(one: x509.Certificate, addresses: Sequence[str]) -> bool:
    from cryptography import x509

    try:
        names = one.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return False
    left = one.not_valid_after_utc - datetime.datetime.now(datetime.UTC)
    of = {str(address) for address in names.get_values_for_type(x509.IPAddress)}
    return of == set(addresses) and left > datetime.timedelta(days=_LEFT_DAYS)


def _made(file: Path, addresses: Sequence[str]) -> x509.Certificate:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import ExtendedKeyUsageOID

    from matcher.store.under_way import begin_file

    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "matcher on your home network")])
    now = datetime.datetime.now(datetime.UTC)
    names = [x509.DNSName("localhost"), *(x509.IPAddress(ipaddress.ip_address(one)) for one in addresses)]
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - datetime.timedelta(days=1))  # clocks of phones differ
        .not_valid_after(now + datetime.timedelta(days=_DAYS))
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(key, hashes.SHA256())
    )
    secret = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    waiting = begin_file(file.parent, ".page-certificate-")
    try:
        waiting.write_bytes(secret + made.public_bytes(serialization.Encoding.PEM))
        os.replace(waiting, file)
    finally:
        waiting.unlink(missing_ok=True)
    return made


def _fingerprint(one: x509.Certificate) -> str:
    from cryptography.hazmat.primitives import hashes

    return one.fingerprint(hashes.SHA256()).hex(":").upper()
