from __future__ import annotations

import datetime as dt
import hashlib
import shutil
import subprocess
from pathlib import Path

import pytest

from app.record import certificates, cms, der
from app.record.problem import Altered, SigningProblem
from tests.app.record.signed_scene import TESTED_AT, office, person, the_approver, the_tester

CONTENT = b'{"a":1}'

needs_openssl = pytest.mark.skipif(not shutil.which("openssl"), reason="openssl is not on this computer")


def signed(content: bytes = CONTENT) -> bytes:
    return cms.sign(content, the_tester(), meaning="tested", at=TESTED_AT)


def by_openssl(folder: Path, *, content: bytes = CONTENT, epoch: int, authority: bytes) -> int:
    """Exactly the line that the read-me of a pack tells a third party to run."""
    (folder / "record.json").write_bytes(content)
    (folder / "office-ca.pem").write_bytes(authority)
    line = (
        "openssl cms -verify -binary -purpose any -inform DER -in record.p7s -content record.json "
        f"-CAfile office-ca.pem -attime {epoch}"
    )
    return subprocess.run(line.split(), cwd=folder, capture_output=True, check=False).returncode


@needs_openssl
def test_openssl_finds_the_signature_good(tmp_path: Path) -> None:
    (tmp_path / "record.p7s").write_bytes(signed())
    authority = certificates.pem_of(office().certificate.der)

    assert by_openssl(tmp_path, epoch=int(TESTED_AT.timestamp()), authority=authority) == 0


@needs_openssl
def test_openssl_finds_another_record_bad(tmp_path: Path) -> None:
    (tmp_path / "record.p7s").write_bytes(signed())
    authority = certificates.pem_of(office().certificate.der)

    assert (
        by_openssl(tmp_path, content=b'{"a":2}', epoch=int(TESTED_AT.timestamp()), authority=authority) != 0
    )


@needs_openssl
def test_openssl_does_not_take_another_office(tmp_path: Path) -> None:
    (tmp_path / "record.p7s").write_bytes(signed())
    authority = certificates.pem_of(office("Foreign Office").certificate.der)

    assert by_openssl(tmp_path, epoch=int(TESTED_AT.timestamp()), authority=authority) != 0


@needs_openssl
def test_openssl_does_not_take_a_time_after_the_certificate(tmp_path: Path) -> None:
    (tmp_path / "record.p7s").write_bytes(signed())
    late = the_tester().certificate.until_utc + dt.timedelta(days=1)

    assert by_openssl(
        tmp_path, epoch=int(late.timestamp()), authority=certificates.pem_of(office().certificate.der)
    )


@needs_openssl
def test_openssl_takes_a_certificate_that_its_holder_made(tmp_path: Path) -> None:
    alone = person("A. Tester", "p1", (), by="")
    (tmp_path / "record.p7s").write_bytes(cms.sign(CONTENT, alone, meaning="tested", at=TESTED_AT))
    authority = certificates.pem_of(alone.certificate.der)

    assert by_openssl(tmp_path, epoch=int(TESTED_AT.timestamp()), authority=authority) == 0


def test_an_independent_reader_of_cms_sees_the_same_attributes() -> None:
    """Source: asn1crypto, a library of its own, with the names of RFC 5652 and RFC 5035."""
    from asn1crypto import cms as reader

    data = reader.ContentInfo.load(signed(), strict=True)["content"]
    (signer,) = data["signer_infos"]
    told = {one["type"].native: one["values"] for one in signer["signed_attrs"]}

    assert told["message_digest"][0].native == hashlib.sha256(CONTENT).digest()
    assert told["signing_time"][0].native == TESTED_AT
    assert told["content_type"][0].native == "data"
    assert signer["unsigned_attrs"].native is None
    assert signer["signature_algorithm"].signature_algo == "rsassa_pkcs1v15"


def test_a_checked_signature_says_who_when_and_what() -> None:
    checked = cms.check(CONTENT, signed(), what="the record")

    assert checked.certificate == the_tester().certificate
    assert (checked.meaning, checked.at) == ("tested", TESTED_AT)


def test_a_signature_may_leave_the_time_to_what_it_stands_in() -> None:
    digest = hashlib.sha256(CONTENT).digest()

    made = cms.sign_digest(digest, the_tester(), meaning="approved", at=None)

    assert cms.check_digest(digest, made, what="the sheet").at is None


def test_other_content_is_altered() -> None:
    with pytest.raises(Altered, match="The record no longer matches"):
        cms.check(b'{"a":2}', signed(), what="the record")


def test_a_signature_with_something_behind_it_is_refused() -> None:
    with pytest.raises(Altered):
        cms.check(CONTENT, signed() + b"\0", what="the record")


@pytest.mark.parametrize("data", [b"", b"no signature", bytes(2000), b"0\x00", b"0\x02\x05\x00"])
def test_what_is_no_signature_is_refused(data: bytes) -> None:
    with pytest.raises(Altered, match="damaged"):
        cms.check(CONTENT, data, what="the record")


def test_a_signature_with_another_key_than_its_certificate_is_refused() -> None:
    from app.record.people_keys import Unlocked

    false = Unlocked(the_tester().certificate, the_approver().private)

    with pytest.raises(Altered, match="not made with the key"):
        cms.check(CONTENT, cms.sign(CONTENT, false, meaning="tested", at=TESTED_AT), what="the record")


def test_another_spelling_of_the_same_signature_is_refused() -> None:
    """A second digest algorithm in the outer list says nothing, and no digest covers it."""
    data = signed()
    sha256 = bytes.fromhex("300b0609608648016503040201")
    with_null = bytes.fromhex("300d06096086480165030402010500")
    outer = der.children(der.children(data, der.SEQUENCE)[1], der.TAGGED_0)[0]
    parts = der.children(outer, der.SEQUENCE)
    parts[1] = der.element(der.SET, with_null)
    again = der.element(
        der.SEQUENCE,
        der.children(data, der.SEQUENCE)[0],
        der.element(der.TAGGED_0, der.element(der.SEQUENCE, *parts)),
    )

    assert sha256 in data
    with pytest.raises(Altered, match="another way"):
        cms.check(CONTENT, again, what="the record")


def test_a_certificate_that_is_none_is_refused() -> None:
    data = signed()
    start = data.index(the_tester().certificate.der)

    with pytest.raises(Altered, match="damaged"):
        cms.check(CONTENT, data[: start + 30] + b"\xff" * 40 + data[start + 70 :], what="the record")


@pytest.mark.parametrize("time", [b"310504143000+", b"500504143000Z", b"319904143000Z"])
def test_a_time_that_is_spelled_otherwise_is_refused(time: bytes) -> None:
    with pytest.raises(Altered, match="damaged"):
        cms.check(CONTENT, signed().replace(b"310504143000Z", time), what="the record")


@pytest.mark.parametrize("year", [1999, 2050])
def test_nothing_is_signed_with_a_clock_that_cannot_be_right(year: int) -> None:
    at = dt.datetime(year, 1, 1, tzinfo=dt.UTC)

    with pytest.raises(SigningProblem, match="Set it right"):
        cms.sign(CONTENT, the_tester(), meaning="tested", at=at)
