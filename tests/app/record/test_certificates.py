from __future__ import annotations

import datetime as dt

import pytest

from app.record import certificates
from app.record.certificates import certificate_of, is_issued_by, is_office, is_valid_at
from app.record.problem import KeyProblem
from tests.app.record.signed_scene import MADE, key_of, office, person, the_tester


def made_with(public: object, *, serial: int = 7) -> bytes:
    """A certificate of another make for that public key."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.serialization import Encoding

    name = certificates.subject_of("A. Tester", "p1")
    builder = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(public)  # type: ignore[arg-type]
        .serial_number(serial)
        .not_valid_before(MADE)
        .not_valid_after(MADE + dt.timedelta(days=1))
    )
    return builder.sign(key_of("A. Tester"), hashes.SHA256()).public_bytes(Encoding.DER)


def test_an_enrolled_certificate_says_who_and_what_for() -> None:
    certificate = the_tester().certificate

    assert (certificate.name_text, certificate.roles, certificate.self_signed) == (
        "A. Tester",
        ("tester",),
        False,
    )


def test_a_certificate_counts_from_its_first_to_its_last_second() -> None:
    certificate = the_tester().certificate
    second = dt.timedelta(seconds=1)

    assert is_valid_at(certificate, certificate.from_utc)
    assert is_valid_at(certificate, certificate.until_utc)
    assert not is_valid_at(certificate, certificate.from_utc - second)
    assert not is_valid_at(certificate, certificate.until_utc + second)


def test_the_office_has_issued_what_it_signed_and_nothing_else() -> None:
    foreign = office("Foreign Office").certificate.der

    assert is_issued_by(the_tester().certificate.der, office().certificate.der)
    assert not is_issued_by(the_tester().certificate.der, foreign)


def test_a_person_is_no_office() -> None:
    assert not is_office(the_tester().certificate.der)
    assert is_office(office().certificate.der)


def test_a_certificate_without_extensions_is_no_office() -> None:
    assert not is_office(made_with(key_of("A. Tester").public_key()))


def test_what_a_person_signed_is_not_issued() -> None:
    alone = person("A. Tester", "p1", (), by="").certificate.der

    assert not is_issued_by(alone, alone)


def test_a_weak_key_is_not_used() -> None:
    from cryptography.hazmat.primitives.asymmetric import rsa

    weak = rsa.generate_private_key(public_exponent=65537, key_size=2048).public_key()

    with pytest.raises(KeyProblem):
        certificate_of(made_with(weak))


def test_a_key_of_another_kind_is_not_used() -> None:
    from cryptography.hazmat.primitives.asymmetric import ed25519

    with pytest.raises(KeyProblem):
        certificate_of(made_with(ed25519.Ed25519PrivateKey.generate().public_key()))


def test_a_negative_serial_number_is_not_taken() -> None:
    data = made_with(key_of("A. Tester").public_key(), serial=0x11)

    with pytest.raises(KeyProblem):
        certificate_of(
            data.replace(b"\xa0\x03\x02\x01\x02\x02\x01\x11", b"\xa0\x03\x02\x01\x02\x02\x01\x91", 1)
        )


def test_a_name_brings_no_line_of_its_own_into_a_sentence() -> None:
    certificate = person("A. Tester\nGenuine: all of it", "p1", (), by="", key_name="A. Tester").certificate

    assert certificate.name_text == "A. Tester?Genuine: all of it"


@pytest.mark.parametrize("name_text", ["", " ", "x" * 65])
def test_an_office_has_a_name(name_text: str) -> None:
    with pytest.raises(KeyProblem, match="No office was made"):
        certificates.office_subject(name_text)
