"""X.509 certificates of people and of the office: how they are made, and what can be read from them.

Format: the subject of a person holds the name (CN), the person's number in the records (UID) and, where the
office enrolled the person, one OU per role. Keys are RSA-3072; there is no extended key usage, because none
of those that are registered means "signs test records" and a reader of PDF would refuse the rest.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final, Literal, cast

from app.record import der
from app.record.canonical import digest
from app.record.problem import KeyProblem

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPrivateKey, RSAPublicKey

Role = Literal["tester", "approver", "archive"]
ROLES: Final[tuple[Role, ...]] = ("tester", "approver", "archive")

KEY_BITS: Final = 3072
PUBLIC_EXPONENT: Final = 65537
# Practice: a person's certificate is renewed every two years (common practice, no source).
PERSON_YEARS: Final = 2
OFFICE_YEARS: Final = 10
_DAY: Final = dt.timedelta(days=1)
_LONGEST_NAME: Final = 64


@dataclass(frozen=True, slots=True)
class Certificate:
    """What a certificate says. `der` is the certificate itself, `fingerprint` its SHA-256."""

    der: bytes
    name_text: str
    person_id: str
    roles: tuple[Role, ...]
    from_utc: dt.datetime
    until_utc: dt.datetime
    self_signed: bool
    fingerprint: str
    key_fingerprint: str


# Assumption: the same bytes always say the same, so that the few certificates of an office are read once.
@lru_cache(maxsize=256)
def certificate_of(data: bytes) -> Certificate:
    """The certificate of DER or PEM bytes; KeyProblem where they are none that this program uses."""
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPublicKey
    from cryptography.hazmat.primitives.serialization import Encoding
    from cryptography.x509.oid import NameOID

    try:
        made = load_x509(data)
        key = made.public_key()
        if not isinstance(key, RSAPublicKey) or key.key_size < KEY_BITS:
            raise ValueError("another kind of key")
        subject = made.subject
        units = [str(unit.value) for unit in subject.get_attributes_for_oid(NameOID.ORGANIZATIONAL_UNIT_NAME)]
        spelled = made.public_bytes(Encoding.DER)
        return Certificate(
            der=spelled,
            name_text=named(subject)[0],
            person_id=named(subject)[1],
            roles=tuple(role for role in ROLES if role in units),
            from_utc=made.not_valid_before_utc,
            until_utc=made.not_valid_after_utc,
            self_signed=made.issuer == subject,
            fingerprint=digest(spelled),
            key_fingerprint=key_fingerprint(key),
        )
    # Assumption: on bytes that somebody else arranged, the library may raise anything.
    except Exception as problem:
        raise KeyProblem("This is no certificate that this program can use.") from problem


def load_x509(data: bytes) -> x509.Certificate:
    """The library's certificate of DER or PEM bytes; ValueError where they are none."""
    from cryptography import x509

    if b"-----BEGIN" in data:
        return x509.load_pem_x509_certificate(data)
    # The library warns of a serial number of zero or less before it takes it; one of ours is never so.
    serial = der.content(der.children(der.children(data, der.SEQUENCE)[0], der.SEQUENCE)[1], der.INTEGER)
    if not int.from_bytes(serial, "big", signed=True) > 0:
        raise ValueError("not a serial number")
    return x509.load_der_x509_certificate(data)


def pem_of(*certificates: bytes) -> bytes:
    """Certificates in PEM, one after the other."""
    from cryptography.hazmat.primitives.serialization import Encoding

    return b"".join(load_x509(one).public_bytes(Encoding.PEM) for one in certificates)


def new_key() -> RSAPrivateKey:
    """A new private key."""
    from cryptography.hazmat.primitives.asymmetric import rsa

    return rsa.generate_private_key(public_exponent=PUBLIC_EXPONENT, key_size=KEY_BITS)


def subject_of(name_text: str, person_id: str, roles: tuple[Role, ...] = ()) -> x509.Name:
    """The subject of a person; KeyProblem where the name does not fit into a certificate."""
    from cryptography import x509
    from cryptography.x509.oid import NameOID

    if not name_text.strip() or not person_id.strip():
        raise KeyProblem("No key was made: a key is made for a person with a name. Say first who you are.")
    if len(name_text) > _LONGEST_NAME or len(person_id) > _LONGEST_NAME:
        raise KeyProblem(f"No key was made: a name in a certificate has at most {_LONGEST_NAME} characters.")
    return x509.Name(
        [
            x509.NameAttribute(NameOID.COMMON_NAME, name_text),
            x509.NameAttribute(NameOID.USER_ID, person_id),
            *(x509.NameAttribute(NameOID.ORGANIZATIONAL_UNIT_NAME, role) for role in roles),
        ]
    )


def office_subject(name_text: str) -> x509.Name:
    """The subject of an office."""
    from cryptography import x509
    from cryptography.x509.oid import NameOID

    if not name_text.strip() or len(name_text) > _LONGEST_NAME:
        raise KeyProblem(f"No office was made: its name has 1 to {_LONGEST_NAME} characters.")
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name_text)])


def issue(
    subject: x509.Name,
    public: RSAPublicKey,
    *,
    issuer: x509.Name,
    by: RSAPrivateKey,
    at: dt.datetime,
    years: int,
    office: bool = False,
) -> bytes:
    """A certificate in DER, in force from `at`, signed by the key `by`."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.serialization import Encoding

    start = at.astimezone(dt.UTC).replace(microsecond=0)
    builder = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(start)
        .not_valid_after(start + 365 * years * _DAY)
        .add_extension(x509.BasicConstraints(ca=office, path_length=0 if office else None), critical=True)
        .add_extension(_usage(office=office), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(by.public_key()), critical=False)
    )
    return builder.sign(by, hashes.SHA256()).public_bytes(Encoding.DER)


def key_fingerprint(key: RSAPublicKey) -> str:
    """SHA-256 of a public key, the same in every certificate of it."""
    from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

    return digest(key.public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo))


def named(subject: x509.Name) -> tuple[str, str]:
    """The name and the number of the person of a subject, each empty where it does not stand there once."""
    from cryptography.x509.oid import NameOID

    return _one(subject, NameOID.COMMON_NAME), _one(subject, NameOID.USER_ID)


@lru_cache(maxsize=256)
def is_issued_by(certificate: bytes, office: bytes) -> bool:
    """Whether the office signed this certificate, and whether it is one of an office at all."""
    from cryptography.exceptions import InvalidSignature

    try:
        load_x509(certificate).verify_directly_issued_by(load_x509(office))
    except (ValueError, TypeError, InvalidSignature):
        return False
    return is_office(office)


def is_office(certificate: bytes) -> bool:
    """Whether the certificate is one that may enrol others."""
    from cryptography import x509

    try:
        extensions = load_x509(certificate).extensions
        return bool(extensions.get_extension_for_class(x509.BasicConstraints).value.ca)
    except (ValueError, x509.ExtensionNotFound):
        return False


def is_valid_at(certificate: Certificate, at: dt.datetime) -> bool:
    """Whether the certificate was in force at that time."""
    return certificate.from_utc <= at <= certificate.until_utc


def _usage(*, office: bool) -> x509.KeyUsage:
    from cryptography import x509

    return x509.KeyUsage(
        digital_signature=True,
        content_commitment=not office,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=office,
        crl_sign=office,
        encipher_only=False,
        decipher_only=False,
    )


def _one(subject: x509.Name, kind: x509.ObjectIdentifier) -> str:
    found = subject.get_attributes_for_oid(kind)
    text = cast(str, found[0].value) if len(found) == 1 else ""
    # Safety: a name is shown in sentences and in the read-me; it must not bring lines of its own.
    return "".join(sign if sign.isprintable() else "?" for sign in text)
