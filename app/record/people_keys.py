"""The key of a person: made on first use, sealed at rest, unlocked for signing, enrolled by the office.

Two files in a folder of keys: `<person>.key.json`, the envelope, and `<person>.pem`, the certificate, which
is self-signed until the office has enrolled the person. A growing delay after wrong passphrases is the
window's.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from app.record import certificates, envelope
from app.record.certificates import Certificate, certificate_of
from app.record.files import write_whole
from app.record.problem import KeyProblem

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPrivateKey

KIND: Final = "person"
PKCS12_WARNING: Final = (
    "Whoever gets hold of this file can try passphrases on it at great speed, because its format makes each "
    "try cheap: use a long passphrase of its own, hand it over in person and delete it afterwards. "
    "The key of this program stays in its own file."
)
_KEY_SUFFIX: Final = ".key.json"
_PLAIN_ID: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")


@dataclass(frozen=True, slots=True)
class Unlocked:
    """A key that can sign; keep it no longer than the signing takes."""

    certificate: Certificate
    private: RSAPrivateKey

    def __repr__(self) -> str:
        return f"Unlocked({self.certificate.name_text})"

    def signed(self, data: bytes) -> bytes:
        """The RSA signature (PKCS #1 v1.5 with SHA-256) over the bytes."""
        from cryptography.hazmat.primitives import hashes
        from cryptography.hazmat.primitives.asymmetric import padding

        return self.private.sign(data, padding.PKCS1v15(), hashes.SHA256())


def has_key(folder: Path, person_id: str) -> bool:
    """Whether there is a key of this person in the folder."""
    return _key_path(folder, person_id).exists()


def people_in(folder: Path) -> list[str]:
    """The numbers of everybody whose key lies in the folder."""
    return sorted(path.name.removesuffix(_KEY_SUFFIX) for path in folder.glob(f"*{_KEY_SUFFIX}"))


def make(folder: Path, *, person_id: str, name_text: str, passphrase: str, at: dt.datetime) -> Unlocked:
    """A new key with a self-signed certificate, kept in the folder; KeyProblem where there is one already."""
    path = _key_path(folder, person_id)
    if path.exists():
        raise KeyProblem(f"{name_text} has a key here already. It was left as it is.")
    subject = certificates.subject_of(name_text, person_id)
    private = certificates.new_key()
    der = certificates.issue(
        subject, private.public_key(), issuer=subject, by=private, at=at, years=certificates.PERSON_YEARS
    )
    sealed = envelope.seal(private_bytes(private), passphrase, {"kind": KIND, "person_id": person_id})
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    # The certificate first: a key without one could not be used, a certificate without a key is no harm.
    write_whole(_certificate_path(folder, person_id), certificates.pem_of(der))
    envelope.save(sealed, path)
    return Unlocked(certificate_of(der), private)


def unlock(folder: Path, person_id: str, passphrase: str) -> Unlocked:
    """The key of a person, able to sign; WrongPassphrase or another KeyProblem where it does not open."""
    sealed = envelope.load(_key_path(folder, person_id))
    certificate = load_certificate(folder, person_id)
    if sealed.about != {"kind": KIND, "person_id": person_id}:
        raise KeyProblem("The key file is that of somebody else. Nothing was unlocked.")
    private = private_of(envelope.unseal(sealed, passphrase))
    demand_pair(private, certificate)
    return Unlocked(certificate, private)


def load_certificate(folder: Path, person_id: str) -> Certificate:
    """The certificate kept beside the key of a person."""
    try:
        return certificate_of(_certificate_path(folder, person_id).read_bytes())
    except OSError as problem:
        raise KeyProblem("The certificate beside the key cannot be read. Put back your copy.") from problem


def request(key: Unlocked) -> bytes:
    """What the person hands to the office to be enrolled: a certificate request in PEM, no secret in it."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.serialization import Encoding

    subject = certificates.subject_of(key.certificate.name_text, key.certificate.person_id)
    builder = x509.CertificateSigningRequestBuilder().subject_name(subject)
    return builder.sign(key.private, hashes.SHA256()).public_bytes(Encoding.PEM)


def take_certificate(folder: Path, person_id: str, pem: bytes) -> Certificate:
    """Put the office's certificate in place of the one there; KeyProblem where it is for another key."""
    given, old = certificate_of(pem), load_certificate(folder, person_id)
    if given.key_fingerprint != old.key_fingerprint or given.person_id != person_id:
        raise KeyProblem("This certificate is for another key or another person. The old one stays.")
    write_whole(_certificate_path(folder, person_id), certificates.pem_of(given.der))
    return given


def change_passphrase(folder: Path, person_id: str, *, old: str, new: str) -> None:
    """Seal the key again under a new passphrase. Copies of the old file still open with the old one."""
    key = unlock(folder, person_id, old)
    sealed = envelope.seal(private_bytes(key.private), new, {"kind": KIND, "person_id": person_id})
    envelope.save(sealed, _key_path(folder, person_id))


def export_pkcs12(key: Unlocked, passphrase: str) -> tuple[bytes, str]:
    """The key as a PKCS #12 file for another program, and the warning to show before it is written."""
    from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, pkcs12

    weak = envelope.weakness(passphrase)
    if weak:
        raise KeyProblem(f"Nothing was exported. {weak}")
    data = pkcs12.serialize_key_and_certificates(
        key.certificate.name_text.encode(),
        key.private,
        certificates.load_x509(key.certificate.der),
        None,
        BestAvailableEncryption(passphrase.encode()),
    )
    return data, PKCS12_WARNING


def private_bytes(private: RSAPrivateKey) -> bytes:
    """The private key in PKCS #8, unsealed: to be sealed at once."""
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

    return private.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())


def private_of(data: bytes) -> RSAPrivateKey:
    """The private key of unsealed bytes."""
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPrivateKey
    from cryptography.hazmat.primitives.serialization import load_der_private_key

    try:
        private = load_der_private_key(data, password=None)
    except ValueError as problem:
        raise KeyProblem("The key file holds something else than a key.") from problem
    if not isinstance(private, RSAPrivateKey):
        raise KeyProblem("The key file holds a key of another kind.")
    return private


def demand_pair(private: RSAPrivateKey, certificate: Certificate) -> None:
    """KeyProblem where the certificate is for another key."""
    public = certificates.load_x509(certificate.der).public_key()
    if public != private.public_key():
        raise KeyProblem("The certificate beside the key is for another key. Nothing was unlocked.")


def _key_path(folder: Path, person_id: str) -> Path:
    return folder / f"{_plain(person_id)}{_KEY_SUFFIX}"


def _certificate_path(folder: Path, person_id: str) -> Path:
    return folder / f"{_plain(person_id)}.pem"


def _plain(person_id: str) -> str:
    """The number of a person as part of a file name; it must not lead out of the folder."""
    if not _PLAIN_ID.fullmatch(person_id):
        raise KeyProblem("The number of the person in the records has signs that no file name takes.")
    return person_id
