"""A certificate of the shop's own, made on first use, so that phones may keep the pages and work through a dead line."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from ipaddress import ip_address
from pathlib import Path
from typing import Any

from tenths.errors import Refused
from tenths.logbook.files import written_whole

DAYS = 397  # browsers refuse certificates that hold for longer
RENEW_DAYS = 30  # before the end


@dataclass(frozen=True, slots=True)
class Certificate:
    """Where certificate and key are kept, and by what a person can tell that it is this one."""

    certificate: Path
    key: Path
    fingerprint: str


def certificate_for(folder: Path, names: tuple[str, ...], now: datetime) -> Certificate:
    """The certificate in a folder; made anew when there is none, a name is missing, or it ends within a month.

    Args:
        folder: where certificate and key are kept.
        names: what the server is reached by, names and addresses.
        now: the moment, with its time zone.

    Raises:
        Refused: when it cannot be written or read.
    """
    paths = folder / "certificate.pem", folder / "key.pem"
    try:
        if not _holds(paths[0], paths[1], names, now):
            _make(paths[0], paths[1], names, now)
        from cryptography import x509  # noqa: PLC0415 - only TLS needs it

        read = x509.load_pem_x509_certificate(paths[0].read_bytes())
    except (OSError, ValueError) as error:
        raise Refused(f"{folder}: the certificate cannot be made or read: {error}") from None
    return Certificate(paths[0], paths[1], fingerprint_of(read))


def fingerprint_of(certificate: Any) -> str:
    """The SHA-256 of a certificate as browsers show it."""
    from cryptography.hazmat.primitives.serialization import Encoding  # noqa: PLC0415 - only TLS needs it

    digits = sha256(certificate.public_bytes(Encoding.DER)).hexdigest().upper()
    return ":".join(digits[i:i + 2] for i in range(0, len(digits), 2))


def _holds(certificate: Path, key: Path, names: tuple[str, ...], now: datetime) -> bool:
    from cryptography import x509  # noqa: PLC0415 - only TLS needs it

    if not certificate.exists() or not key.exists():
        return False
    try:
        read = x509.load_pem_x509_certificate(certificate.read_bytes())
        said = read.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (ValueError, x509.ExtensionNotFound):
        return False
    has = {str(name.value) for name in said}
    return set(names) <= has and read.not_valid_after_utc - timedelta(days=RENEW_DAYS) > now >= read.not_valid_before_utc


def _make(certificate: Path, key: Path, names: tuple[str, ...], now: datetime) -> None:
    from cryptography import x509  # noqa: PLC0415 - only TLS needs it
    from cryptography.hazmat.primitives import hashes, serialization  # noqa: PLC0415 - the same
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415 - the same

    secret = ec.generate_private_key(ec.SECP256R1())
    own = x509.Name([x509.NameAttribute(x509.oid.NameOID.COMMON_NAME, "Tenths bench")])
    made = (x509.CertificateBuilder().subject_name(own).issuer_name(own).public_key(secret.public_key())
            .serial_number(x509.random_serial_number()).not_valid_before(now - timedelta(hours=1))
            .not_valid_after(now + timedelta(days=DAYS))
            .add_extension(x509.SubjectAlternativeName([_named(name) for name in names]), critical=False)
            .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
            .add_extension(x509.ExtendedKeyUsage([x509.oid.ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
            .sign(secret, hashes.SHA256()))
    certificate.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    key.unlink(missing_ok=True)
    key.touch(mode=0o600)
    key.write_bytes(secret.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8,
                                         serialization.NoEncryption()))
    with written_whole(certificate) as out:
        out.write(made.public_bytes(serialization.Encoding.PEM))


def _named(name: str) -> Any:
    from cryptography import x509  # noqa: PLC0415 - only TLS needs it

    try:
        return x509.IPAddress(ip_address(name))
    except ValueError:
        return x509.DNSName(name)
