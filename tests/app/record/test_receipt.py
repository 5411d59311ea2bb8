"""A receipt of the archive: read back as it was signed, and refused in every other shape."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest

from app.record import cms, receipt
from app.record.canonical import canonical, digest
from app.record.problem import Altered, CannotTell
from app.record.receipt import Receipt
from app.record.trust import NOBODY
from tests.app.record.signed_scene import MADE, person, the_approver, trust

AT = dt.datetime(2031, 6, 1, 9, 0, tzinfo=dt.UTC)
GIVEN = Receipt(
    archive_id="archive-1",
    record_digest=digest(b"record"),
    deposit_digest=digest(b"deposit"),
    leaf_no=4,
    tree_size=5,
    root=digest(b"root"),
    arrived_at_utc="2031-06-01T08:59:58Z",
)


def the_archive():
    return person("Archive of the office", "archive-1", ("archive",), at=MADE)


def plain(**changes: object) -> dict[str, object]:
    return {"format": receipt.FORMAT, "version": 1, **dataclasses.asdict(GIVEN), **changes}


def test_a_receipt_reads_back_as_it_was_signed() -> None:
    data, signature = receipt.sign(GIVEN, the_archive(), at=AT)
    read, by = receipt.read(data, signature, trust=_knowing())
    assert read == GIVEN
    assert by.certificate.name_text == "Archive of the office"


def test_a_changed_byte_is_refused() -> None:
    data, signature = receipt.sign(GIVEN, the_archive(), at=AT)
    with pytest.raises(Altered, match="no longer matches"):
        receipt.read(data.replace(b'"leaf_no":4', b'"leaf_no":3'), signature, trust=_knowing())


def test_a_receipt_by_a_supervisor_counts_for_nothing() -> None:
    data, signature = receipt.sign(GIVEN, the_approver(), at=AT)
    with pytest.raises(CannotTell, match="not enrolled as archive"):
        receipt.read(data, signature, trust=trust())


def test_a_signature_of_another_meaning_is_refused() -> None:
    data, _ = receipt.sign(GIVEN, the_archive(), at=AT)
    other = cms.sign(data, the_archive(), meaning="issued", at=AT)
    with pytest.raises(Altered, match='says "issued"'):
        receipt.read(data, other, trust=_knowing())


def test_nobody_known_vouches_for_a_strange_archive() -> None:
    data, signature = receipt.sign(GIVEN, the_archive(), at=AT)
    with pytest.raises(CannotTell, match="Nobody known here vouches"):
        receipt.read(data, signature, trust=NOBODY)


@pytest.mark.parametrize(
    "changes",
    [
        {"format": "other"},
        {"leaf_no": 5},
        {"leaf_no": "4"},
        {"root": "00"},
        {"root": "x" * 64},
        {"arrived_at_utc": "yesterday"},
        {"more": 1},
    ],
)
def test_another_shape_is_refused(changes: dict[str, object]) -> None:
    with pytest.raises(Altered, match="not in the form"):
        receipt.from_bytes(canonical(plain(**changes)))


def test_another_spelling_is_refused() -> None:
    with pytest.raises(Altered, match="not in the form"):
        receipt.from_bytes(b" " + canonical(plain()))


def test_a_receipt_of_a_newer_program_cannot_be_told() -> None:
    with pytest.raises(CannotTell, match="newer"):
        receipt.from_bytes(canonical(plain(version=2)))


def _knowing():
    """Trust in the office, whose list names nobody after the tests began, with the archive enrolled."""
    return dataclasses.replace(trust(), registers=())
