from __future__ import annotations

import shutil
import subprocess
from io import BytesIO
from pathlib import Path

import pytest

from app.record import sheet_reading, sheet_signing
from app.record.problem import SigningProblem
from app.record.sheet_signing import TEXT_FIELDS
from tests.app.record.signed_scene import (
    APPROVED_AT,
    TESTED_AT,
    TEXTS,
    office,
    person,
    revision_of,
    the_approver,
    the_tester,
)

ITS = revision_of()


def test_an_independent_validator_finds_both_signatures_good() -> None:
    """Source: pyHanko's validator of PAdES signatures, which shares no code with the check made here."""
    from asn1crypto import x509
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko_certvalidator import ValidationContext

    root = x509.Certificate.load(office().certificate.der)
    found = [
        validate_pdf_signature(one, ValidationContext(trust_roots=[root], moment=APPROVED_AT))
        for one in PdfFileReader(BytesIO(ITS.sheet)).embedded_signatures
    ]

    assert [(one.intact, one.valid, one.trusted, one.docmdp_ok) for one in found] == [(True,) * 4] * 2


@pytest.mark.skipif(not shutil.which("pdfsig"), reason="poppler's pdfsig is not on this computer")
def test_a_second_reader_of_pdf_finds_both_signatures_valid(tmp_path: Path) -> None:
    (tmp_path / "sheet.pdf").write_bytes(ITS.sheet)

    said = subprocess.run(
        ["pdfsig", str(tmp_path / "sheet.pdf")], capture_output=True, text=True, check=False
    ).stdout

    assert said.count("Signature is Valid.") == 2
    assert said.count("ETSI.CAdES.detached") == 2


@pytest.mark.skipif(not shutil.which("pdffonts"), reason="poppler's pdffonts is not on this computer")
def test_every_font_of_the_signed_sheet_is_embedded(tmp_path: Path) -> None:
    (tmp_path / "sheet.pdf").write_bytes(ITS.sheet)

    said = subprocess.run(
        ["pdffonts", str(tmp_path / "sheet.pdf")], capture_output=True, text=True, check=True
    ).stdout

    assert [line.split()[-5] for line in said.splitlines()[2:]] == ["yes"] * len(said.splitlines()[2:])


def test_both_signature_fields_stand_there_before_the_first_signature() -> None:
    from pyhanko.pdf_utils.reader import PdfFileReader

    fields = PdfFileReader(BytesIO(ITS.certified)).root["/AcroForm"]["/Fields"]

    assert [str(one.get_object()["/T"]) for one in fields] == ["TestedBy", "ApprovedBy", *TEXT_FIELDS]


def test_a_signed_sheet_stays_pdf_1_7_or_older() -> None:
    from pyhanko.pdf_utils.reader import PdfFileReader

    assert PdfFileReader(BytesIO(ITS.sheet)).input_version <= (1, 7)


def test_the_second_signature_leaves_the_bytes_of_the_first_as_they_are() -> None:
    assert ITS.sheet.startswith(ITS.certified)


def test_a_sheet_without_places_is_signed_out_of_sight() -> None:
    sheet = sheet_signing.certify(ITS.pages, the_tester(), at=TESTED_AT)
    sheet = sheet_signing.countersign(sheet, the_approver(), at=APPROVED_AT, texts=TEXTS, pictures={})

    assert sheet_reading.read(sheet).texts["ApprovalDecision"] == "approved"


def test_a_signed_sheet_is_not_certified_again() -> None:
    with pytest.raises(SigningProblem, match="a signature already"):
        sheet_signing.certify(ITS.sheet, the_tester(), at=TESTED_AT)


@pytest.mark.parametrize("data", [b"", b"no PDF", b"%PDF-1.4\n"])
def test_what_is_no_pdf_is_not_signed(data: bytes) -> None:
    with pytest.raises(SigningProblem, match="cannot be read as PDF"):
        sheet_signing.certify(data, the_tester(), at=TESTED_AT)


@pytest.mark.parametrize("data", ["pages", "sheet"], ids=["not certified", "approved already"])
def test_only_a_sheet_that_waits_for_it_is_approved(data: str) -> None:
    with pytest.raises(SigningProblem, match="does not wait"):
        sheet_signing.countersign(
            getattr(ITS, data), the_approver(), at=APPROVED_AT, texts=TEXTS, pictures={}
        )


def test_a_sheet_altered_since_is_not_approved() -> None:
    altered = ITS.certified.replace(b"/Reason (tested)", b"/Reason (pasted)")

    assert altered != ITS.certified
    with pytest.raises(SigningProblem, match="no longer matches"):
        sheet_signing.countersign(altered, the_approver(), at=APPROVED_AT, texts=TEXTS, pictures={})


def test_who_tested_does_not_approve_the_sheet() -> None:
    both = person("A. Tester", the_tester().certificate.person_id, ("approver",), key_name="second key")

    with pytest.raises(SigningProblem, match="somebody else"):
        sheet_signing.countersign(ITS.certified, both, at=APPROVED_AT, texts=TEXTS, pictures={})
