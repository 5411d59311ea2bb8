from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from app.record import authority, certificates, envelope, people_keys
from app.record.authority import Authority
from app.record.certificates import certificate_of, is_issued_by
from app.record.people_keys import Unlocked
from app.record.problem import KeyProblem, WrongPassphrase
from tests.app.record.signed_scene import MADE, key_of, person

PASSPHRASE = "four words by chance"
LATER = MADE + dt.timedelta(days=30)


@pytest.fixture
def its(light: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Authority:
    monkeypatch.setattr(certificates, "new_key", lambda: key_of("Invented Test Office"))
    return Authority.make(
        tmp_path / "office", name_text="Invented Test Office", passphrase=PASSPHRASE, at=MADE
    )


def asked(name_text: str = "A. Tester", person_id: str = "p1", key_name: str = "") -> bytes:
    return people_keys.request(person(name_text, person_id, (), by="", key_name=key_name))


def test_an_enrolled_person_is_issued_by_the_office_and_stands_in_its_list(its: Authority) -> None:
    pem = its.enrol(asked(), roles=("tester",), at=LATER)

    made = certificate_of(pem)
    line = its.register.line(made.fingerprint)
    assert is_issued_by(made.der, its.key.certificate.der)
    assert made.roles == ("tester",)
    assert line is not None
    assert (line.name_text, line.ended_utc) == ("A. Tester", None)


def test_an_ended_person_has_date_and_reason_in_the_list(its: Authority) -> None:
    made = certificate_of(its.enrol(asked(), roles=("tester",), at=LATER))

    its.end(made.fingerprint, until=LATER, reason_text=" Left. ", at=LATER)

    line = its.register.line(made.fingerprint)
    assert line is not None
    assert (line.ended_utc, line.reason_text) == (LATER, "Left.")


def test_an_office_comes_back_with_its_list(its: Authority) -> None:
    its.enrol(asked(), roles=("tester", "approver"), at=LATER)

    again = Authority.open(its.folder, PASSPHRASE)

    assert again.register == its.register
    assert again.register.number == 2


def test_a_second_office_is_not_put_over_the_first(its: Authority) -> None:
    with pytest.raises(KeyProblem, match="already"):
        Authority.make(its.folder, name_text="Other", passphrase=PASSPHRASE, at=MADE)


def test_a_wrong_passphrase_opens_no_office(its: Authority) -> None:
    with pytest.raises(WrongPassphrase):
        Authority.open(its.folder, "four words by mistake")


@pytest.mark.parametrize("name", [authority.CERTIFICATE_FILE, authority.REGISTER_FILE])
def test_an_office_without_certificate_or_list_is_not_opened(its: Authority, name: str) -> None:
    (its.folder / name).unlink()

    with pytest.raises(KeyProblem, match="cannot be used"):
        Authority.open(its.folder, PASSPHRASE)


def test_the_key_of_a_person_opens_no_office(its: Authority) -> None:
    about = {"kind": "person", "person_id": "p1"}
    envelope.save(envelope.seal(b"", PASSPHRASE, about), its.folder / authority.KEY_FILE)

    with pytest.raises(KeyProblem, match="not that of an office"):
        Authority.open(its.folder, PASSPHRASE)


@pytest.mark.parametrize("roles", [(), ("owner",)])
def test_nobody_is_enrolled_without_a_role(its: Authority, roles: tuple[certificates.Role, ...]) -> None:
    with pytest.raises(KeyProblem, match="one role"):
        its.enrol(asked(), roles=roles, at=LATER)


def test_a_number_of_one_person_is_not_given_to_another(its: Authority) -> None:
    its.enrol(asked(), roles=("tester",), at=LATER)

    with pytest.raises(KeyProblem, match=r"is A\. Tester's"):
        its.enrol(asked("B. Approver", "p1"), roles=("approver",), at=LATER)


def test_a_key_of_one_person_is_not_enrolled_for_another(its: Authority) -> None:
    its.enrol(asked(), roles=("tester",), at=LATER)

    with pytest.raises(KeyProblem, match=r"this key is A\. Tester's"):
        its.enrol(asked("B. Approver", "p2", "A. Tester"), roles=("approver",), at=LATER)


def test_a_person_is_enrolled_again_with_a_new_key(its: Authority) -> None:
    its.enrol(asked(), roles=("tester",), at=LATER)

    its.enrol(asked(key_name="another"), roles=("tester",), at=LATER)

    assert len(its.register.lines) == 2


def test_what_is_no_request_enrols_nobody(its: Authority) -> None:
    with pytest.raises(KeyProblem, match="no request"):
        its.enrol(b"no request", roles=("tester",), at=LATER)


def test_a_request_of_another_kind_of_key_enrols_nobody(its: Authority) -> None:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric import ed25519
    from cryptography.hazmat.primitives.serialization import Encoding

    subject = certificates.subject_of("A. Tester", "p1")
    builder = x509.CertificateSigningRequestBuilder().subject_name(subject)
    data = builder.sign(ed25519.Ed25519PrivateKey.generate(), None).public_bytes(Encoding.PEM)

    with pytest.raises(KeyProblem, match="not made by this program"):
        its.enrol(data, roles=("tester",), at=LATER)


def test_nobody_unknown_is_ended(its: Authority) -> None:
    with pytest.raises(KeyProblem, match="no such certificate"):
        its.end("00", until=LATER, reason_text="Left.", at=LATER)


def test_nobody_is_ended_without_a_reason(its: Authority) -> None:
    made = certificate_of(its.enrol(asked(), roles=("tester",), at=LATER))

    with pytest.raises(KeyProblem, match="has a reason"):
        its.end(made.fingerprint, until=LATER, reason_text=" ", at=LATER)


def test_nobody_is_ended_twice(its: Authority) -> None:
    made = certificate_of(its.enrol(asked(), roles=("tester",), at=LATER))
    its.end(made.fingerprint, until=LATER, reason_text="Left.", at=LATER)

    with pytest.raises(KeyProblem, match="already"):
        its.end(made.fingerprint, until=LATER, reason_text="Left.", at=LATER)


def test_the_certificate_of_an_office_is_read_without_unlocking(its: Authority, tmp_path: Path) -> None:
    assert authority.certificate_in(its.folder) == its.key.certificate
    assert authority.certificate_in(tmp_path) is None


def test_the_certificate_for_everybody_is_that_of_the_key(its: Authority) -> None:
    key: Unlocked = its.key

    assert certificate_of(its.certificate_pem) == key.certificate
