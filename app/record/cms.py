"""Detached CMS signatures (RFC 5652, attributes of CAdES), checked more strictly than the standard asks.

A signature is put together from five things only: certificate, digest of the content, meaning, time, RSA
signature. To check one, the five are taken out, put together again, and the bytes have to be the same. So
there is no room for another encoding, for a second certificate, for unsigned attributes, or for anything else
that a lax reader skips.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from app.record import der
from app.record.certificates import Certificate, certificate_of, load_x509
from app.record.der import element, oid, set_of, whole
from app.record.people_keys import Unlocked
from app.record.problem import Altered, KeyProblem, SigningProblem
from ctcore.errors import BadInput

Meaning = Literal["tested", "approved", "issued", "sent back", "archived"]

# Source: RFC 5652 (CMS), clauses 4, 5 and 11; RFC 5035 for the signing certificate; RFC 5126, clause 5.11.1,
# for the commitment types: proof of creation, of approval, of origin, of receipt, of delivery into a store.
_COMMITMENTS: Final[dict[Meaning, str]] = {
    "tested": "1.2.840.113549.1.9.16.6.6",
    "approved": "1.2.840.113549.1.9.16.6.5",
    "issued": "1.2.840.113549.1.9.16.6.1",
    "sent back": "1.2.840.113549.1.9.16.6.2",
    "archived": "1.2.840.113549.1.9.16.6.3",
}
_MEANINGS: Final = {oid(dotted): meaning for meaning, dotted in _COMMITMENTS.items()}

_DATA: Final = oid("1.2.840.113549.1.7.1")
_SIGNED_DATA: Final = oid("1.2.840.113549.1.7.2")
_CONTENT_TYPE: Final = oid("1.2.840.113549.1.9.3")
_MESSAGE_DIGEST: Final = oid("1.2.840.113549.1.9.4")
_SIGNING_TIME: Final = oid("1.2.840.113549.1.9.5")
_COMMITMENT: Final = oid("1.2.840.113549.1.9.16.2.16")
_SIGNING_CERTIFICATE: Final = oid("1.2.840.113549.1.9.16.2.47")
_SHA256: Final = element(der.SEQUENCE, oid("2.16.840.1.101.3.4.2.1"))
_RSA_SHA256: Final = element(der.SEQUENCE, oid("1.2.840.113549.1.1.11"), der.NULL)

_TIME: Final = re.compile(rb"[0-9]{12}Z")
# RFC 5652, clause 11.3: two digits of the year up to 2049; no record of this program needs more yet.
_LAST_YEAR: Final = 2049


@dataclass(frozen=True, slots=True)
class Signature:
    """What a checked signature says. `at` is None where the time stands outside of it, as in a PDF."""

    meaning: Meaning
    certificate: Certificate
    at: dt.datetime | None


@dataclass(frozen=True, slots=True)
class _Parts:
    certificate: bytes
    digest: bytes
    meaning: Meaning
    at: dt.datetime | None
    signature: bytes


def sign(content: bytes, key: Unlocked, *, meaning: Meaning, at: dt.datetime) -> bytes:
    """The detached signature over the content, in DER."""
    return sign_digest(hashlib.sha256(content).digest(), key, meaning=meaning, at=at)


def sign_digest(digest: bytes, key: Unlocked, *, meaning: Meaning, at: dt.datetime | None) -> bytes:
    """The detached signature over content with that SHA-256, in DER; without a time where `at` is None."""
    moment = None if at is None else at.astimezone(dt.UTC).replace(microsecond=0)
    if moment is not None and not 2000 <= moment.year <= _LAST_YEAR:
        raise SigningProblem(f"Nothing was signed: this computer's clock says {moment.year}. Set it right.")
    attributes = _attributes(key.certificate.der, digest, meaning, moment)
    signature = key.signed(set_of(attributes))
    return _assembled(_Parts(key.certificate.der, digest, meaning, moment, signature))


def check(content: bytes, signature: bytes, *, what: str) -> Signature:
    """What the signature over the content says; Altered where it does not fit. `what` names the content."""
    return check_digest(hashlib.sha256(content).digest(), signature, what=what)


# Assumption: the same bytes always fit or never, so that a list of people that comes along with every record
# and a signature looked at twice are reckoned once.
@lru_cache(maxsize=64)
def check_digest(digest: bytes, signature: bytes, *, what: str) -> Signature:
    """As `check`, for content with that SHA-256. Whether to trust the certificate is not asked here."""
    try:
        parts = _taken_apart(signature)
    except BadInput as problem:
        raise Altered(f"The signature of {what} is damaged or is none of this program.") from problem
    if parts.digest != digest:
        raise Altered(
            f"{what[0].upper()}{what[1:]} no longer matches its signature: it was changed after signing."
        )
    try:
        certificate = certificate_of(parts.certificate)
        again = _assembled(parts)
    except (BadInput, KeyProblem, IndexError) as problem:
        raise Altered(f"The signature of {what} is damaged or is none of this program.") from problem
    if again != signature:
        raise Altered(f"The signature of {what} is spelled in another way than it was signed.")
    attributes = set_of(_attributes(parts.certificate, parts.digest, parts.meaning, parts.at))
    if not _fits(certificate, attributes, parts.signature):
        raise Altered(f"The signature of {what} was not made with the key of its certificate.")
    return Signature(parts.meaning, certificate, parts.at)


def _fits(certificate: Certificate, attributes: bytes, signature: bytes) -> bool:
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import padding
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPublicKey

    key = load_x509(certificate.der).public_key()
    assert isinstance(key, RSAPublicKey)
    try:
        key.verify(signature, attributes, padding.PKCS1v15(), hashes.SHA256())
    except InvalidSignature:
        return False
    return True


def _attributes(certificate: bytes, digest: bytes, meaning: Meaning, at: dt.datetime | None) -> list[bytes]:
    issuer, serial = _issuer_and_serial(certificate)
    named = element(der.SEQUENCE, element(der.SEQUENCE, element(der.TAGGED_4, issuer)), serial)
    hashed = element(der.OCTETS, hashlib.sha256(certificate).digest())
    certificates = element(der.SEQUENCE, element(der.SEQUENCE, element(der.SEQUENCE, hashed, named)))
    attributes = [
        _attribute(_CONTENT_TYPE, _DATA),
        _attribute(_MESSAGE_DIGEST, element(der.OCTETS, digest)),
        _attribute(_COMMITMENT, element(der.SEQUENCE, oid(_COMMITMENTS[meaning]))),
        _attribute(_SIGNING_CERTIFICATE, certificates),
    ]
    if at is not None:
        attributes.append(_attribute(_SIGNING_TIME, element(der.UTC_TIME, f"{at:%y%m%d%H%M%SZ}".encode())))
    return attributes


def _attribute(kind: bytes, value: bytes) -> bytes:
    return element(der.SEQUENCE, kind, element(der.SET, value))


def _issuer_and_serial(certificate: bytes) -> tuple[bytes, bytes]:
    inside = der.children(der.children(certificate, der.SEQUENCE)[0], der.SEQUENCE)
    return inside[3], inside[1]


def _assembled(parts: _Parts) -> bytes:
    issuer, serial = _issuer_and_serial(parts.certificate)
    signer = element(
        der.SEQUENCE,
        whole(1),
        element(der.SEQUENCE, issuer, serial),
        _SHA256,
        set_of(_attributes(parts.certificate, parts.digest, parts.meaning, parts.at), tag=der.TAGGED_0),
        _RSA_SHA256,
        element(der.OCTETS, parts.signature),
    )
    signed_data = element(
        der.SEQUENCE,
        whole(1),
        element(der.SET, _SHA256),
        element(der.SEQUENCE, _DATA),
        element(der.TAGGED_0, parts.certificate),
        element(der.SET, signer),
    )
    return element(der.SEQUENCE, _SIGNED_DATA, element(der.TAGGED_0, signed_data))


def _taken_apart(signature: bytes) -> _Parts:
    """The five things out of their places; BadInput where there is no such place."""
    try:
        (signed_data,) = der.children(der.children(signature, der.SEQUENCE)[1], der.TAGGED_0)
        _, _, _, certificates, signers = der.children(signed_data, der.SEQUENCE)
        (certificate,) = der.children(certificates, der.TAGGED_0)
        (signer,) = der.children(signers, der.SET)
        _, _, _, attributes, _, signed = der.children(signer, der.SEQUENCE)
        values = dict(_kind_and_value(one) for one in der.children(attributes, der.TAGGED_0))
        commitment = der.children(values[_COMMITMENT], der.SEQUENCE)[0]
        return _Parts(
            certificate=certificate,
            digest=der.content(values[_MESSAGE_DIGEST], der.OCTETS),
            meaning=_MEANINGS[commitment],
            at=_time(values[_SIGNING_TIME]) if _SIGNING_TIME in values else None,
            signature=der.content(signed, der.OCTETS),
        )
    except (KeyError, IndexError, ValueError) as problem:
        raise BadInput("signature", "parts", "are not those that this program writes") from problem


def _kind_and_value(attribute: bytes) -> tuple[bytes, bytes]:
    kind, values = der.children(attribute, der.SEQUENCE)
    (value,) = der.children(values, der.SET)
    return kind, value


def _time(value: bytes) -> dt.datetime:
    text = der.content(value, der.UTC_TIME)
    if not _TIME.fullmatch(text) or int(text[:2]) > _LAST_YEAR - 2000:
        raise BadInput("signature", "time", "is not spelled as this program spells it")
    return dt.datetime.strptime(f"20{text.decode()}", "%Y%m%d%H%M%SZ").replace(tzinfo=dt.UTC)
