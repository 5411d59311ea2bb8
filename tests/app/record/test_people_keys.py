from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from app.record import certificates, envelope, people_keys
from app.record.certificates import certificate_of
from app.record.people_keys import Unlocked
from app.record.problem import KeyProblem, WrongPassphrase
from tests.app.record.signed_scene import MADE, key_of, person

PASSPHRASE = "four words by chance"


@pytest.fixture
def keys(light: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(certificates, "new_key", lambda: key_of("A. Tester"))
    people_keys.make(tmp_path / "keys", person_id="p1", name_text="A. Tester", passphrase=PASSPHRASE, at=MADE)
    return tmp_path / "keys"


def test_a_new_key_is_rsa_3072_for_two_years_without_extended_use() -> None:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPublicKey

    made = certificates.load_x509(person("A. Tester", "p1", (), by="").certificate.der)

    public = made.public_key()
    assert isinstance(public, RSAPublicKey)
    assert (public.key_size, public.public_numbers().e) == (3072, 65537)
    assert made.not_valid_after_utc - made.not_valid_before_utc == dt.timedelta(days=730)
    assert not any(isinstance(one.value, x509.ExtendedKeyUsage) for one in made.extensions)


def test_a_key_that_was_made_can_be_unlocked(keys: Path) -> None:
    key = people_keys.unlock(keys, "p1", PASSPHRASE)

    assert (key.certificate.name_text, key.certificate.person_id) == ("A. Tester", "p1")
    assert key.certificate.self_signed


def test_a_key_shows_no_secret_when_it_is_printed(keys: Path) -> None:
    assert repr(people_keys.unlock(keys, "p1", PASSPHRASE)) == "Unlocked(A. Tester)"


def test_there_is_a_key_only_of_who_has_made_one(keys: Path) -> None:
    assert (people_keys.has_key(keys, "p1"), people_keys.has_key(keys, "p2")) == (True, False)


def test_a_second_key_is_not_put_over_the_first(keys: Path) -> None:
    with pytest.raises(KeyProblem, match="already"):
        people_keys.make(keys, person_id="p1", name_text="A. Tester", passphrase=PASSPHRASE, at=MADE)


def test_the_private_key_stands_nowhere_in_the_folder(keys: Path) -> None:
    secret = people_keys.private_bytes(key_of("A. Tester"))[-200:-100]

    assert not any(secret in path.read_bytes() for path in keys.iterdir())


def test_a_wrong_passphrase_unlocks_nothing(keys: Path) -> None:
    with pytest.raises(WrongPassphrase):
        people_keys.unlock(keys, "p1", "four words by mistake")


def test_an_envelope_of_somebody_else_is_not_unlocked(keys: Path) -> None:
    envelope.save(envelope.seal(b"", PASSPHRASE, {"kind": "person", "person_id": "p2"}), keys / "p1.key.json")

    with pytest.raises(KeyProblem, match="somebody else"):
        people_keys.unlock(keys, "p1", PASSPHRASE)


def test_a_certificate_for_another_key_is_found_out(keys: Path) -> None:
    other = person("A. Tester", "p1", (), by="", key_name="another")
    (keys / "p1.pem").write_bytes(certificates.pem_of(other.certificate.der))

    with pytest.raises(KeyProblem, match="another key"):
        people_keys.unlock(keys, "p1", PASSPHRASE)


def test_a_missing_certificate_is_named(keys: Path) -> None:
    (keys / "p1.pem").unlink()

    with pytest.raises(KeyProblem, match="cannot be read"):
        people_keys.unlock(keys, "p1", PASSPHRASE)


def test_an_enrolled_certificate_takes_the_place_of_the_first(keys: Path) -> None:
    enrolled = person("A. Tester", "p1", ("tester",))

    people_keys.take_certificate(keys, "p1", certificates.pem_of(enrolled.certificate.der))

    assert people_keys.unlock(keys, "p1", PASSPHRASE).certificate == enrolled.certificate


@pytest.mark.parametrize("other", [("A. Tester", "p1", "another"), ("A. Tester", "p2", "A. Tester")])
def test_a_certificate_of_another_key_or_person_is_not_taken(keys: Path, other: tuple[str, str, str]) -> None:
    name, person_id, key_name = other
    given = person(name, person_id, ("tester",), key_name=key_name)

    with pytest.raises(KeyProblem, match="old one stays"):
        people_keys.take_certificate(keys, "p1", certificates.pem_of(given.certificate.der))


def test_after_a_change_only_the_new_passphrase_opens(keys: Path) -> None:
    people_keys.change_passphrase(keys, "p1", old=PASSPHRASE, new="four other words then")

    assert people_keys.unlock(keys, "p1", "four other words then").certificate.person_id == "p1"
    with pytest.raises(WrongPassphrase):
        people_keys.unlock(keys, "p1", PASSPHRASE)


def test_an_export_opens_elsewhere_and_comes_with_a_warning() -> None:
    from cryptography.hazmat.primitives.serialization import pkcs12

    data, warning = people_keys.export_pkcs12(person("A. Tester", "p1", (), by=""), PASSPHRASE)

    private, made, _ = pkcs12.load_key_and_certificates(data, PASSPHRASE.encode())
    assert private is not None
    assert made is not None
    assert "delete it" in warning


def test_an_export_wants_a_passphrase_as_well() -> None:
    with pytest.raises(KeyProblem, match="Nothing was exported"):
        people_keys.export_pkcs12(person("A. Tester", "p1", (), by=""), "1234")


@pytest.mark.parametrize("person_id", ["", "../p1", "p/1", ".p1", "p" * 65])
def test_a_number_that_would_lead_out_of_the_folder_is_refused(tmp_path: Path, person_id: str) -> None:
    with pytest.raises(KeyProblem, match="file name"):
        people_keys.has_key(tmp_path, person_id)


@pytest.mark.parametrize("name_text", ["", "  ", "x" * 65])
def test_a_name_that_no_certificate_takes_is_refused(tmp_path: Path, name_text: str) -> None:
    with pytest.raises(KeyProblem, match="No key was made"):
        people_keys.make(tmp_path, person_id="p1", name_text=name_text, passphrase=PASSPHRASE, at=MADE)


def test_a_weak_passphrase_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(certificates, "new_key", lambda: key_of("A. Tester"))

    with pytest.raises(KeyProblem, match="15 characters"):
        people_keys.make(tmp_path / "keys", person_id="p1", name_text="A. Tester", passphrase="1234", at=MADE)
    assert not (tmp_path / "keys").exists()


def test_what_is_no_key_is_not_taken_for_one() -> None:
    with pytest.raises(KeyProblem, match="something else"):
        people_keys.private_of(b"no key")


def test_a_key_of_another_kind_is_refused() -> None:
    from cryptography.hazmat.primitives.asymmetric import ed25519
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

    other = ed25519.Ed25519PrivateKey.generate()

    with pytest.raises(KeyProblem, match="another kind"):
        people_keys.private_of(other.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption()))


def test_a_request_holds_name_and_number_and_no_secret() -> None:
    from cryptography import x509

    key: Unlocked = person("A. Tester", "p1", (), by="")

    asked = x509.load_pem_x509_csr(people_keys.request(key))
    assert certificates.named(asked.subject) == ("A. Tester", "p1")
    assert asked.is_signature_valid


def test_pem_and_der_give_the_same_certificate() -> None:
    certificate = person("A. Tester", "p1", (), by="").certificate

    assert certificate_of(certificates.pem_of(certificate.der)) == certificate
