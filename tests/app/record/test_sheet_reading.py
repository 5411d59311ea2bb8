from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from typing import Any

import pytest

from app.record import cms, sheet_reading, sheet_signing
from app.record.problem import Altered, CannotTell
from tests.app.record.signed_scene import APPROVED_AT, TESTED_AT, revision_of, the_approver, the_tester

ITS = revision_of()


def opened(data: bytes) -> Any:
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    return IncrementalPdfFileWriter(BytesIO(data))


def signed_otherwise(prepare: Callable[[Any], object], *, field: str = "TestedBy") -> bytes:
    """The sheet of the tester, changed by hand before it is signed with a signature of ours."""
    draft = opened(ITS.pages)
    for name in sheet_signing.SIGNATURE_FIELDS:
        sheet_signing._add_signature_field(draft, name, None)
    for name in sheet_signing.TEXT_FIELDS:
        sheet_signing._add_text_field(draft, name, None)
    prepare(draft)
    return sheet_signing._signed(
        draft, the_tester(), field=field, meaning="tested", at=TESTED_AT, picture=None
    )


def test_a_sheet_says_who_signed_when_and_what_is_attached() -> None:
    read = sheet_reading.read(ITS.sheet)

    assert [(one.field, one.at) for one in read.signatures] == [
        ("TestedBy", TESTED_AT),
        ("ApprovedBy", APPROVED_AT),
    ]
    assert read.attached == {"record.json": ITS.record, "record.p7s": ITS.tested}
    assert read.texts["ApprovalName"] == "B. Approver"
    assert read.signed("WitnessedBy") is None


def test_half_a_digit_in_a_container_is_found() -> None:
    """A container of an odd number of digits, which a lax reader fills up."""
    sheet = ITS.certified
    (one,) = sheet_reading.containers(sheet)
    start, end, rest = one.start, one.end, one.covered_to - one.end
    span = f"[0 {start} {end} {rest}]".encode()
    shorter = sheet[: end - 2] + b">" + sheet[end:]
    moved = shorter.replace(span, f"[0 {start} {end - 1} {rest}]".encode())

    with pytest.raises(Altered):
        sheet_reading.read(moved)


def test_a_container_that_holds_no_element_is_damaged() -> None:
    sheet = ITS.certified
    (one,) = sheet_reading.containers(sheet)
    hollow = sheet[: one.start + 1] + b"30FF" + sheet[one.start + 5 :]

    with pytest.raises(Altered, match="damaged"):
        sheet_reading.read(hollow)


def test_a_signature_with_a_time_of_its_own_was_made_for_something_else(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    sign = cms.sign_digest
    monkeypatch.setattr(cms, "sign_digest", lambda *args, **more: sign(*args, **{**more, "at": TESTED_AT}))
    sheet = sheet_signing.certify(ITS.pages, the_tester(), at=TESTED_AT)
    monkeypatch.undo()

    with pytest.raises(Altered, match="taken from elsewhere"):
        sheet_reading.read(sheet)


def test_a_signature_of_another_meaning_than_its_field_is_altered(monkeypatch: pytest.MonkeyPatch) -> None:
    sign = cms.sign_digest
    monkeypatch.setattr(
        cms, "sign_digest", lambda *args, **more: sign(*args, **{**more, "meaning": "issued"})
    )
    sheet = sheet_signing.certify(ITS.pages, the_tester(), at=TESTED_AT)
    monkeypatch.undo()

    with pytest.raises(Altered, match="was made to say"):
        sheet_reading.read(sheet)


def test_a_first_signature_in_the_field_of_the_second_is_no_sheet_of_ours() -> None:
    draft = opened(ITS.pages)
    for name in sheet_signing.SIGNATURE_FIELDS:
        sheet_signing._add_signature_field(draft, name, None)
    sheet = sheet_signing._signed(
        draft, the_approver(), field="ApprovedBy", meaning="approved", at=APPROVED_AT, picture=None
    )

    with pytest.raises(CannotTell, match="other fields"):
        sheet_reading.read(sheet)


def test_a_field_of_another_name_is_of_another_kind() -> None:
    sheet = signed_otherwise(
        lambda draft: sheet_signing._add_signature_field(draft, "Other", None), field="Other"
    )

    with pytest.raises(CannotTell, match="another kind"):
        sheet_reading.read(sheet)


def test_a_sheet_without_attachments_is_no_sheet_of_ours() -> None:
    def drop(draft: Any) -> None:
        del draft.root["/Names"]
        draft.update_root()

    with pytest.raises(CannotTell, match="record is not attached"):
        sheet_reading.read(signed_otherwise(drop))


def test_a_sheet_without_the_block_of_the_approval_is_no_sheet_of_ours() -> None:
    def drop(draft: Any) -> None:
        del draft.root["/AcroForm"]["/Fields"][2:]

    with pytest.raises(CannotTell, match="no block for the approval"):
        sheet_reading.read(signed_otherwise(drop))


def test_more_attached_than_the_program_reads_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheet_reading, "_LONGEST_ATTACHED", 1000)

    with pytest.raises(CannotTell, match="larger"):
        sheet_reading.read(ITS.sheet)


def test_a_signature_with_a_time_of_no_zone_is_no_sheet_of_ours(monkeypatch: pytest.MonkeyPatch) -> None:
    from pyhanko.pdf_utils import generic

    naive = TESTED_AT.replace(tzinfo=None)
    monkeypatch.setattr(generic, "parse_pdf_date", lambda *_, **__: naive)

    with pytest.raises(CannotTell, match="has no time"):
        sheet_reading.read(ITS.sheet)


def test_a_signature_that_permits_more_than_its_form_is_altered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheet_signing, "_FILL_FORMS", 3)
    sheet = sheet_signing.certify(ITS.pages, the_tester(), at=TESTED_AT)

    with pytest.raises(Altered, match="More than its form"):
        sheet_reading.read(sheet)


def test_what_the_reader_of_pdf_cannot_compare_is_altered(monkeypatch: pytest.MonkeyPatch) -> None:
    from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature

    monkeypatch.setattr(EmbeddedPdfSignature, "compute_integrity_info", lambda *_: 1 / 0)

    with pytest.raises(Altered, match="cannot be read"):
        sheet_reading.read(ITS.sheet)


def test_a_pdf_that_the_reader_does_not_open_is_no_sheet_of_ours(monkeypatch: pytest.MonkeyPatch) -> None:
    from pyhanko.pdf_utils import reader

    monkeypatch.setattr(reader, "PdfFileReader", lambda *_, **__: 1 / 0)

    with pytest.raises(CannotTell, match="cannot be read"):
        sheet_reading.read(ITS.sheet)


def test_a_signature_that_the_form_does_not_know_is_altered(monkeypatch: pytest.MonkeyPatch) -> None:
    from pyhanko.pdf_utils.reader import PdfFileReader

    monkeypatch.setattr(PdfFileReader, "embedded_signatures", ())

    with pytest.raises(Altered, match="none of this program"):
        sheet_reading.read(ITS.sheet)


def test_a_signature_whose_bytes_the_form_counts_otherwise_is_altered(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature

    monkeypatch.setattr(EmbeddedPdfSignature, "byte_range", [0, 1, 2, 3], raising=False)
    monkeypatch.setattr(EmbeddedPdfSignature, "__setattr__", _but_not_the_range)

    with pytest.raises(Altered, match="do not stand where"):
        sheet_reading.read(ITS.sheet)


def _but_not_the_range(one: object, name: str, value: object) -> None:
    if name != "byte_range":
        object.__setattr__(one, name, value)
